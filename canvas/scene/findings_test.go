package scene

import (
	"math/rand/v2"
	"slices"
	"testing"

	"copperglass/analysis"
	"copperglass/canvas"
	"copperglass/canvas/svg/svgtest"
)

// Findings are numbered on after the faults; those of one part stand on one
// flag, facts where somebody asks or they tell what sets a current, and each has the sign of its severity.
func TestFindingsHaveFlags(t *testing.T) {
	t.Parallel()
	d, r := switched()
	r.Faults = []analysis.Fault{{Text: "a", Parts: []string{"R1"}}}
	o := lightOptions()
	o.Findings = []Finding{{Severity: Caution, Parts: []string{"Q1"}}, {Severity: Oddity, Parts: []string{"gone", "Q1", "R2"}}, {Severity: Fact, Parts: []string{"R2"}}, {Severity: Caution, Parts: []string{"gone"}}}
	flags := func() (shown []int, texts []string) {
		s := Build(d, r, o)
		for i, f := range s.Flags {
			if f.Number != i+1 {
				t.Errorf("flag %d has number %d", i, f.Number)
			}
			if f.Shown {
				shown = append(shown, f.Number)
			}
		}
		for _, l := range s.Labels {
			if l.Kind == FindingLabel {
				texts = append(texts, l.Ref+" "+l.Text)
			}
		}
		slices.Sort(texts)
		return shown, texts
	}
	if shown, texts := flags(); !slices.Equal(shown, []int{1, 2, 3}) || !slices.Equal(texts, []string{"Q1 2 3"}) {
		t.Errorf("shown are %v on %q, want 1 2 3, of which 2 and 3 on Q1", shown, texts)
	}
	o.Findings[0].Elsewhere = true // in other modes, and the others keep their numbers
	if shown, texts := flags(); !slices.Equal(shown, []int{1, 3}) || !slices.Equal(texts, []string{"Q1 3"}) {
		t.Errorf("where 2 is of another mode, shown are %v on %q", shown, texts)
	}
	o.Findings[0].Elsewhere = false
	o.Show.Facts = true
	if shown, texts := flags(); !slices.Equal(shown, []int{1, 2, 3, 4}) || !slices.Equal(texts, []string{"Q1 2 3", "R2 4"}) {
		t.Errorf("with facts, shown are %v on %q, want 1 to 4, the last on R2", shown, texts)
	}
	o.Show.Facts, o.Findings[2].Key = false, true
	if shown, texts := flags(); !slices.Equal(shown, []int{1, 2, 3, 4}) || !slices.Equal(texts, []string{"Q1 2 3", "R2 4"}) {
		t.Errorf("with a fact of what sets a current, shown are %v on %q, want 1 to 4, the last on R2", shown, texts)
	}
	o.Show.Findings = false
	if shown, _ := flags(); shown != nil {
		t.Errorf("without findings, shown are %v", shown)
	}
}

// The signs of severities are told apart without their colours.
func TestSeveritiesDifferInShape(t *testing.T) {
	t.Parallel()
	type shape struct {
		segs   int
		filled bool
		wide   float64
	}
	seen := map[shape]Severity{}
	for _, s := range []Severity{Caution, Oddity, Fact} {
		sign := SeveritySign(canvas.LightTheme(), s)
		p := sign.Items[0].(*canvas.Path)
		is := shape{len(p.Segs), p.Fill.A > 0, p.Bounds().Width()}
		if other, known := seen[is]; known {
			t.Errorf("%s and %s have one shape", s, other)
		}
		seen[is] = s
	}
}

// Flags of findings cover nothing, nor does anything that tells what was
// before, and no label moves because a part stands out for a moment.
func TestFindingsAndPastCoverNothing(t *testing.T) {
	t.Parallel()
	for seed := range uint64(30) {
		rnd := rand.New(rand.NewPCG(seed, 11))
		d := randomDrawing(rnd, 10+rnd.IntN(40))
		r, o := inventedResult(d, rnd), lightOptions()
		o.Before, o.Show.Facts = turned(r, 5), true
		for i, p := range d.Parts[:8] {
			o.Findings = append(o.Findings, Finding{Severity: []Severity{Caution, Oddity, Fact}[i%3], Parts: []string{p.Ref}}, Finding{Severity: Oddity, Parts: []string{p.Ref}})
		}
		s := Build(d, r, o)
		for _, f := range overlaps(d, s) {
			t.Errorf("drawing %d: %s", seed, f)
		}
		labels := slices.Clone(s.Labels)
		o.Lit = map[string]bool{d.Parts[0].Ref: true}
		if s = Build(d, r, o); !slices.Equal(s.Labels, labels) {
			t.Errorf("drawing %d: labels have moved because a part is lit", seed)
		}
	}
}

// SVG and PNG show flags, what was before and what stands back alike.
func TestRenderersAgreeOnWhatIsMarked(t *testing.T) {
	t.Parallel()
	d := example(t, "lantern")
	o := Options{Theme: canvas.LightTheme(), Show: Usual(), Legend: true, Before: solve(t, d, "Off"), Lit: map[string]bool{"BT1": true, "Q1": true, "D1": true}}
	o.Findings = []Finding{{Severity: Caution, Parts: []string{"D1"}}, {Severity: Oddity, Parts: []string{"D1"}}, {Severity: Fact, Parts: []string{"R3"}}}
	o.Show.Facts = true
	svgtest.Compare(t, &Build(d, solve(t, d, "White"), o).Picture)
}
