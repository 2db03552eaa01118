package journal

import (
	"bytes"
	"cmp"
	"io"
	"os"
	"slices"
	"time"

	"copperglass/model"
	"copperglass/model/file"
)

// maxBytes bounds what is read of a journal. A Keeper begins a new one long
// before that.
const maxBytes = 16 * file.MaxBytes

// Orphan is a journal that a program has left behind.
type Orphan struct {
	File    string         // the journal
	Path    string         // of the drawing's file, or empty
	Drawing *model.Diagram // as it was at last
	Time    time.Time      // when the journal was last written

	Past []*model.Diagram // what it was before, the oldest first, as far as that is known
}

// Discard removes the journal.
func (o Orphan) Discard() { os.Remove(o.File) }

// Of returns what was left behind of the drawing in the file at path, in the
// order in which it was written; folder is the program's own. A journal that
// says what the file says is removed: the program was ended just when it had
// saved.
func Of(path, folder string) []Orphan {
	var found []Orphan
	for _, name := range beside(path).orphans() {
		if o, ok := read(name); ok {
			o.Path = path
			found = append(found, o)
		}
	}
	for _, o := range In(folder) {
		if o.Path == path {
			found = append(found, o)
		}
	}
	saved, err := os.ReadFile(path)
	return inOrder(slices.DeleteFunc(found, func(o Orphan) bool {
		same := err == nil && bytes.Equal(saved, textOf(o.Drawing))
		if same {
			o.Discard()
		}
		return same
	}))
}

// In returns all that was left behind in the program's own folder: drawings
// without a file, and such whose file had no room for a journal beside it.
func In(folder string) []Orphan {
	var found []Orphan
	for _, name := range within(folder).orphans() {
		if o, ok := read(name); ok {
			found = append(found, o)
		}
	}
	return inOrder(found)
}

func inOrder(found []Orphan) []Orphan {
	slices.SortStableFunc(found, func(a, b Orphan) int {
		return cmp.Or(a.Time.Compare(b.Time), cmp.Compare(a.File, b.File))
	})
	return found
}

// read reads a journal. It returns false where there is no drawing in it, or
// one that this version cannot read; such a journal stays where it is.
func read(name string) (Orphan, bool) {
	f, err := os.Open(name)
	if err != nil {
		return Orphan{}, false
	}
	defer f.Close()
	info, err := f.Stat()
	if err != nil {
		return Orphan{}, false
	}
	data, err := io.ReadAll(io.LimitReader(f, maxBytes))
	if err != nil {
		return Orphan{}, false
	}
	var past past
	path, text := retrace(data, past.add)
	if text == nil {
		return Orphan{}, false
	}
	d, err := file.Decode(bytes.NewReader(text))
	return Orphan{name, path, d, info.ModTime(), past.drawings()}, err == nil
}

// The most that is kept of what a drawing was before: steps, and bytes of text.
const mostSteps, mostText = 200, 4 << 20

// past is the texts that a journal tells one after another.
type past struct {
	texts [][]byte
	bytes int
}

// add takes a text in and lets the oldest go that have no room.
func (p *past) add(text []byte) {
	p.texts, p.bytes = append(p.texts, bytes.Clone(text)), p.bytes+len(text)
	for len(p.texts) > mostSteps || len(p.texts) > 1 && p.bytes > mostText {
		p.bytes -= len(p.texts[0])
		p.texts = p.texts[1:]
	}
}

// drawings are all but the last.
func (p *past) drawings() []*model.Diagram {
	var list []*model.Diagram
	for _, text := range p.texts[:max(len(p.texts)-1, 0)] {
		if d, err := file.Decode(bytes.NewReader(text)); err == nil {
			list = append(list, d)
		}
	}
	return list
}

// textOf returns the text of a drawing file; nil for a drawing that none can
// hold.
func textOf(d *model.Diagram) []byte {
	var b bytes.Buffer
	if d == nil || file.Encode(&b, d) != nil {
		return nil
	}
	return b.Bytes()
}
