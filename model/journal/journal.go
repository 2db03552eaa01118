// Package journal keeps what has not been saved, so that it outlives the
// program, the system and the power.
//
// # Form
//
// A journal is a text file that only ever grows. Each line is a checksum, a
// space and a line of JSON:
//
//	c5f5a0a4 {"format":"copperglass journal","version":1,"path":"/home/eva/lamp.cglass"}
//	3f0a7b12 {"at":0,"remove":0,"insert":"{\n  \"format\": \"copperglass\",\n…}\n"}
//	90cc41d7 {"at":212,"remove":24,"insert":"      \"value\": \"4k7\",\n"}
//
// The first names the file that the drawing belongs to, empty for one without.
// Each of the others is a change of the text of the drawing file, beginning
// from nothing: at a byte offset so many bytes are removed and others inserted.
// The first of them is the drawing as it was saved, where there was one; what
// each leaves behind is a step that can be gone back to (see Orphan.Past).
// So a journal says all that a drawing file says, for this version and for
// later ones, and a small edit is a small line in a large drawing too.
//
// A checksum is the CRC-32C of the JSON, begun with the checksum of the line
// before. A line that is torn, damaged or out of its place ends the journal;
// what stands before it is the drawing as it was then.
//
// # When it is written
//
// A change is written within a quarter of a second (see Pause) and synced to
// the disk before the next is written, by a goroutine of the journal's own.
// Many changes in that time are one line.
//
// # Where
//
// It stands beside the file, under a hidden name; or in a folder of the
// program's for drawings without a file and for files whose folder cannot be
// written to. A program holds a lock on its journals: one without is an orphan.
package journal

import (
	"bytes"
	"encoding/json"
	"fmt"
	"hash/crc32"
	"slices"

	"copperglass/model/file"
)

const (
	format  = "copperglass journal"
	version = 1
)

// heading is the first line.
type heading struct {
	Format  string `json:"format"`
	Version int    `json:"version"`
	Path    string `json:"path"`
}

// splice is any other line: a change of the text.
type splice struct {
	At     int    `json:"at"`
	Remove int    `json:"remove"`
	Insert string `json:"insert"`
}

// between returns the splice that makes text of old. It is cut at line ends,
// so that no character is cut in two.
func between(old, text []byte) splice {
	start := commonPrefix(old, text)
	start = bytes.LastIndexByte(text[:start], '\n') + 1
	same := commonSuffix(old[start:], text[start:])
	_, tail, _ := bytes.Cut(text[len(text)-same:], []byte("\n"))
	end := len(text) - len(tail)
	return splice{start, len(old) - len(tail) - start, string(text[start:end])}
}

func commonPrefix(a, b []byte) int {
	n := 0
	for n < len(a) && n < len(b) && a[n] == b[n] {
		n++
	}
	return n
}

func commonSuffix(a, b []byte) int {
	n := 0
	for n < len(a) && n < len(b) && a[len(a)-1-n] == b[len(b)-1-n] {
		n++
	}
	return n
}

// apply carries the splice out on text, which it may write over. It returns
// false, and text as it was, where the splice does not fit.
func (s splice) apply(text []byte) ([]byte, bool) {
	fits := s.At >= 0 && s.At <= len(text) && s.Remove >= 0 && s.Remove <= len(text)-s.At
	if !fits || len(text)+len(s.Insert) > file.MaxBytes {
		return text, false
	}
	return slices.Replace(text, s.At, s.At+s.Remove, []byte(s.Insert)...), true
}

// line returns a line of the journal and its checksum, given the one before.
func line(v any, before uint32) ([]byte, uint32) {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	if err := e.Encode(v); err != nil {
		panic("journal: " + err.Error()) // strings and numbers
	}
	sum := checksum(bytes.TrimSuffix(b.Bytes(), []byte("\n")), before)
	return append(fmt.Appendf(nil, "%08x ", sum), b.Bytes()...), sum
}

func checksum(text []byte, before uint32) uint32 {
	return crc32.Update(before, crc32.MakeTable(crc32.Castagnoli), text)
}

// reader takes a journal apart.
type reader struct {
	rest []byte
	sum  uint32
}

// next reads a line into v. It returns false where the journal ends.
func (r *reader) next(v any) bool {
	line, rest, whole := bytes.Cut(r.rest, []byte("\n"))
	sum, text, spaced := bytes.Cut(line, []byte(" "))
	want := checksum(text, r.sum)
	if !whole || !spaced || string(sum) != fmt.Sprintf("%08x", want) || json.Unmarshal(text, v) != nil {
		return false
	}
	r.rest, r.sum = rest, want
	return true
}

// replay returns the path that a journal is about and the text of the drawing
// as the last whole line left it; the text is nil where there is none.
func replay(data []byte) (path string, text []byte) {
	return retrace(data, func([]byte) {})
}

// retrace is replay, and shows the text after each line; it is not to be kept.
func retrace(data []byte, seen func(text []byte)) (path string, text []byte) {
	r := reader{rest: data}
	var h heading
	if !r.next(&h) || h.Format != format || h.Version != version {
		return "", nil
	}
	for {
		var s splice
		if !r.next(&s) {
			return h.Path, text
		}
		var fits bool
		if text, fits = s.apply(text); !fits {
			return h.Path, text
		}
		seen(text)
	}
}
