package ui

import (
	"os"
	"path/filepath"
	"slices"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/widget"

	"copperglass/model"
)

// names are what the dialog for files lists.
func (c *chooser) names() (list []string) {
	for _, e := range c.entries {
		list = append(list, e.Name())
	}
	return list
}

// newChooser opens the dialog for a drawing in a folder with things of every sort.
func newChooser(t *testing.T) (*Window, *chooser, string) {
	t.Helper()
	path := saved(t, &model.Diagram{Title: "Two"}, "two.cglass")
	folder := filepath.Dir(path)
	for _, name := range []string{"notes.txt", ".hidden.cglass", "10.cglass", "9.CGLASS"} {
		if err := os.WriteFile(filepath.Join(folder, name), nil, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	if err := os.Mkdir(filepath.Join(folder, "zoo"), 0o700); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink("zoo", filepath.Join(folder, "link")); err != nil {
		t.Fatal(err)
	}
	w := newTestWindow(t)
	w.settings.folder = folder
	c := w.chooseFile("Open a drawing", false, "", suffix, func(string) {})
	return w, c, folder
}

func TestFilesAreListed(t *testing.T) {
	w, c, _ := newChooser(t)
	if got := c.names(); !slices.Equal(got, []string{"link", "zoo", "9.CGLASS", "10.cglass", "two.cglass"}) {
		t.Errorf("drawings: %v", got)
	}
	find[*widget.Check](t, w).SetChecked(true)
	if got := c.names(); !slices.Equal(got, []string{"link", "zoo", "9.CGLASS", "10.cglass", "notes.txt", "two.cglass"}) {
		t.Errorf("all files: %v", got)
	}
}

// TestFoldersByKeys goes through a symbolic link into a folder and up again.
func TestFoldersByKeys(t *testing.T) {
	w, c, folder := newChooser(t)
	c.name.TypedKey(&fyne.KeyEvent{Name: fyne.KeyDown})
	c.name.TypedKey(&fyne.KeyEvent{Name: fyne.KeyReturn})
	if want := filepath.Join(folder, "link"); c.folder != want || len(w.asking) != 1 {
		t.Errorf("in %s, want %s", c.folder, want)
	}
	c.name.TypedShortcut(&desktop.CustomShortcut{KeyName: fyne.KeyUp, Modifier: fyne.KeyModifierAlt})
	if c.folder != folder {
		t.Errorf("in %s, want %s", c.folder, folder)
	}
}

func TestNewFolder(t *testing.T) {
	w, c, folder := newChooser(t)
	for _, name := range []string{"", "..", "a/b", "zoo"} {
		c.askFolder()
		w.writePath(t, name)
		if len(w.asking) != 2 {
			t.Errorf("%q was taken", name)
		}
		w.typedInDialog(fyne.KeyEscape)
	}
	c.askFolder()
	w.writePath(t, " new one ")
	if want := filepath.Join(folder, "new one"); c.folder != want || !isFolder(want) || !w.hasFocus(c.name) {
		t.Errorf("in %s, want %s", c.folder, want)
	}
}

// TestPlacesLead: one click goes to the folder of a recent drawing.
func TestPlacesLead(t *testing.T) {
	w, c, folder := newChooser(t)
	other := t.TempDir()
	w.settings.recent = []string{filepath.Join(other, "a.cglass"), filepath.Join(other, "b.cglass"), filepath.Join(folder, "gone", "c.cglass")}
	c.enter(folder)
	last := c.places.Objects[len(c.places.Objects)-1].(*tapArea)
	last.Tapped(nil)
	if c.folder != other {
		t.Errorf("in %s, want %s", c.folder, other)
	}
	for _, o := range c.places.Objects {
		o.(*tapArea).Tapped(nil)
	}
	if len(w.asking) != 1 {
		t.Error("a place has closed the dialog")
	}
}

func TestUserFoldersInOtherLanguages(t *testing.T) {
	config := t.TempDir()
	t.Setenv("XDG_CONFIG_HOME", config)
	text := "# made by a program\nXDG_DESKTOP_DIR=\"$HOME/Bureau\"\nXDG_DOCUMENTS_DIR=\"/srv/papers\"\nnonsense\n"
	if err := os.WriteFile(filepath.Join(config, "user-dirs.dirs"), []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	got := userFolders("/home/ada")
	for name, want := range map[string]string{"DESKTOP": "/home/ada/Bureau", "DOCUMENTS": "/srv/papers", "DOWNLOAD": "/home/ada/Downloads"} {
		if got[name] != want {
			t.Errorf("%s is %s, want %s", name, got[name], want)
		}
	}
}

// find returns the first object of that type in the dialog on top.
func find[T fyne.CanvasObject](t *testing.T, w *Window) (found T) {
	t.Helper()
	var walk func(fyne.CanvasObject) bool
	walk = func(o fyne.CanvasObject) bool {
		if is, ok := o.(T); ok {
			found = is
			return true
		}
		box, ok := o.(*fyne.Container)
		return ok && slices.ContainsFunc(box.Objects, walk)
	}
	if !walk(w.asking[len(w.asking)-1].popUp.Content.(*fyne.Container)) {
		t.Fatal("there is none")
	}
	return found
}
