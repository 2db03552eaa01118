package file

import (
	"bytes"
	"strings"
	"unicode/utf8"
)

// lineWidth is the most characters of a line that holds more than one value.
const lineWidth = 100

// layOut returns the text of a drawing in the layout that the package comment
// describes.
func layOut(v raw) []byte {
	var l layout
	l.open(v, 0, func(key, v raw) int {
		switch {
		case string(key) == `"parts"`:
			return 2
		case v.isList():
			return 1
		}
		return 0
	})
	l.WriteByte('\n')
	return l.Bytes()
}

type layout struct{ bytes.Buffer }

// value writes v at that indent, after so many characters of its line. The
// outermost levels of it are opened out even where they would fit on the line.
func (l *layout) value(v raw, indent, used, levels int) {
	if v.isScalar() || v.isEmpty() || levels == 0 && v.fits(lineWidth-used-len(",")) {
		l.inline(v)
		return
	}
	l.open(v, indent, func(raw, raw) int { return max(levels-1, 0) })
}

// open writes an object or a list one item to a line. The number of levels
// opened out in each item is for levels to say.
func (l *layout) open(v raw, indent int, levels func(key, v raw) int) {
	first, end := true, byte(']')
	next := func() {
		if !first {
			l.WriteByte(',')
		}
		first = false
		l.newLine(indent + 2)
	}
	l.WriteByte(v[0])
	if v.isObject() {
		end = '}'
		for key, item := range v.members() {
			next()
			l.Write(key)
			l.WriteString(": ")
			l.value(item, indent+2, indent+2+utf8.RuneCount(key)+2, levels(key, item))
		}
	} else {
		for _, item := range v.elements() {
			next()
			l.value(item, indent+2, indent+2, levels(nil, item))
		}
	}
	l.newLine(indent)
	l.WriteByte(end)
}

func (l *layout) newLine(indent int) {
	l.WriteByte('\n')
	l.WriteString(strings.Repeat(" ", indent))
}

// inline writes v on one line, with a space after each comma and colon.
func (l *layout) inline(v raw) {
	for i := 0; i < len(v); i++ {
		if v[i] == '"' {
			end := skipString(v, i)
			l.Write(v[i:end])
			i = end - 1
			continue
		}
		l.WriteByte(v[i])
		if v[i] == ',' || v[i] == ':' {
			l.WriteByte(' ')
		}
	}
}

func (r raw) isScalar() bool { return !r.isObject() && !r.isList() }

func (r raw) isEmpty() bool { return len(r) == len("{}") }

// fits reports whether the value, written on one line, has at most so many
// characters.
func (r raw) fits(room int) bool {
	if len(r) > room*utf8.UTFMax {
		return false
	}
	var l layout
	l.inline(r)
	return utf8.RuneCount(l.Bytes()) <= room
}
