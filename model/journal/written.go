package journal

import (
	"os"
	"path/filepath"

	"copperglass/model/file"
)

// written is a journal in the making. A nil one does nothing.
type written struct {
	file   *os.File
	path   string // of the drawing's file
	text   []byte // as the journal has it
	sum    uint32 // of the last line
	size   int    // of the journal
	broken bool   // whether a line may have been written in part
}

// start begins a journal with a drawing in it. After an error there is none.
func start(p place, path string, text []byte) (*written, error) {
	f, err := p.create()
	if err != nil {
		return nil, err
	}
	j := &written{file: f, path: path}
	head, sum := line(heading{format, version, path}, 0)
	j.sum = sum
	if err := j.write(head, between(nil, text)); err != nil {
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

// continues reports whether the journal can go on with the drawing of the file
// at path. It cannot where it is gone, with its folder perhaps.
func (j *written) continues(path string) bool {
	if j == nil || j.path != path || j.broken || j.size > room+8*len(j.text) {
		return false
	}
	_, err := os.Lstat(j.file.Name())
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
	if j != nil {
		j.close() // first: not every system removes a file that is open
		os.Remove(j.file.Name())
	}
}
