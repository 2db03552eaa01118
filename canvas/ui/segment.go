package ui

import (
	"slices"

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

	at int // the option that the keys are at, while they are here

	ground *prim.Rectangle
	mark   *prim.Rectangle
	ring   *prim.Rectangle // around the option that the keys are at
	words  []*prim.Text
	look   canvas.Theme
}

const segmentHeight = 26

func newSegment(look canvas.Theme, options []string, choose func(string)) *segment {
	s := &segment{options: options, choose: choose, look: look}
	s.ground = rounded(look.Tray, look.Border, 1, 6)
	s.mark = rounded(look.Chosen, look.Accent, 1, 6)
	s.ring = newRing()
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

// Tapped chooses the option under the pointer; the next key is the sheet's.
func (s *segment) Tapped(e *fyne.PointEvent) {
	if c := fyne.CurrentApp().Driver().CanvasForObject(s); c != nil && c.Overlays().Top() == nil {
		c.Unfocus() // what is typed is done first
	}
	i := int(e.Position.X / s.Size().Width * float32(len(s.options)))
	s.choose(s.options[max(0, min(i, len(s.options)-1))])
}

// FocusGained shows that the keys are at the option that is chosen.
func (s *segment) FocusGained() {
	s.at = max(0, slices.Index(s.options, s.chosen))
	s.Refresh()
	showRing(s.ring, s, true)
	reveal(s)
}

// FocusLost is called when the keyboard goes.
func (s *segment) FocusLost() { showRing(s.ring, s, false) }

// TypedRune is called with letters, which it has no use for.
func (s *segment) TypedRune(rune) {}

// TypedKey goes to another option and chooses it, or hands the keyboard back.
func (s *segment) TypedKey(e *fyne.KeyEvent) {
	switch {
	case e.Name == fyne.KeyLeft:
		s.at = max(s.at-1, 0)
	case e.Name == fyne.KeyRight:
		s.at = min(s.at+1, len(s.options)-1)
	case presses(e.Name):
		s.choose(s.options[s.at])
	case e.Name == fyne.KeyEscape:
		release(s)
	}
	s.Refresh()
}

func (s *segment) CreateRenderer() fyne.WidgetRenderer { return &segmentRenderer{s} }

type segmentRenderer struct{ s *segment }

func (r *segmentRenderer) Layout(size fyne.Size) {
	s := r.s
	s.ground.Resize(size)
	w := size.Width / float32(len(s.options))
	s.ring.Move(fyne.NewPos(float32(int(w*float32(s.at))), 0))
	s.ring.Resize(fyne.NewSize(float32(int(w)), size.Height))
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
	return fyne.NewSize((w+10)*float32(len(r.s.words)), grown(segmentHeight))
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
	return append(objects, r.s.ring)
}

func (r *segmentRenderer) Destroy() {}
