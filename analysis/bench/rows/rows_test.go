package rows

import (
	"os"
	"path/filepath"
	"slices"
	"testing"
)

// Rows replace all those of their name and leave the others alone.
func TestMerge(t *testing.T) {
	t.Parallel()
	file := filepath.Join(t.TempDir(), "new", "bench.json")
	for _, rows := range [][]Row{
		{{Name: "a", OursNS: 1, Rival: "x"}, {Name: "a", OursNS: 1, Rival: "y"}, {Name: "b", OursNS: 2}},
		{{Name: "c", OursNS: 3, Allocs: 7}},
		{{Name: "a", OursNS: 4, Rival: "z", RivalNS: 8, Ratio: 0.5}},
	} {
		if err := Merge(file, rows); err != nil {
			t.Fatal(err)
		}
	}
	got, err := read(file)
	if err != nil {
		t.Fatal(err)
	}
	want := []Row{
		{Name: "b", OursNS: 2},
		{Name: "c", OursNS: 3, Allocs: 7},
		{Name: "a", OursNS: 4, Rival: "z", RivalNS: 8, Ratio: 0.5},
	}
	if !slices.Equal(got, want) {
		t.Errorf("got %+v, want %+v", got, want)
	}
}

// What is no such file is left as it is.
func TestMergeKeepsOtherFiles(t *testing.T) {
	t.Parallel()
	file := filepath.Join(t.TempDir(), "bench.json")
	const other = "my notes"
	if err := os.WriteFile(file, []byte(other), 0o644); err != nil {
		t.Fatal(err)
	}
	if err := Merge(file, []Row{{Name: "a"}}); err == nil {
		t.Error("no error")
	}
	if text, err := os.ReadFile(file); err != nil || string(text) != other {
		t.Errorf("the file holds %q now, %v", text, err)
	}
}
