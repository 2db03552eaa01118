//go:build unix

package file_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"copperglass/model/file"
)

func TestPermissionsAreKept(t *testing.T) {
	t.Parallel()
	path := filepath.Join(t.TempDir(), "lamp.cglass")
	put(t, path, "old", 0o640)
	if err := file.Save(path, titled("new")); err != nil {
		t.Fatal(err)
	}
	info, err := os.Stat(path)
	if err != nil || info.Mode().Perm() != 0o640 {
		t.Errorf("permissions are %v, error %v", info.Mode(), err)
	}
}

func TestASymbolicLinkStays(t *testing.T) {
	t.Parallel()
	for _, exists := range []bool{true, false} {
		folder := t.TempDir()
		target, link := filepath.Join(folder, "a.cglass"), filepath.Join(folder, "b.cglass")
		if exists {
			put(t, target, "old", 0o644)
		}
		if err := os.Symlink("a.cglass", link); err != nil {
			t.Fatal(err)
		}
		if err := file.Save(link, titled("new")); err != nil {
			t.Fatal(err)
		}
		if to, err := os.Readlink(link); err != nil || to != "a.cglass" {
			t.Errorf("the link leads to %q, error %v", to, err)
		}
		if !strings.Contains(get(t, target), `"new"`) {
			t.Error("what the link leads to was not written")
		}
		expectAlone(t, folder, "a.cglass", "b.cglass")
	}
}
