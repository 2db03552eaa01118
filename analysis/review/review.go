// Package review looks over a solved circuit for what is worth knowing:
// findings, each with the rule it follows from, its figures and its source.
package review

import (
	"cmp"
	"context"
	"slices"
	"strings"

	"copperglass/analysis"
	"copperglass/model"
)

// Severity says how much a finding matters.
type Severity string

// The severities, the gravest first.
const (
	Caution Severity = "caution" // something may break, or hurt somebody
	Oddity  Severity = "oddity"  // it works otherwise than one would expect
	Fact    Severity = "fact"    // good to know
)

// Figure is a named number of a finding, in SI units.
type Figure struct {
	Name  string
	Value float64
}

// Finding is something worth knowing about the circuit.
type Finding struct {
	Rule     string // its id
	Severity Severity
	Parts    []string // that it is about, in natural order
	Mode     string   // where it shows most; empty where it holds in any
	Text     string   // one sentence with its figures
	Figures  []Figure
	Source   string // of the rule
	Muted    string // the reason for which the person does not want to see it
	weight   float64
}

// Options say what to look at.
type Options struct {
	Mode string        // only this mode; empty for all
	Set  model.Setting // quantities set over those of the drawing and the modes
}

// Review is what was found.
type Review struct {
	Findings []Finding        // the gravest first, then in the order of the parts
	Faults   []analysis.Fault // of a mode that cannot be solved: there the rules that need figures say nothing
}

// Run judges d by all rules in every mode; what shows in several is told of
// the one where it shows most. The error is of a mode that the drawing does
// not have, or the context's.
func Run(ctx context.Context, d *model.Diagram, o Options) (*Review, error) {
	out := &Review{}
	found := map[string]Finding{}
	var start *analysis.Result
	for _, mode := range o.modes(d) {
		r, err := analysis.Solve(ctx, d, analysis.Options{Mode: mode, Set: o.Set, Start: start})
		if err != nil {
			return nil, err
		}
		if !r.Solved {
			if out.Faults == nil {
				out.Faults = r.Faults
			}
			continue
		}
		start = r
		if err := judge(ctx, d, r, o.Set, found); err != nil {
			return nil, err
		}
	}
	for _, f := range found {
		f.Muted = muted(d, f)
		out.Findings = append(out.Findings, f)
	}
	slices.SortFunc(out.Findings, compare)
	return out, nil
}

func (o Options) modes(d *model.Diagram) []string {
	if o.Mode != "" || len(d.Modes) == 0 {
		return []string{o.Mode}
	}
	names := make([]string, len(d.Modes))
	for i, m := range d.Modes {
		names[i] = m.Name
	}
	return names
}

// Cautions returns how many cautions there are about one operating point of d
// that are not muted; set is what the caller put over the drawing for it.
func Cautions(ctx context.Context, d *model.Diagram, r *analysis.Result, set model.Setting) (int, error) {
	found := map[string]Finding{}
	if !r.Solved {
		return 0, nil
	}
	err := judge(ctx, d, r, set, found)
	count := 0
	for _, f := range found {
		if f.Severity == Caution && muted(d, f) == "" {
			count++
		}
	}
	return count, err
}

// judge adds what the rules say of one operating point, unless it has shown
// more in another.
func judge(ctx context.Context, d *model.Diagram, r *analysis.Result, set model.Setting, found map[string]Finding) error {
	s := newSight(ctx, d, r, set)
	for _, rule := range rules() {
		for _, m := range rule.judge(s) {
			f := m.finding(rule, r.Mode)
			key := f.Rule + " " + strings.Join(f.Parts, " ")
			if known, ok := found[key]; !ok || f.weight > known.weight {
				found[key] = f
			}
		}
	}
	return ctx.Err()
}

// muted returns the reason for which the person does not want to see a finding.
func muted(d *model.Diagram, f Finding) string {
	for _, m := range d.Muted {
		if m.Of(f.Rule, f.Parts) {
			return cmp.Or(m.Reason, "no reason given")
		}
	}
	return ""
}

// rank puts the severities in their order.
func (s Severity) rank() int { return slices.Index([]Severity{Caution, Oddity, Fact}, s) }

func compare(a, b Finding) int {
	return cmp.Or(
		cmp.Compare(a.Severity.rank(), b.Severity.rank()),
		model.NaturalCompare(strings.Join(a.Parts, " "), strings.Join(b.Parts, " ")),
		cmp.Compare(a.Rule, b.Rule))
}
