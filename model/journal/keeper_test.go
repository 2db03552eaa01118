package journal

import (
	"fmt"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"copperglass/model"
	"copperglass/model/geom"
)

func drawing(title string, parts int) *model.Diagram {
	d := &model.Diagram{Title: title, Extra: []model.Extra{{Key: "made_elsewhere", Raw: `{"photo":"x < y.png"}`}}}
	for i := range parts {
		d.Parts = append(d.Parts, &model.Part{Ref: fmt.Sprint("R", i+1), Kind: "resistor", Placed: true, At: geom.Pt(4*i, 7), Value: "4k7"})
	}
	return d
}

func flushed(t testing.TB, k *Keeper) {
	t.Helper()
	if _, err := k.Flush(); err != nil {
		t.Fatal(err)
	}
}

// left ends the keeper without dropping its journal, as a crash does.
func left(t testing.TB, k *Keeper) {
	t.Helper()
	if err := k.Close(); err != nil {
		t.Fatal(err)
	}
}

func journals(t testing.TB, folder string) []string {
	t.Helper()
	entries, err := os.ReadDir(folder)
	if err != nil {
		t.Fatal(err)
	}
	var found []string
	for _, e := range entries {
		if strings.HasSuffix(e.Name(), suffix) {
			found = append(found, e.Name())
		}
	}
	return found
}

// expect wants one orphan that holds the drawing.
func expect(t testing.TB, found []Orphan, path string, d *model.Diagram) Orphan {
	t.Helper()
	if len(found) != 1 || found[0].Path != path || !reflect.DeepEqual(found[0].Drawing, d) {
		t.Fatalf("found %+v, want %q with %+v", found, path, d)
	}
	return found[0]
}

// empty makes a file without anything in it.
func empty(t testing.TB, folder, name string) (path string) {
	t.Helper()
	path = filepath.Join(folder, name)
	if err := os.WriteFile(path, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

func TestADrawingOfAFile(t *testing.T) {
	t.Parallel()
	folder, state := t.TempDir(), t.TempDir()
	path := empty(t, folder, "Ω lamp.cglass")
	k := NewKeeper(state, nil)
	for n := range 20 {
		k.Keep(path, drawing("Lamp", n))
		flushed(t, k)
	}
	if found := Of(path, state); len(found) > 0 {
		t.Errorf("%+v is offered, but its program runs", found)
	}
	left(t, k)
	if names := journals(t, folder); len(names) != 1 || names[0] != ".Ω lamp.cglass.1.journal" {
		t.Errorf("beside the file there is %q", names)
	}
	o := expect(t, Of(path, state), path, drawing("Lamp", 19))
	if others := Of(filepath.Join(folder, "lamp.cglass"), state); len(others) > 0 {
		t.Errorf("%+v is offered for another file", others)
	}
	o.Discard()
	if names := journals(t, folder); len(names) > 0 {
		t.Errorf("left behind: %q", names)
	}
}

func TestADrawingWithoutAFile(t *testing.T) {
	t.Parallel()
	state := filepath.Join(t.TempDir(), "not there yet")
	k, other := NewKeeper(state, nil), NewKeeper(state, nil)
	k.Keep("", drawing("One", 1))
	other.Keep("", drawing("Two", 2))
	flushed(t, other)
	left(t, k)
	expect(t, In(state), "", drawing("One", 1))
	left(t, other)
	if found := In(state); len(found) != 2 {
		t.Errorf("%+v", found)
	}
}

func TestDropRemovesTheJournal(t *testing.T) {
	t.Parallel()
	state := t.TempDir()
	k := NewKeeper(state, nil)
	k.Keep("", drawing("One", 1))
	flushed(t, k)
	k.Drop()
	left(t, k)
	if names := journals(t, state); len(names) > 0 {
		t.Errorf("left behind: %q", names)
	}
}

// TestWhereTheFolderCannotBeWritten uses names that hold for root as well.
func TestWhereTheFolderCannotBeWritten(t *testing.T) {
	t.Parallel()
	for name, path := range map[string]string{
		"gone": filepath.Join(t.TempDir(), "gone", "lamp.cglass"), "long": filepath.Join(t.TempDir(), strings.Repeat("x", 250)),
	} {
		state := t.TempDir()
		k := NewKeeper(state, nil)
		k.Keep(path, drawing(name, 3))
		left(t, k)
		expect(t, Of(path, state), path, drawing(name, 3))
	}
}

// TestTheFolderGoesWhileOneWorks goes on in the program's own folder.
func TestTheFolderGoesWhileOneWorks(t *testing.T) {
	t.Parallel()
	folder, state := filepath.Join(t.TempDir(), "stick"), t.TempDir()
	if err := os.Mkdir(folder, 0o700); err != nil {
		t.Fatal(err)
	}
	path := empty(t, folder, "lamp.cglass")
	k := NewKeeper(state, nil)
	k.Keep(path, drawing("Lamp", 1))
	flushed(t, k)
	if err := os.RemoveAll(folder); err != nil {
		t.Fatal(err)
	}
	k.Keep(path, drawing("Lamp", 2))
	left(t, k)
	expect(t, Of(path, state), path, drawing("Lamp", 2))
}

// TestCheckWritesAgainWhatIsGone without another change of the drawing; without
// its file it is found in the program's own folder alone.
func TestCheckWritesAgainWhatIsGone(t *testing.T) {
	t.Parallel()
	for name, c := range map[string]struct {
		take  func(path string) error
		alone bool // whether the file is gone, too
	}{
		"its folder":  {func(path string) error { return os.RemoveAll(filepath.Dir(path)) }, true},
		"the file":    {os.Remove, true},
		"the journal": {func(path string) error { return os.Remove(filepath.Join(filepath.Dir(path), ".lamp.cglass.1.journal")) }, false},
		"nothing":     {func(string) error { return nil }, false},
	} {
		folder, state := filepath.Join(t.TempDir(), "stick"), t.TempDir()
		if err := os.Mkdir(folder, 0o700); err != nil {
			t.Fatal(err)
		}
		path := empty(t, folder, "lamp.cglass")
		k := NewKeeper(state, nil)
		k.Keep(path, drawing("Lamp", 1))
		flushed(t, k)
		if err := c.take(path); err != nil {
			t.Fatal(err)
		}
		k.Check()
		left(t, k)
		found := Of(path, state)
		if c.alone {
			found = In(state)
		}
		if len(found) != 1 {
			t.Fatalf("without %s there are %d journals", name, len(found))
		}
		expect(t, found, path, drawing("Lamp", 1))
	}
}

func TestCheckKeepsNothingThatIsSaved(t *testing.T) {
	t.Parallel()
	state := t.TempDir()
	k := NewKeeper(state, nil)
	k.Keep("", drawing("Lamp", 1))
	flushed(t, k)
	k.Drop()
	k.Check()
	left(t, k)
	if names := journals(t, state); len(names) > 0 {
		t.Errorf("left behind: %q", names)
	}
}

func TestAFailureIsToldOnceAndMended(t *testing.T) {
	t.Parallel()
	state := filepath.Join(t.TempDir(), "state")
	if err := os.WriteFile(state, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	var told []error
	k := NewKeeper(state, func(err error) { told = append(told, err) })
	orphan := Orphan{File: filepath.Join(t.TempDir(), "drawing.7.journal")}
	if err := os.WriteFile(orphan.File, []byte("precious"), 0o600); err != nil {
		t.Fatal(err)
	}
	k.Keep("", drawing("One", 1), orphan)
	for range 2 {
		if _, err := k.Flush(); err == nil || !strings.HasSuffix(err.Error(), state+": "+state+" is not a folder") {
			t.Errorf("the error is %v", err)
		}
	}
	if _, err := os.Stat(orphan.File); err != nil {
		t.Error("the orphan is gone before its drawing is safe")
	}
	if err := os.Remove(state); err != nil {
		t.Fatal(err)
	}
	left(t, k)
	if len(told) != 2 || told[0] == nil || told[1] != nil {
		t.Errorf("told %v", told)
	}
	expect(t, In(state), "", drawing("One", 1))
	if _, err := os.Stat(orphan.File); err == nil {
		t.Error("the orphan would be offered again")
	}
}

// TestAfterALineWrittenInPart does not go on behind a torn line.
func TestAfterALineWrittenInPart(t *testing.T) {
	t.Parallel()
	state := t.TempDir()
	k := NewKeeper(state, nil)
	k.Keep("", drawing("One", 1))
	left(t, k) // from here on the file is closed: each write to it fails
	if err := k.put(wish{drawing: drawing("One", 2)}); err != nil {
		t.Fatal(err)
	}
	k.written.close()
	expect(t, In(state), "", drawing("One", 2))
}

// TestAJournalIsBegunAnew before it gets much larger than its drawing.
func TestAJournalIsBegunAnew(t *testing.T) {
	t.Parallel()
	state := t.TempDir()
	k := NewKeeper(state, nil)
	d := drawing("", 1)
	for n := range 16 {
		d = d.Snapshot()
		d.Extra = []model.Extra{{Key: "made_elsewhere", Raw: `"` + strings.Repeat(string(rune('a'+n)), 200_000) + `"`}}
		k.Keep("", d)
		flushed(t, k)
	}
	if size := k.written.size; size > room+8*201_000 {
		t.Errorf("%d bytes", size)
	}
	if names := journals(t, state); len(names) != 1 || names[0] == "drawing.1.journal" {
		t.Errorf("the journals are %q", names)
	}
	left(t, k)
	expect(t, In(state), "", d)
}

// TestWhatWasSavedIsNotOffered has a program that was ended between saving and
// removing its journal.
func TestWhatWasSavedIsNotOffered(t *testing.T) {
	t.Parallel()
	path, state := filepath.Join(t.TempDir(), "lamp.cglass"), t.TempDir()
	k := NewKeeper(state, nil)
	k.Keep(path, drawing("Lamp", 4))
	left(t, k)
	if err := os.WriteFile(path, textOf(drawing("Lamp", 4)), 0o600); err != nil {
		t.Fatal(err)
	}
	if found := Of(path, state); len(found) > 0 {
		t.Errorf("%+v", found)
	}
	if names := journals(t, filepath.Dir(path)); len(names) > 0 {
		t.Errorf("left behind: %q", names)
	}
}

// BenchmarkKeep is what an edit costs whoever makes it.
func BenchmarkKeep(b *testing.B) {
	k := NewKeeper(b.TempDir(), nil)
	d := drawing("Large", 2000)
	for b.Loop() {
		k.Keep("", d)
	}
	left(b, k)
}

// BenchmarkEdit is an edit of one part among 2,000, on the disk.
func BenchmarkEdit(b *testing.B) {
	k := NewKeeper(b.TempDir(), nil)
	d := drawing("Large", 2000)
	k.Keep("", d)
	flushed(b, k)
	first := k.written.size
	for n := 0; b.Loop(); n++ {
		d = d.Snapshot()
		d.Parts = append([]*model.Part(nil), d.Parts...)
		p := d.Parts[n%2000].Clone()
		p.At.Y++
		d.Parts[n%2000] = p
		k.Keep("", d)
		flushed(b, k)
	}
	b.ReportMetric(float64(k.written.size-first)/float64(b.N), "journal-B/op")
	left(b, k)
}

// TestThePastIsKept from the drawing that was saved last on, as far as the journal
// has it, and nothing of before that.
func TestThePastIsKept(t *testing.T) {
	t.Parallel()
	state := t.TempDir()
	k := NewKeeper(state, nil)
	k.Keep("", drawing("Before", 9))
	flushed(t, k)
	k.Saved(drawing("Lamp", 1))
	for n := 2; n <= 4; n++ {
		k.Keep("", drawing("Lamp", n))
		flushed(t, k)
	}
	left(t, k)
	o := expect(t, In(state), "", drawing("Lamp", 4))
	if want := []*model.Diagram{drawing("Lamp", 1), drawing("Lamp", 2), drawing("Lamp", 3)}; !reflect.DeepEqual(o.Past, want) {
		t.Errorf("the past is %+v", o.Past)
	}
}

func TestThePastIsBounded(t *testing.T) {
	t.Parallel()
	var p past
	for range 2 * mostSteps {
		p.add([]byte("{}"))
	}
	if len(p.texts) != mostSteps || p.bytes != 2*mostSteps {
		t.Errorf("%d texts of %d bytes", len(p.texts), p.bytes)
	}
	large := make([]byte, mostText)
	p.add(large)
	if p.add(large); len(p.texts) != 1 || p.bytes != mostText {
		t.Errorf("%d texts of %d bytes", len(p.texts), p.bytes)
	}
}
