package ui

import (
	"os"
	"path/filepath"
	"testing"

	"copperglass/canvas/tool"
	"copperglass/model"
)

// A recent file that is gone is not offered.
func TestRecentFilesThatAreGoneAreLeftOut(t *testing.T) {
	w := newTestWindow(t)
	here := filepath.Join(t.TempDir(), "here.cglass")
	if err := os.WriteFile(here, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	w.settings.recent = []string{filepath.Join(t.TempDir(), "gone", "a.cglass"), here}
	if list := w.recentActions(); len(list) != 1 || list[0].name != "recent "+here {
		t.Errorf("offered are %d files, first %q", len(list), list[0].name)
	}
}

// What is said of a change goes with the next one, and a key that has nothing to
// do says what it needs.
func TestTheBarsNewsAreOfTheDrawingAsItIs(t *testing.T) {
	w := drawLoop(t)
	w.bar.report("saved")
	w.doc.Undo()
	if w.bar.news != "" {
		t.Errorf("after an undo the bar says %q", w.bar.news)
	}
	w.Select("R1")
	w.typeOnSheet("a")
	if w.bar.news == "" {
		t.Error("A says nothing of what it needs")
	}
	if w.doc.Select(); w.menu.table.named("turn").can(w) {
		t.Error("nothing can be turned")
	}
	w.surface.edit(func(e *tool.Editor) { e.SelectWires(w.doc.Shown().Wires[0].ID) })
	if w.menu.table.named("turn").can(w) {
		t.Error("wires alone can be turned")
	}
}

// A picture with a title block tells the title there alone.
func TestAPictureTellsItsTitleOnce(t *testing.T) {
	w := openLantern(t)
	before := w.caption()
	if err := w.doc.setBlock("Camp lantern", model.TitleBlock{Who: "M. Maker"}); err != nil {
		t.Fatal(err)
	}
	if before != "Tent lantern · Off" || w.caption() != "Off" {
		t.Errorf("the captions are %q and %q", before, w.caption())
	}
}
