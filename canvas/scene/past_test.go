package scene

import (
	"slices"
	"strings"
	"testing"

	"copperglass/canvas"
	"copperglass/model"
)

// struck returns the texts of a scene with a line beneath their letters, and
// beside what they stand.
func struck(s *Scene) []string {
	var found []string
	for i, it := range s.Picture.Items {
		line, ok := it.(*canvas.Path)
		if !ok || len(line.Segs) != 2 || line.Width != strikeWidth || i < 1 || i+1 == len(s.Picture.Items) {
			continue
		}
		past, ok := s.Picture.Items[i+1].(*canvas.Text)
		if now, ok2 := s.Picture.Items[i-1].(*canvas.Text); ok && ok2 && past.Size < now.Size {
			found = append(found, now.String+" was "+past.String)
		}
	}
	slices.Sort(found)
	return found
}

// What differs by more than half a percent tells what it was; what does not
// tells nothing.
func TestTheFiguresBefore(t *testing.T) {
	t.Parallel()
	d := example(t, "lantern")
	white, o := solve(t, d, "White"), lightOptions()
	o.Before = white
	if got := struck(Build(d, white, o)); got != nil {
		t.Errorf("beside itself, a result tells %q", got)
	}
	o.Before = turned(white, 0)
	for ref, p := range o.Before.Parts {
		for j := range p.Pins {
			p.Pins[j].Amps = white.Parts[ref].Pins[j].Amps * 1.004
		}
	}
	for i := range o.Before.Volts {
		o.Before.Volts[i] = white.Volts[i] * 0.997
	}
	if got := struck(Build(d, white, o)); got != nil {
		t.Errorf("after a change of less than half a percent it tells %q", got)
	}
	o.Before = solve(t, d, "Off")
	got := strings.Join(struck(Build(d, white, o)), "; ")
	for _, want := range []string{"3.71 V was 4.14 V", "359 mA was < 1 pA"} {
		if !strings.Contains(got, want) {
			t.Errorf("after Off, White tells %s; want %q among it", got, want)
		}
	}
}

// A result of other parts, or one that does not fit the nets, is compared with
// nothing.
func TestAnotherCircuitIsNotCompared(t *testing.T) {
	t.Parallel()
	d, r := switched()
	o := lightOptions()
	o.Before = turned(r, 1)
	if len(struck(Build(d, r, o))) == 0 {
		t.Fatal("a change is not told; this test would see none")
	}
	o.Before.Parts["R2"].Pins[0].Amps *= 2
	if got := struck(Build(d, r, o)); got != nil {
		t.Errorf("currents that do not come to nothing at a net are compared: %q", got)
	}
	o.Before = turned(r, 1)
	delete(o.Before.Parts, "R2")
	if got := struck(Build(d, r, o)); got != nil {
		t.Errorf("a result without R2 is compared: %q", got)
	}
}

// A value of a part tells what the drawing has, where that is another.
func TestTheValuesBefore(t *testing.T) {
	t.Parallel()
	d := example(t, "lantern")
	f := model.NewDraft(d)
	f.Override(model.Setting{"R4": {"resistance": model.Number(12)}, "BT1": {"charge_left": model.Number(0.5)}})
	varied, o := f.Diagram(), lightOptions()
	r := solve(t, varied, "White")
	if got := struck(Build(varied, r, o)); got != nil {
		t.Errorf("compared with nothing it tells %q", got)
	}
	o.Drawn = d
	got := struck(Build(varied, r, o))
	if len(got) != 2 || !strings.HasPrefix(got[0], "12 Ω was link, 0 Ω") && !strings.HasPrefix(got[1], "12 Ω was link, 0 Ω") {
		t.Errorf("it tells %q, want the link and what is left in the cells", got)
	}
	if got := struck(Build(d, solve(t, d, "White"), o)); got != nil {
		t.Errorf("beside itself the drawing tells %q", got)
	}
}

// A name does not leave the page for what it was before.
func TestTheValuesBeforeStayOnThePage(t *testing.T) {
	t.Parallel()
	d := example(t, "lantern")
	f := model.NewDraft(d)
	f.Override(model.Setting{"BT1": {"size": model.Word("R6"), "chemistry": model.Word("zinc-carbon")}})
	varied, o := f.Diagram(), lightOptions()
	page := Build(d, solve(t, d, "White"), o).Bounds
	o.Drawn, o.Page = d, &page
	s := Build(varied, solve(t, varied, "White"), o)
	for _, l := range s.Labels {
		if l.Ref == "BT1" && l.Kind == NameLabel && !inside(l.Box, page) {
			t.Errorf("the name is at %v, the page is %v", l.Box, page)
		}
	}
	if got := struck(s); !slices.ContainsFunc(got, func(s string) bool { return strings.HasSuffix(s, "was 3 × LR6 alkaline") }) {
		t.Errorf("it tells %q", got)
	}
}
