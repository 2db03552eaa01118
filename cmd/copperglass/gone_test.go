//go:build linux

package main

import (
	"os"
	"path/filepath"
	"testing"

	"copperglass/assets"
	"copperglass/model/file"
)

// TestAFileThatIsGone is told, and its drawing is saved again before the window
// closes.
func TestAFileThatIsGone(t *testing.T) {
	t.Parallel()
	path := filepath.Join(t.TempDir(), "lantern.cglass")
	text, err := assets.Example("lantern")
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, text, 0o600); err != nil {
		t.Fatal(err)
	}
	p := launch(t, setup{}, path)
	p.untilTitle("Tent lantern – Copperglass")
	if err := os.Rename(path, path+".moved"); err != nil {
		t.Fatal(err)
	}
	p.untilTitle("• Tent lantern – Copperglass")
	p.usualAnswer()
	p.keys("Escape")
	p.untilCalm()
	p.keys("ctrl+w")
	p.click(p.usualAnswer())
	p.untilEnded()
	if d, err := file.Load(path); err != nil || d.Title != "Tent lantern" {
		t.Errorf("saved again it is %v, %v", d, err)
	}
}
