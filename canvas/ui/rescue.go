package ui

import (
	"fmt"
	"os"
	"path/filepath"
	"runtime"

	"copperglass/model"
	"copperglass/model/file"
)

// rescue keeps a copy of an unsaved drawing when the program is about to end
// against the person's will.
type rescue struct {
	folder string
}

// stateFolder is where programs keep what is neither settings nor documents:
// by the XDG Base Directory Specification 0.8 on Linux, the usual places of
// applications elsewhere.
func stateFolder() string {
	if folder := os.Getenv("XDG_STATE_HOME"); folder != "" {
		return filepath.Join(folder, "copperglass")
	}
	home, err := os.UserHomeDir()
	if err != nil {
		return filepath.Join(os.TempDir(), "copperglass")
	}
	if runtime.GOOS == "linux" {
		return filepath.Join(home, ".local", "state", "copperglass")
	}
	if folder, err := os.UserConfigDir(); err == nil {
		return filepath.Join(folder, "copperglass")
	}
	return filepath.Join(home, ".copperglass")
}

func (r rescue) path() string { return filepath.Join(r.folder, "rescued"+suffix) }

// keep writes the copy and returns where it is.
func (r rescue) keep(d *model.Diagram) (string, error) {
	if err := os.MkdirAll(r.folder, 0o700); err != nil {
		return "", err
	}
	return r.path(), file.Save(r.path(), d)
}

// found returns the drawing that was rescued last time, or nil.
func (r rescue) found() *model.Diagram {
	d, err := file.Load(r.path())
	if err != nil {
		return nil
	}
	return d
}

// drop takes the copy away once the drawing is safe.
func (r rescue) drop() { os.Remove(r.path()) }

// Rescue keeps a copy of the drawing if it has unsaved changes that nobody has
// decided to drop, and says where it is; it returns "" where there is nothing
// to keep. The next window offers the copy.
func (w *Window) Rescue() string {
	if w.closed || !w.doc.Changed() {
		return ""
	}
	path, err := w.rescue.keep(w.doc.Diagram())
	if err != nil {
		return fmt.Sprintf("the unsaved drawing is lost: %v", err)
	}
	return "the unsaved drawing is kept in " + path
}

// offerRescued offers the drawing that was rescued last time.
func (w *Window) offerRescued() {
	d := w.rescue.found()
	if d == nil {
		return
	}
	text := "Copperglass ended unexpectedly last time. A copy of the drawing that was open is kept."
	w.ask("Open the rescued drawing?", paragraph(text, dialogWidth, textSize, w.look.Ink),
		answer{label: "Throw it away", do: w.rescue.drop},
		answer{label: "Open it", do: func() { w.guard(func() { w.openRescued(d) }) }},
	)
}

// openRescued opens the copy as a changed drawing without a file.
func (w *Window) openRescued(d *model.Diagram) {
	w.replace(&model.Diagram{}, "")
	err := w.doc.Edit("rescue", "", func(f *model.Draft) {
		f.SetTitle(d.Title)
		for _, p := range d.Parts {
			f.AddPart(p)
		}
		for _, wire := range d.Wires {
			f.AddWire(wire)
		}
		for _, m := range d.Modes {
			f.AddMode(m)
		}
		for _, name := range d.Params.Names() {
			f.SetParam(name, d.Params[name])
		}
	})
	if err != nil {
		w.fail("Not opened", err)
		return
	}
	w.surface.FitAll()
	w.rescue.drop()
}
