package journal

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
	"strings"
)

const suffix = ".journal"

// place is where journals of one kind stand: in a folder, under names that
// begin alike and are numbered.
type place struct{ folder, prefix string }

// beside is the place for the journals of the file at path.
func beside(path string) place {
	return place{filepath.Dir(path), "." + filepath.Base(path) + "."}
}

// within is the place for journals in the program's own folder.
func within(folder string) place { return place{folder, "drawing."} }

// create makes a new journal of the lowest number that is free.
func (p place) create() (*os.File, error) {
	for n := 1; ; n++ {
		f, err := create(filepath.Join(p.folder, p.prefix+strconv.Itoa(n)+suffix))
		if !errors.Is(err, fs.ErrExist) {
			return f, err
		}
	}
}

// orphans returns the journals in the place that no running program holds.
func (p place) orphans() []string {
	entries, err := os.ReadDir(p.folder)
	if err != nil {
		return nil
	}
	var found []string
	for _, e := range entries {
		if name := filepath.Join(p.folder, e.Name()); p.has(e.Name()) && !held(name) {
			found = append(found, name)
		}
	}
	return found
}

// has reports whether a name is one of the place's.
func (p place) has(name string) bool {
	rest, begins := strings.CutPrefix(name, p.prefix)
	number, ends := strings.CutSuffix(rest, suffix)
	n, err := strconv.Atoi(number)
	return begins && ends && err == nil && number == fmt.Sprint(n)
}
