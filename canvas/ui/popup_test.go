package ui

import (
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"
)

// A second press of the right button closes the menu, and let go over the sheet
// opens it there; Escape closes it even where nothing has the keys.
func TestAContextMenuNeverKeepsTheKeys(t *testing.T) {
	w := drawLoop(t)
	press := func(x, y float64) {
		if p, open := w.win.Canvas().Overlays().Top().(*popup); open {
			p.MouseDown(mouse(w.at(x, y), desktop.MouseButtonSecondary))
		}
		w.surface.MouseUp(mouse(w.at(x, y), desktop.MouseButtonSecondary))
	}
	press(18, 10)
	press(20, 12)
	menus := w.win.Canvas().Overlays().List()
	if len(menus) != 1 {
		t.Fatalf("%d menus are open", len(menus))
	}
	if p := menus[0].(*popup); p.at != w.at(20, 12) || w.win.Canvas().Focused() != fyne.Focusable(p) {
		t.Errorf("the menu stands at %v, the keys are with %T", p.at, w.win.Canvas().Focused())
	}
	w.win.Canvas().Unfocus()
	w.typedKey(&fyne.KeyEvent{Name: fyne.KeyEscape})
	if w.modal() {
		t.Fatal("Escape leaves the menu open")
	}
	w.typedKey(&fyne.KeyEvent{Name: fyne.KeyEscape})
	if !w.hasFocus(w.surface) {
		t.Error("the sheet has not got the keys")
	}
}
