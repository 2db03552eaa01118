package ui

import (
	"fyne.io/fyne/v2"
	prim "fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/widget"

	"copperglass/canvas"
)

// segment is a choice between a few words that lie side by side.
type segment struct {
	widget.BaseWidget
	options []string
	chosen  string
	choose  func(option string)

	ground *prim.Rectangle
	mark   *prim.Rectangle
	words  []*prim.Text
	look   canvas.Theme
}

const segmentHeight = 26

func newSegment(look canvas.Theme, options []string, choose func(string)) *segment {
	s := &segment{options: options, choose: choose, look: look}
	s.ground = rounded(look.Tray, look.Edge, 1, 6)
	s.mark = rounded(look.Chosen, look.Accent, 1, 6)
	for _, o := range options {
		s.words = append(s.words, styledText(o, smallSize, false, look.Ink))
	}
	s.ExtendBaseWidget(s)
	return s
}

// set marks an option without telling anybody.
func (s *segment) set(option string) {
	if s.chosen != option {
		s.chosen = option
		s.Refresh()
	}
}

// Tapped chooses the option under the pointer.
func (s *segment) Tapped(e *fyne.PointEvent) {
	i := int(e.Position.X / s.Size().Width * float32(len(s.options)))
	s.choose(s.options[max(0, min(i, len(s.options)-1))])
}

func (s *segment) CreateRenderer() fyne.WidgetRenderer { return &segmentRenderer{s} }

type segmentRenderer struct{ s *segment }

func (r *segmentRenderer) Layout(size fyne.Size) {
	s := r.s
	s.ground.Resize(size)
	w := size.Width / float32(len(s.options))
	for i, word := range s.words {
		m := word.MinSize()
		word.Resize(m)
		word.Move(fyne.NewPos(float32(int(w*float32(i)+(w-m.Width)/2)), float32(int((size.Height-m.Height)/2))))
		if s.options[i] == s.chosen {
			s.mark.Move(fyne.NewPos(float32(int(w*float32(i))), 0))
			s.mark.Resize(fyne.NewSize(float32(int(w)), size.Height))
		}
	}
}

func (r *segmentRenderer) MinSize() fyne.Size {
	w := float32(0)
	for _, word := range r.s.words {
		w = max(w, word.MinSize().Width)
	}
	return fyne.NewSize((w+10)*float32(len(r.s.words)), segmentHeight)
}

func (r *segmentRenderer) Refresh() {
	r.s.mark.Hide()
	for i, word := range r.s.words {
		chosen := r.s.options[i] == r.s.chosen
		word.TextStyle.Bold = chosen
		word.Color = r.s.look.Quiet
		if chosen {
			word.Color = r.s.look.Ink
			r.s.mark.Show()
		}
		word.Refresh()
	}
	r.Layout(r.s.Size())
}

func (r *segmentRenderer) Objects() []fyne.CanvasObject {
	objects := []fyne.CanvasObject{r.s.ground, r.s.mark}
	for _, word := range r.s.words {
		objects = append(objects, word)
	}
	return objects
}

func (r *segmentRenderer) Destroy() {}
