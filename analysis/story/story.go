// Package story tells the steps of a drawing's explanation with live figures.
package story

import (
	"context"
	"fmt"
	"math"
	"regexp"
	"strings"

	"copperglass/analysis"
	"copperglass/analysis/review"
	"copperglass/model"
	"copperglass/model/quantity"
)

// Page is one step as it is told.
type Page struct {
	Title   string
	Text    string // with its figures
	Lit     []string
	Mode    string
	Set     model.Setting
	Result  *analysis.Result
	Unknown []string // figures that the text asks for and nothing gives, in its order
}

// Tell solves each step and fills its figures in. A figure that nothing gives
// is told as a dash. The error is of a mode that the drawing does not have, or
// the context's.
func Tell(ctx context.Context, d *model.Diagram) ([]Page, error) {
	pages := make([]Page, len(d.Story))
	for i, s := range d.Story {
		p := Page{Title: s.Title, Lit: s.Lit, Mode: s.Mode, Set: s.Setting()}
		r, err := analysis.Solve(ctx, d, analysis.Options{Mode: s.Mode, Set: p.Set})
		if err != nil {
			return nil, fmt.Errorf("step %d: %w", i+1, err)
		}
		p.Result = r
		p.fill(ctx, d, s.Text)
		pages[i] = p
	}
	return pages, nil
}

// figure is what stands for a figure in a step's text: {Q1.C.amps}.
var figure = regexp.MustCompile(`\{([^{}]+)\}`)

func (p *Page) fill(ctx context.Context, d *model.Diagram, text string) {
	var words map[string]string
	p.Text = figure.ReplaceAllStringFunc(text, func(braced string) string {
		name := strings.Trim(braced, "{}")
		if ref, ok := strings.CutSuffix(name, ".words"); ok {
			if words == nil {
				words = review.Words(ctx, d, p.Result)
			}
			return p.orDash(name, words[ref])
		}
		return p.orDash(name, Figure(d, p.Result, name))
	})
}

func (p *Page) orDash(name, text string) string {
	if text == "" {
		p.Unknown = append(p.Unknown, name)
		return "–"
	}
	return text
}

// Figure writes a quantity as people do, with its unit and without regard to
// its sign: a text says which way a current flows. It is empty where nothing
// gives it.
func Figure(d *model.Diagram, r *analysis.Result, name string) string {
	if ref, ok := strings.CutSuffix(name, ".state"); ok && r.Parts[ref] != nil && r.Parts[ref].State != "" {
		return r.Parts[ref].StateInWords()
	}
	g, err := analysis.NewGauge(r, d, name)
	if err != nil {
		return ""
	}
	x := g.Read(r)
	if math.IsNaN(x) {
		return ""
	}
	return quantity.Solved(math.Abs(x), g.Unit)
}
