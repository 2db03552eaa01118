package file_test

import (
	"errors"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"copperglass/model"
	"copperglass/model/file"
)

func titled(title string) *model.Diagram { return &model.Diagram{Title: title} }

// put writes a file that stands in for an earlier drawing.
func put(t *testing.T, path, text string, perm os.FileMode) {
	t.Helper()
	if err := os.WriteFile(path, []byte(text), perm); err != nil {
		t.Fatal(err)
	}
	if err := os.Chmod(path, perm); err != nil { // whatever the umask
		t.Fatal(err)
	}
}

func get(t *testing.T, path string) string {
	t.Helper()
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

// expectAlone checks that the folder holds the named files and nothing else.
func expectAlone(t *testing.T, folder string, names ...string) {
	t.Helper()
	entries, err := os.ReadDir(folder)
	if err != nil {
		t.Fatal(err)
	}
	var found []string
	for _, e := range entries {
		found = append(found, e.Name())
	}
	if strings.Join(found, " ") != strings.Join(names, " ") {
		t.Errorf("the folder holds %q, want %q", found, names)
	}
}

func TestSaveAndLoad(t *testing.T) {
	t.Parallel()
	folder := t.TempDir()
	path := filepath.Join(folder, "lamp.cglass")
	for _, title := range []string{"first", "second"} {
		if err := file.Save(path, titled(title)); err != nil {
			t.Fatal(err)
		}
		d, err := file.Load(path)
		if err != nil || d.Title != title {
			t.Fatalf("loaded %v, error %v", d, err)
		}
	}
	expectAlone(t, folder, "lamp.cglass")
}

// A failure leaves the file as it was and nothing beside it.
func TestAFailedWriteChangesNothing(t *testing.T) {
	t.Parallel()
	broken := errors.New("the disk broke")
	failures := map[string]func(io.Writer) error{
		"at once":   func(io.Writer) error { return broken },
		"half way":  func(w io.Writer) error { io.WriteString(w, `{"format"`); return broken },
		"unsound":   func(w io.Writer) error { return file.Encode(w, &model.Diagram{Parts: []*model.Part{{}}}) },
		"at length": func(w io.Writer) error { w.Write(make([]byte, 1<<20)); return broken },
	}
	for name, fail := range failures {
		folder := t.TempDir()
		path := filepath.Join(folder, "lamp.cglass")
		put(t, path, "old", 0o644)
		err := file.Replace(path, fail)
		if err == nil || !strings.HasPrefix(err.Error(), "cannot write "+path+": ") {
			t.Errorf("%s: error %v", name, err)
		}
		if get(t, path) != "old" {
			t.Errorf("%s: the file was changed", name)
		}
		expectAlone(t, folder, "lamp.cglass")
		if file.Replace(filepath.Join(folder, "new.cglass"), fail) == nil {
			t.Errorf("%s: a new file: no error", name)
		}
		expectAlone(t, folder, "lamp.cglass")
	}
}

// These hold for root too, whom permissions do not stop.
func TestWhereNothingCanBeSaved(t *testing.T) {
	t.Parallel()
	folder := t.TempDir()
	put(t, filepath.Join(folder, "locked.cglass"), "old", 0o444)
	put(t, filepath.Join(folder, "file"), "old", 0o644)
	join := func(name string) string { return filepath.Join(folder, name) }
	tests := []struct{ path, want string }{
		{join("missing/lamp.cglass"), "the folder " + join("missing") + " does not exist"},
		{folder, "it is a folder"},
		{join("file/lamp.cglass"), join("file") + " is not a folder"},
		{join("locked.cglass"), "the file is read-only"},
		{join(strings.Repeat("x", 300)), "file name too long"},
	}
	for _, test := range tests {
		err := file.Save(test.path, titled("new"))
		if want := "cannot write " + test.path + ": " + test.want; err == nil || err.Error() != want {
			t.Errorf("got %v, want %s", err, want)
		}
	}
	if get(t, join("locked.cglass")) != "old" {
		t.Error("the locked file was changed")
	}
	expectAlone(t, folder, "file", "locked.cglass")
}

func TestWhatCannotBeLoaded(t *testing.T) {
	t.Parallel()
	folder := t.TempDir()
	broken := filepath.Join(folder, "broken.cglass")
	put(t, broken, "{", 0o644)
	tests := []struct{ path, want string }{
		{folder, "cannot read " + folder + ": it is a folder"},
		{filepath.Join(folder, "none.cglass"), "cannot read " + filepath.Join(folder, "none.cglass") + ": it does not exist"},
		{filepath.Join(folder, "no", "where.cglass"), "cannot read " + filepath.Join(folder, "no", "where.cglass") + ": the folder " + filepath.Join(folder, "no") + " does not exist"},
		{broken, broken + ": line 1, column 2: the file breaks off here; the rest of the JSON is missing"},
	}
	for _, test := range tests {
		d, err := file.Load(test.path)
		if d != nil || err == nil || err.Error() != test.want {
			t.Errorf("got %v, %v, want %s", d, err, test.want)
		}
	}
	var faults file.Errors
	if _, err := file.Load(broken); !errors.As(err, &faults) {
		t.Errorf("the faults cannot be had from %T", err)
	}
}
