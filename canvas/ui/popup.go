package ui

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/widget"
)

// popup is a menu at a place, over all of the window. Any button pressed beside
// it closes it, and the right one, let go over the sheet, opens the next. The
// toolkit's own stays there without the keys when the right button is pressed.
type popup struct {
	widget.BaseWidget
	menu *widget.Menu
	at   fyne.Position
}

// popUp opens a menu at a place on the window.
func (w *Window) popUp(m *fyne.Menu, at fyne.Position) {
	if len(m.Items) == 0 {
		return
	}
	c := w.win.Canvas()
	p := &popup{menu: widget.NewMenu(m), at: at}
	p.menu.OnDismiss = func() { c.Overlays().Remove(p) }
	p.ExtendBaseWidget(p)
	c.Overlays().Add(p)
	p.Resize(c.Size())
	w.focus(p)
}

// MouseDown closes the menu: what is pressed there is beside it.
func (p *popup) MouseDown(*desktop.MouseEvent) { p.menu.Dismiss() }

// MouseUp does nothing.
func (p *popup) MouseUp(*desktop.MouseEvent) {}

// FocusGained does nothing.
func (p *popup) FocusGained() {}

// FocusLost does nothing.
func (p *popup) FocusLost() {}

// TypedRune does nothing.
func (p *popup) TypedRune(rune) {}

// TypedKey goes through the menu.
func (p *popup) TypedKey(e *fyne.KeyEvent) {
	switch e.Name {
	case fyne.KeyEscape:
		p.menu.Dismiss()
	case fyne.KeyDown:
		p.menu.ActivateNext()
	case fyne.KeyUp:
		p.menu.ActivatePrevious()
	case fyne.KeyEnter, fyne.KeyReturn, fyne.KeySpace:
		p.menu.TriggerLast()
	}
}

// CreateRenderer is called by the toolkit.
func (p *popup) CreateRenderer() fyne.WidgetRenderer { return &popupRenderer{p} }

type popupRenderer struct{ p *popup }

// Layout puts the menu where it was asked for, or as near as it is all seen, with
// its shadow.
func (r *popupRenderer) Layout(size fyne.Size) {
	const margin = 6 // to the edges of the window
	m := r.p.menu.MinSize()
	at := fyne.NewPos(max(0, min(r.p.at.X, size.Width-m.Width-margin)), max(0, min(r.p.at.Y, size.Height-m.Height-margin)))
	r.p.menu.Move(at)
	r.p.menu.Resize(fyne.NewSize(m.Width, min(m.Height, size.Height)))
}

func (r *popupRenderer) MinSize() fyne.Size           { return r.p.menu.MinSize() }
func (r *popupRenderer) Objects() []fyne.CanvasObject { return []fyne.CanvasObject{r.p.menu} }
func (r *popupRenderer) Refresh()                     { r.Layout(r.p.Size()) }
func (r *popupRenderer) Destroy()                     {}
