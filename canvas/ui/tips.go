package ui

import (
	"strings"
	"time"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/widget"

	"copperglass/canvas"
)

// tipDelay is how long the pointer rests before an explanation comes.
const tipDelay = 500 * time.Millisecond

const (
	tipWidth   = 280
	tipPad     = 8
	tipBetween = 18 // a name and its figure, at least
	tipBelow   = 20 // from the pointer to the explanation
	tipMargin  = 6  // to the edges of the window
)

// tips is the layer above the window in which explanations appear. The toolkit
// has none, and its pop-ups would take the mouse away from what lies below.
type tips struct {
	layer *fyne.Container
	look  canvas.Theme
	later Later
	still func() // drops what is waiting
	text  string // what is waiting or shown
}

func newTips(look canvas.Theme, later Later) *tips {
	return &tips{layer: container.NewWithoutLayout(), look: look, later: later, still: func() {}}
}

// after shows text near the pointer once it has rested.
func (t *tips) after(text string, pointer fyne.Position) {
	t.hide()
	if text == "" {
		return
	}
	t.text = text
	t.still = t.later(tipDelay, func() { t.show(text, pointer) })
}

// hide takes the explanation away.
func (t *tips) hide() {
	t.still()
	t.text = ""
	if len(t.layer.Objects) > 0 {
		refill(t.layer)
	}
}

func (t *tips) show(text string, pointer fyne.Position) {
	lines := t.lines(text)
	ground := rounded(t.look.Badge, t.look.Badge, 0, 6)
	size := lines.MinSize()
	box := size.AddWidthHeight(2*tipPad, 2*tipPad-2)
	at := t.place(pointer, box)
	ground.Resize(box)
	ground.Move(at)
	lines.Resize(size)
	lines.Move(at.AddXY(tipPad, tipPad-1))
	refill(t.layer, ground, lines)
}

// lines sets an explanation: paragraphs, and names with their figures at the
// right.
func (t *tips) lines(text string) fyne.CanvasObject {
	ink := t.look.OnBadge
	box := container.New(column{gap: 1})
	for _, line := range strings.Split(curly(text), "\n") {
		if name, figure, is := strings.Cut(line, columnMark); is {
			right := styledText(figure, smallSize, true, ink)
			first := wrap(name, max(grown(tipWidth)-right.MinSize().Width-tipBetween, grown(tipWidth)/3), smallSize, false)
			last := len(first) - 1
			for _, each := range first[:last] {
				box.Add(styledText(each, smallSize, false, ink))
			}
			left := styledText(first[last], smallSize, false, ink)
			box.Add(container.New(spread{tipBetween}, left, right))
			continue
		}
		for _, each := range wrap(line, grown(tipWidth), smallSize, false) {
			box.Add(styledText(each, smallSize, false, ink))
		}
	}
	return box
}

// place keeps an explanation inside the window and away from the pointer.
func (t *tips) place(pointer fyne.Position, box fyne.Size) fyne.Position {
	room := t.layer.Size()
	origin := fyne.CurrentApp().Driver().AbsolutePositionForObject(t.layer)
	at := pointer.Subtract(origin).AddXY(0, tipBelow)
	left := paletteWidth(room.Width)
	switch right, below := room.Width-inspectorWidth(room.Width), room.Height-stripHeight(); {
	case at.X < left: // beside the palette, not over its tiles
		at = fyne.NewPos(left+tipMargin, at.Y-2*tipBelow)
	case at.X >= right && at.Y >= barHeight()+tipBelow: // beside the panel, not over its figures
		at = fyne.NewPos(right-box.Width-tipMargin, at.Y-2*tipBelow)
	case at.X >= right: // below the bar, over all of the panel's heading
		at.X = right + tipMargin
	case at.Y-tipBelow >= below: // above the modes
		at.Y = below - box.Height - tipMargin
	}
	if at.Y+box.Height > room.Height-tipMargin {
		at.Y -= box.Height + 2*tipBelow - tipMargin
	}
	at.X = max(tipMargin, min(at.X, room.Width-box.Width-tipMargin))
	return fyne.NewPos(float32(int(at.X)), float32(int(at.Y)))
}

// hint makes the widget it is embedded in explain itself to a pointer that
// rests on it. Nil explains nothing.
type hint struct {
	tips *tips
	text string
}

// MouseIn begins to wait.
func (h *hint) MouseIn(e *desktop.MouseEvent) {
	if h != nil {
		h.tips.after(h.text, e.AbsolutePosition)
	}
}

// MouseMoved waits anew, unless the explanation is there already.
func (h *hint) MouseMoved(e *desktop.MouseEvent) {
	if h != nil && len(h.tips.layer.Objects) == 0 {
		h.tips.after(h.text, e.AbsolutePosition)
	}
}

// MouseOut ends the explanation.
func (h *hint) MouseOut() {
	if h != nil {
		h.tips.hide()
	}
}

// hinted is any object with an explanation.
type hinted struct {
	widget.BaseWidget
	hint
	content fyne.CanvasObject
}

func newHinted(t *tips, text string, content fyne.CanvasObject) *hinted {
	h := &hinted{hint: hint{t, text}, content: content}
	h.ExtendBaseWidget(h)
	explain(content, &h.hint)
	return h
}

// explain gives the toolkit's own controls within an object its explanation: they
// keep the pointer to themselves.
func explain(o fyne.CanvasObject, h *hint) {
	switch o := o.(type) {
	case *button:
		o.hint = h
	case *choice:
		o.hint = h
	}
	for _, each := range children(o) {
		if _, own := each.(*hinted); !own {
			explain(each, h)
		}
	}
}

func (h *hinted) CreateRenderer() fyne.WidgetRenderer {
	return widget.NewSimpleRenderer(h.content)
}
