package scene

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"copperglass/analysis"
	"copperglass/canvas"
	"copperglass/canvas/svg/svgtest"
)

// explaining is a drawing with a fault and three findings, one of them muted,
// whose flags say "flag N" and then so many words.
func explaining(words int) (*Scene, *Scene) {
	d, r := switched()
	r.Faults = []analysis.Fault{{Text: "a", Parts: []string{"R1"}}}
	o := lightOptions()
	o.Legend = true
	o.Findings = []Finding{{Severity: Caution, Parts: []string{"Q1"}}, {Severity: Oddity, Parts: []string{"R2"}, Muted: true}, {Severity: Oddity, Parts: []string{"R2"}}, {Severity: Fact, Parts: []string{"R2"}}}
	plain := Build(d, r, o)
	o.Explain = func(f Flag) string { return fmt.Sprintf("flag %d", f.Number) + strings.Repeat(" and more", words) }
	return plain, Build(d, r, o)
}

// What the flags on the drawing say stands below it, in their order, apart from
// one another and within the bounds; one that is muted has its number and says
// nothing.
func TestFlagsAreExplained(t *testing.T) {
	t.Parallel()
	for _, words := range []int{0, 3, 40} {
		plain, s := explaining(words)
		var boxes []canvas.Rect
		var said []string
		for _, it := range s.Picture.Items[len(plain.Picture.Items):] {
			box := it.Bounds()
			if box.Min.Y < plain.Bounds.Max.Y-Margin || !inside(box, s.Bounds.Inset(Margin-1)) {
				t.Errorf("%d words: %v is not below %v and within %v", words, box, plain.Bounds, s.Bounds)
			}
			text, ok := it.(*canvas.Text)
			if !ok || text.Bold {
				continue
			}
			for _, other := range boxes {
				if box.Overlaps(other) {
					t.Errorf("%d words: %q at %v is over another text at %v", words, text.String, box, other)
				}
			}
			boxes = append(boxes, box)
			if strings.HasPrefix(text.String, "flag") {
				said = append(said, text.String[:len("flag 1")])
			}
		}
		if want := []string{"flag 1", "flag 2", "flag 4"}; !slices.Equal(said, want) {
			t.Errorf("%d words: it says %q, want %q", words, said, want)
		}
		if got := len(boxes); words == 40 && got < 6 {
			t.Errorf("long texts take %d lines", got)
		}
	}
}

func TestRenderersAgreeOnWhatFlagsSay(t *testing.T) {
	t.Parallel()
	_, s := explaining(12)
	svgtest.Compare(t, &s.Picture)
}

// A number stays with its unit when a line is broken.
func TestLinesAreBroken(t *testing.T) {
	t.Parallel()
	const text = "D1 takes 359 mA in all, and its limit is 25 mA each."
	for width := 10.0; width < 400; width += 7 {
		lines := broken(text, width, 12)
		if strings.Join(lines, " ") != text {
			t.Errorf("at %g: %q", width, lines)
		}
		for _, l := range lines {
			if strings.HasPrefix(l, "mA") || canvas.TextWidth(l, 12, false) > width && strings.Count(l, " ") > 1 {
				t.Errorf("at %g there is a line %q", width, l)
			}
		}
	}
}

// A finding of the circuit before a change has a grey flag.
func TestStaleFindingsAreGrey(t *testing.T) {
	t.Parallel()
	d, r := switched()
	o := lightOptions()
	colours := func(stale bool) map[string]int {
		o.Findings = []Finding{{Severity: Caution, Parts: []string{"Q1"}, Stale: stale}}
		seen := map[string]int{}
		for _, it := range Build(d, r, o).Picture.Items {
			if p, ok := it.(*canvas.Path); ok {
				seen[fmt.Sprint(p.Fill)]++
				seen[fmt.Sprint(p.Stroke)]++
			}
		}
		return seen
	}
	red := fmt.Sprint(o.Theme.Flag)
	if fresh, stale := colours(false)[red], colours(true)[red]; fresh != 2 || stale != 0 {
		t.Errorf("%d and %d paths are red, want the sign and the edge of the fresh one", fresh, stale)
	}
}

// The text below a drawing stands under it, with what the flags say under that.
func TestTheTextBelow(t *testing.T) {
	t.Parallel()
	d, r := switched()
	o := lightOptions()
	o.Findings = []Finding{{Severity: Caution, Parts: []string{"Q1"}}}
	plain := Build(d, r, o)
	o.Text, o.Explain = strings.Repeat("Now 3 mA flow. ", 20), func(Flag) string { return "a caution" }
	s := Build(d, r, o)
	least := plain.Bounds.Max.Y - Margin
	lines := 0
	for _, it := range s.Picture.Items[len(plain.Picture.Items):] {
		text, ok := it.(*canvas.Text)
		if !ok || text.Bold {
			continue
		}
		lines++
		box := text.Bounds()
		if box.Min.Y < least || !inside(box, s.Bounds.Inset(Margin-1)) {
			t.Errorf("%q is at %v, what is above it ends at %g, all at %v", text.String, box, least, s.Bounds)
		}
		least = box.Max.Y - 3 // of the line below, whose tallest letters may reach up
	}
	if lines < 4 {
		t.Errorf("there are %d lines", lines)
	}
}

// Of very many flags the first ones are explained, and how many more there are.
func TestVeryManyFlagsAreExplainedInPart(t *testing.T) {
	t.Parallel()
	d, r := switched()
	for range 500 {
		r.Faults = append(r.Faults, analysis.Fault{Text: "a", Parts: []string{"R1"}})
	}
	o := lightOptions()
	o.Explain = func(f Flag) string { return fmt.Sprintf("it is %d", f.Number) }
	var said []string
	for _, it := range Build(d, r, o).Picture.Items {
		if text, ok := it.(*canvas.Text); ok && (strings.HasPrefix(text.String, "it is") || strings.HasSuffix(text.String, "more")) {
			said = append(said, text.String)
		}
	}
	if len(said) != explainMost+1 || said[explainMost-1] != fmt.Sprint("it is ", explainMost) || said[explainMost] != "and 440 more" {
		t.Errorf("it says %d things, at the end %q", len(said), said[max(len(said)-2, 0):])
	}
}
