// Package review looks over a solved circuit for what is worth knowing:
// findings, each with the rule it follows from, its figures and its source.
package review

import (
	"cmp"
	"context"
	"fmt"
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
	Source   string    // of the rule
	Muted    string    // the reason for which the person does not want to see it
	Shows    []Showing // the modes in which it holds, in their order; none where it holds in any
	weight   float64
	about    string // see remark
}

// Showing is what a finding says in one of the modes in which it holds.
type Showing struct {
	Mode, Text string
	weight     float64
}

// In returns what a finding says in a mode, and whether it holds there.
func (f Finding) In(mode string) (text string, holds bool) {
	if f.Mode == "" {
		return f.Text, true
	}
	for _, s := range f.Shows {
		if s.Mode == mode {
			return s.Text, true
		}
	}
	return "", false
}

// Modes are those in which a finding holds, in the drawing's order; none where
// it holds in any.
func (f Finding) Modes() []string {
	var names []string
	for _, s := range f.Shows {
		names = append(names, s.Mode)
	}
	return names
}

// Options say what to look at.
type Options struct {
	Mode string        // only this mode; empty for all
	Set  model.Setting // quantities set over those of the drawing and the modes
}

// Review is what was found.
type Review struct {
	Findings []Finding        // the gravest first, then in the order of the parts
	Cells    string           // the state of the cells that they hold for, as in "BT1 70 % left"; empty for new ones
	Notes    []Note           // what to know before believing the findings
	Faults   []analysis.Fault // of a mode that cannot be solved: there the rules that need figures say nothing
}

// Note is what to know of the figures of a mode, a sentence without its full
// stop: that the circuit does not rest at them. The rules that go by what only a
// circuit at rest has say nothing there.
type Note struct {
	Mode, Text string // Mode is empty where the drawing has none
}

// Run judges d by all rules in every mode; what shows in several is told of
// the one where it shows most. The error is of a mode that the drawing does
// not have, or the context's.
func Run(ctx context.Context, d *model.Diagram, o Options) (*Review, error) {
	out := &Review{Cells: cellsInWords(d, o.Set)}
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
		out.Notes = append(out.Notes, notesOf(r)...)
		if err := judge(ctx, d, r, o.Set, found); err != nil {
			return nil, err
		}
	}
	measureFirst(found)
	modes := len(o.modes(d))
	for _, f := range found {
		if modes > 1 && f.alikeIn(modes) {
			f.Mode, f.Shows = "", nil
		}
		f.Muted = muted(d, f)
		out.Findings = append(out.Findings, f)
	}
	slices.SortFunc(out.Findings, compare)
	return out, nil
}

// notesOf are the notes that a solved circuit has for swinging without end.
func notesOf(r *analysis.Result) []Note {
	var notes []Note
	for _, f := range r.Faults {
		if f.Restless {
			notes = append(notes, Note{r.Mode, f.Text})
		}
	}
	return notes
}

// atRest reports whether a rule goes by what only a circuit at rest has: the
// voltage that a capacitor keeps, the state that a transistor stays in.
func atRest(id string) bool {
	return slices.Contains([]string{"capacitor-reversed", "switch-not-fully-on", "switch-marginal", "switch-driven-hard", "follower-leaves",
		"cannot-turn-off", "zener-out-of-regulation", "drained-while-off"}, id)
}

// alikeIn reports whether a finding says the same in all of so many modes.
func (f Finding) alikeIn(modes int) bool {
	return len(f.Shows) == modes && !slices.ContainsFunc(f.Shows, func(s Showing) bool { return s.Text != f.Text })
}

// cellsInWords says how much is left in the batteries that are not new.
func cellsInWords(d *model.Diagram, set model.Setting) string {
	var words []string
	for _, p := range d.Parts {
		if p.Kind != "battery" {
			continue
		}
		v, _ := d.Resolve(p, set)
		if left := v.Num("charge_left"); left < 1 {
			words = append(words, fmt.Sprintf("%s %s left", p.Ref, percent(left)))
		}
	}
	return list(words)
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
		if r.Restless() && atRest(rule.id) {
			continue
		}
		for _, m := range rule.judge(s) {
			f := m.finding(rule, r.Mode)
			key := f.Rule + " " + cmp.Or(f.about, strings.Join(f.Parts, " "))
			known, ok := found[key]
			shows := known.shownIn(f.Mode, f.Text, f.weight)
			if !ok || f.weight > known.weight {
				known = f
			}
			known.Shows = shows
			found[key] = known
		}
	}
	return ctx.Err()
}

// shownIn returns where a finding shows with one more mode. Of several remarks
// about the same in one mode the weightiest counts.
func (f Finding) shownIn(mode, text string, weight float64) []Showing {
	last := len(f.Shows) - 1
	switch {
	case mode == "":
		return nil
	case last < 0 || f.Shows[last].Mode != mode:
		return append(f.Shows, Showing{mode, text, weight})
	case weight > f.Shows[last].weight:
		f.Shows[last] = Showing{mode, text, weight}
	}
	return f.Shows
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
