package ui

import (
	"slices"
	"testing"
	"time"

	"fyne.io/fyne/v2"

	"copperglass/model"
)

func TestWindowsHaveDrawingsOfTheirOwn(t *testing.T) {
	w := drawLoop(t)
	w.command("new window")
	other := w.program.windows[1]
	other.place('d', 5, 5)
	if other.doc.Diagram().Part("R1") != nil || w.doc.Diagram().Part("D1") != nil {
		t.Error("two windows share a drawing")
	}
	other.command(Dark)
	if !w.look.Dark || !other.look.Dark {
		t.Error("a theme holds for one window only")
	}
	other.close()
	other.choose(t, "Don’t save")
	if len(w.program.windows) != 1 || w.closed || w.doc.Diagram().Part("R1") == nil {
		t.Error("closing one window does something to the other")
	}
}

func TestTheLastWindowEndsTheProgram(t *testing.T) {
	w := newTestWindow(t)
	ended := 0
	w.program.options.End = func() { ended++ }
	other := w.NewWindow()
	w.close()
	if ended != 0 {
		t.Error("the program ends with its first window")
	}
	other.close()
	if ended != 1 || len(w.program.windows) != 0 {
		t.Errorf("ended %d times", ended)
	}
}

func TestAFileIsOpenOnce(t *testing.T) {
	path := saved(t, &model.Diagram{Title: "Lamp"}, "lamp.cglass")
	w := newTestWindow(t)
	w.OpenFile(path)
	other := w.NewWindow()
	other.OpenFile(path)
	if other.doc.Path() != "" {
		t.Error("a file is open in two windows")
	}
	w.OpenBeside(path)
	if len(w.program.windows) != 2 {
		t.Errorf("%d windows", len(w.program.windows))
	}
}

// TestQuitAsksAboutEachWindow and closes none until all are answered.
func TestQuitAsksAboutEachWindow(t *testing.T) {
	w := drawLoop(t)
	ended := 0
	w.program.options.End = func() { ended++ }
	w.NewWindow()
	third := w.NewWindow()
	third.place('d', 5, 5)
	w.command("quit")
	w.choose(t, "Don’t save")
	third.choose(t, "Cancel")
	if ended != 0 || len(w.program.windows) != 3 || w.doc.Diagram().Part("R1") == nil {
		t.Fatalf("ended %d times, %d windows", ended, len(w.program.windows))
	}
	w.command("quit")
	w.choose(t, "Don’t save")
	third.choose(t, "Don’t save")
	if ended != 1 || len(w.program.windows) != 0 {
		t.Errorf("ended %d times, %d windows", ended, len(w.program.windows))
	}
}

func TestClosingWithAMenuOpen(t *testing.T) {
	w := newTestWindow(t)
	ended := false
	w.program.options.End = func() { ended = true }
	w.partMenu(fyne.NewPos(300, 300))
	if !w.modal() {
		t.Fatal("no menu is open")
	}
	w.close()
	if !ended {
		t.Error("a menu keeps the window open")
	}
}

func TestClosingWithADialogOpen(t *testing.T) {
	w := drawLoop(t)
	w.New()
	w.partMenu(fyne.NewPos(300, 300))
	w.close()
	if len(w.asking) != 1 || len(w.win.Canvas().Overlays().List()) != 1 || w.closed {
		t.Errorf("%d dialogs, %d overlays", len(w.asking), len(w.win.Canvas().Overlays().List()))
	}
}

func TestTheSizeOfAWindowIsRemembered(t *testing.T) {
	w := newTestWindow(t)
	w.program.options.End = func() {}
	w.win.Resize(fyne.NewSize(1100, 777))
	w.close()
	if again := loadSettings(w.program.options.Settings); again.size != w.win.Canvas().Size() || again.size.Height != 777 {
		t.Errorf("the size is %v", again.size)
	}
}

// TestAThemeIsPutOnOnce: a second window must not make the toolkit lay the first
// out anew.
func TestAThemeIsPutOnOnce(t *testing.T) {
	w := newTestWindow(t)
	times := 0
	w.app.Settings().AddListener(func(fyne.Settings) { times++ })
	w.NewWindow()
	if times != 0 {
		t.Errorf("the theme is put on anew %d times for another window", times)
	}
	w.settings.theme = Dark
	if w.program.settings.forced != "" {
		w.program.settings.forced = Dark
	}
	w.program.redress()
	if times != 1 {
		t.Errorf("another theme is put on %d times for two windows, want once", times)
	}
}

// TestMenusFollowOnce: the bar is brought to the state when that rests, not with
// every click.
func TestMenusFollowOnce(t *testing.T) {
	w := newTestWindow(t)
	var due func()
	w.later = func(d time.Duration, f func()) func() {
		if d == menuRest {
			due = f
		}
		return func() { due = nil }
	}
	undo := w.menu.items[slices.IndexFunc(w.menu.items, func(i *menuItem) bool { return i.action.name == "undo" })]
	w.place('r', 5, 5)
	w.place('r', 5, 9)
	if due == nil || !undo.Disabled {
		t.Fatal("nothing waits, or the menus do not")
	}
	due()
	if undo.Disabled {
		t.Error("the menus do not follow")
	}
}
