package journal

import (
	"os"
	"path/filepath"

	"copperglass/model"
	"copperglass/model/file"
)

// written is a journal in the making. A nil one does nothing.
type written struct {
	file   *os.File
	info   os.FileInfo    // of the file, which tells it from another of its name
	path   string         // of the drawing's file
	saved  *model.Diagram // what it begins with, or nil
	text   []byte         // as the journal has it
	sum    uint32         // of the last line
	size   int            // of the journal
	broken bool           // whether a line may have been written in part
}

// start begins a journal with the text of the drawing that is wished for in it, and
// before that the one it was made of. After an error there is none.
func start(p place, w wish, text []byte) (*written, error) {
	f, err := p.create()
	if err != nil {
		return nil, err
	}
	info, err := f.Stat()
	if err != nil {
		f.Close()
		return nil, err
	}
	j := &written{file: f, info: info, path: w.path, saved: w.saved}
	head, sum := line(heading{format, version, w.path}, 0)
	j.sum = sum
	saved := textOf(w.saved)
	if saved != nil {
		first, sum := line(between(nil, saved), sum)
		head, j.sum = append(head, first...), sum
	}
	if err := j.write(head, between(saved, text)); err != nil {
		j.remove()
		return nil, err
	}
	j.text = text
	file.SyncFolder(filepath.Dir(f.Name()))
	return j, nil
}

// room is how large a journal may get, beside eight times its drawing, before a
// new one is begun.
const room = 1 << 20

// continues reports whether the journal can go on with what is wished for. It
// cannot where it is gone, with its folder perhaps, or stands beside a file that
// is, or where the drawing has been saved since it was begun.
func (j *written) continues(w wish) bool {
	if j == nil || j.path != w.path || j.saved != w.saved || j.broken || j.size > room+8*len(j.text) {
		return false
	}
	alone := w.path != "" && beside(w.path).has(filepath.Base(j.file.Name())) && !isThere(w.path)
	return !alone && j.stands()
}

// stands reports whether the journal is still found by its name.
func (j *written) stands() bool {
	found, err := os.Lstat(j.file.Name())
	return err == nil && os.SameFile(j.info, found)
}

func isThere(name string) bool {
	_, err := os.Lstat(name)
	return err == nil
}

// add puts the text of the drawing as it is now into the journal.
func (j *written) add(text []byte) error {
	change := between(j.text, text)
	if change.Remove == 0 && change.Insert == "" {
		return nil
	}
	err := j.write(nil, change)
	j.text, j.broken = text, err != nil
	return err
}

// write puts a change on the disk.
func (j *written) write(head []byte, change splice) error {
	tail, sum := line(change, j.sum)
	if _, err := j.file.Write(append(head, tail...)); err != nil {
		return err
	}
	j.sum, j.size = sum, j.size+len(head)+len(tail)
	return j.file.Sync()
}

func (j *written) name() string {
	if j == nil {
		return ""
	}
	return j.file.Name()
}

// close leaves the journal behind.
func (j *written) close() {
	if j != nil {
		j.file.Close()
	}
}

func (j *written) remove() {
	if j == nil {
		return
	}
	stands := j.stands()
	j.close()   // first: not every system removes a file that is open
	if stands { // else the name may be another's by now
		os.Remove(j.file.Name())
	}
}
