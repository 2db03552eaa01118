package ui

import (
	"testing"

	"fyne.io/fyne/v2"

	"copperglass/assets"
	"copperglass/canvas"
	"copperglass/model"
)

// unseen returns a text of the drawing that is not wholly in view, or "".
func (s *surface) unseen() string {
	seen := s.visible()
	for _, l := range s.scene.Labels {
		if !seen.Contains(l.Box.Min) || !seen.Contains(l.Box.Max) {
			return l.Text
		}
	}
	for _, it := range s.scene.Picture.Items {
		if t, ok := it.(*canvas.Text); ok && !(seen.Contains(t.Bounds().Min) && seen.Contains(t.Bounds().Max)) {
			return t.String
		}
	}
	return ""
}

func TestFittingShowsEveryLabel(t *testing.T) {
	for _, name := range assets.Examples() {
		w := newTestWindow(t)
		w.OpenExample(name)
		for _, size := range []fyne.Size{{Width: 1440, Height: 900}, {Width: 960, Height: 600}, {Width: 820, Height: 560}} {
			w.win.Resize(size)
			w.surface.FitAll()
			w.paint()
			if text := w.surface.unseen(); text != "" {
				t.Errorf("%s at %v: %q is cut off", name, size, text)
			}
		}
	}
}

// The drawing is fitted when the window gets its size, again when its figures
// come, and again when it gets a title block; but not against the person's will.
func TestTheFittedViewFollows(t *testing.T) {
	w := openLantern(t)
	w.paint()
	w.win.Resize(fyne.NewSize(900, 600))
	w.paint()
	if text := w.surface.unseen(); text != "" {
		t.Errorf("in the smaller window %q is cut off", text)
	}
	if err := w.doc.setBlock("Camp lantern", model.TitleBlock{Who: "M. Maker", Date: "2026-11-25", Revision: "B"}); err != nil {
		t.Fatal(err)
	}
	w.paint()
	if text := w.surface.unseen(); text != "" {
		t.Errorf("with a title block %q is cut off", text)
	}
	if w.surface.legend.corner != 0 || !w.surface.legend.raster.Visible() {
		t.Errorf("with a title block the legend is in corner %d", w.surface.legend.corner)
	}
	w.surface.Zoom(1.5)
	before := w.surface.view
	if err := w.doc.setBlock("Lantern", model.TitleBlock{Who: "M. Maker"}); err != nil {
		t.Fatal(err)
	}
	w.paint()
	if w.surface.view != before {
		t.Error("the view that the person chose is lost")
	}
}

func TestThePageKeepsALongerName(t *testing.T) {
	w := openLantern(t)
	w.surface.FitAll()
	w.paint()
	s := w.surface
	page := s.home.page
	if page.Empty() || page != s.visible() {
		t.Fatalf("the page is %v, seen is %v", page, s.visible())
	}
	q2 := w.doc.Diagram().Part("Q2").Clone()
	q2.Value = "BC807-25 or -40"
	if err := w.doc.Edit("value", "", func(f *model.Draft) { f.SetPart("Q2", q2) }); err != nil {
		t.Fatal(err)
	}
	w.paint()
	if text := s.unseen(); text != "" {
		t.Errorf("%q is cut off", text)
	}
}

// The legend stays in its corner while that is free, goes to another where it
// has more than the least room, and does not go back before it must.
func TestTheLegendKeepsItsCorner(t *testing.T) {
	t.Parallel()
	l := legendBox{room: fyne.NewSize(800, 600)}
	l.picture.Add((&canvas.Path{}).Rectangle(canvas.Rect{Max: canvas.Pt(200, 36)}))
	taken := map[int]bool{}
	tight := map[int]bool{} // corners without room to spare
	free := func(at fyne.Position, size fyne.Size) bool {
		for i, c := range l.corners() {
			if at.X <= c.X && c.X+l.size().Width <= at.X+size.Width && at.Y <= c.Y && c.Y+l.size().Height <= at.Y+size.Height {
				return !taken[i] && !(tight[i] && size.Width > l.size().Width)
			}
		}
		return false
	}
	for step, c := range []struct {
		taken, tight []int
		corner       int
		covered      bool
	}{
		{nil, nil, 0, false},
		{nil, []int{0}, 0, false},
		{[]int{0}, []int{1}, 2, false},
		{nil, []int{0, 2}, 2, false},
		{[]int{0, 1, 2, 3}, nil, 2, true},
		{nil, []int{2}, 3, false},
	} {
		clear(taken)
		clear(tight)
		for _, i := range c.taken {
			taken[i] = true
		}
		for _, i := range c.tight {
			tight[i] = true
		}
		if l.corner, l.covered = l.settled(free); l.corner != c.corner || l.covered != c.covered {
			t.Errorf("step %d: corner %d, covered %v; want %d, %v", step, l.corner, l.covered, c.corner, c.covered)
		}
	}
}
