package tool_test

import (
	"fmt"
	"strings"
	"testing"

	"copperglass/canvas"
	"copperglass/canvas/tool"
	"copperglass/model"
	"copperglass/model/geom"
)

// hand drives an editor as a person does, in grid steps.
type hand struct {
	*tool.Editor
	t       testing.TB
	history *model.History
}

// draw returns a hand on a drawing given line by line: "R1 resistor 4,0" or
// "R1 resistor 4,0 90" is a part, "0,0 4,0 4,6" a wire. Wires get the
// identities 1, 2, … in their order.
func draw(t testing.TB, lines ...string) *hand {
	t.Helper()
	f := model.NewDraft(&model.Diagram{})
	for _, line := range lines {
		words := strings.Fields(line)
		if strings.Contains(words[0], ",") {
			f.AddWire(&model.Wire{Points: points(words)})
			continue
		}
		p := &model.Part{Ref: words[0], Kind: words[1], Placed: true, At: points(words[2:3])[0]}
		if len(words) > 3 {
			fmt.Sscan(words[3], &p.Orient.Turn)
		}
		f.AddPart(p)
	}
	h := model.NewHistory(f.Diagram())
	return &hand{tool.NewEditor(h), t, h}
}

func points(words []string) []geom.Point {
	var out []geom.Point
	for _, w := range words {
		var p geom.Point
		if _, err := fmt.Sscanf(w, "%d,%d", &p.X, &p.Y); err != nil {
			panic("a point is x,y: " + w)
		}
		out = append(out, p)
	}
	return out
}

func at(x, y float64) canvas.Point { return canvas.Pt(x*canvas.Grid, y*canvas.Grid) }

func (h *hand) click(x, y float64) {
	h.Press(at(x, y), tool.Modifiers{})
	h.Release(at(x, y))
}

func (h *hand) add(x, y float64) {
	h.Press(at(x, y), tool.Modifiers{Add: true})
	h.Release(at(x, y))
}

func (h *hand) drag(x0, y0, x1, y1 float64) {
	h.begin(x0, y0, x1, y1)
	h.Release(at(x1, y1))
}

// begin presses at the first place and goes to the second, without letting go.
func (h *hand) begin(x0, y0, x1, y1 float64) {
	h.Press(at(x0, y0), tool.Modifiers{})
	const steps = 5
	for i := 1.0; i <= steps; i++ {
		h.Move(at(x0+(x1-x0)*i/steps, y0+(y1-y0)*i/steps))
	}
}

// show writes the drawing as draw reads it.
func show(d *model.Diagram) []string {
	var out []string
	for _, p := range d.Parts {
		line := fmt.Sprintf("%s %s %d,%d", p.Ref, p.Kind, p.At.X, p.At.Y)
		if p.Orient.Turn != 0 {
			line += fmt.Sprint(" ", p.Orient.Turn)
		}
		if p.Orient.Mirror {
			line += " mirrored"
		}
		out = append(out, line)
	}
	for _, w := range d.Wires {
		var words []string
		for _, p := range w.Points {
			words = append(words, fmt.Sprintf("%d,%d", p.X, p.Y))
		}
		out = append(out, strings.Join(words, " "))
	}
	return out
}

// wants fails unless the drawing is that.
func (h *hand) wants(want ...string) {
	h.t.Helper()
	got := strings.Join(show(h.history.Diagram()), "\n")
	if want := strings.Join(want, "\n"); got != want {
		h.t.Errorf("the drawing is\n%s\nwant\n%s", got, want)
	}
}

// selects fails unless that is selected: refs, and wires as #1.
func (h *hand) selects(want ...string) {
	h.t.Helper()
	got := map[string]bool{}
	s := h.Selection()
	for ref := range s.Parts {
		got[ref] = true
	}
	for id := range s.Wires {
		got[fmt.Sprint("#", id)] = true
	}
	wanted := map[string]bool{}
	for _, w := range want {
		wanted[w] = true
	}
	if fmt.Sprint(got) != fmt.Sprint(wanted) {
		h.t.Errorf("selected is %v, want %v", got, wanted)
	}
}

func pt(x, y int) geom.Point { return geom.Pt(x, y) }
