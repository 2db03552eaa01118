package file

import (
	"bytes"
	"encoding/json"
	"fmt"
	"iter"
	"strings"
	"unicode/utf8"
)

// raw is the text of one JSON value that is known to be valid, without white
// space around it.
type raw []byte

// parse checks that data is one JSON value, in valid UTF-8 and not too deeply
// nested. The fault names line and column. A byte-order mark is let pass.
func parse(data []byte) (raw, *Fault) {
	data = bytes.TrimPrefix(data, []byte("\ufeff"))
	for _, check := range []func([]byte) (int, string){checkText, checkDepth, checkSyntax} {
		if offset, wrong := check(data); wrong != "" {
			return nil, &Fault{Text: where(data, offset) + wrong}
		}
	}
	return bytes.TrimSpace(data), nil
}

func where(data []byte, offset int) string {
	before := data[:min(offset, len(data))]
	line := 1 + bytes.Count(before, []byte("\n"))
	column := 1 + utf8.RuneCount(before[bytes.LastIndexByte(before, '\n')+1:])
	return fmt.Sprintf("line %d, column %d: ", line, column)
}

func checkText(data []byte) (offset int, wrong string) {
	for offset < len(data) {
		r, size := utf8.DecodeRune(data[offset:])
		if r == utf8.RuneError && size == 1 {
			return offset, "the file is not UTF-8 text; save it as UTF-8"
		}
		offset += size
	}
	return 0, ""
}

func checkDepth(data []byte) (offset int, wrong string) {
	depth := 0
	for i := 0; i < len(data); i++ {
		switch data[i] {
		case '"':
			i = max(i, skipString(data, i)-1)
		case '[', '{':
			if depth++; depth > MaxDepth {
				return i, fmt.Sprintf("lists and objects are nested more than %d deep", MaxDepth)
			}
		case ']', '}':
			depth--
		}
	}
	return 0, ""
}

func checkSyntax(data []byte) (offset int, wrong string) {
	if json.Valid(data) {
		return 0, ""
	}
	if len(bytes.TrimSpace(data)) == 0 {
		return 0, "the file is empty"
	}
	var v json.RawMessage
	err := json.Unmarshal(data, &v)
	syntax, ok := err.(*json.SyntaxError)
	switch {
	case !ok:
		return 0, fmt.Sprintf("this is not JSON: %v", err)
	case syntax.Error() == "unexpected end of JSON input":
		return len(data), "the file breaks off here; the rest of the JSON is missing"
	}
	return int(syntax.Offset) - 1, fmt.Sprintf("this is not JSON: %v", syntax)
}

// skipString returns where the string that begins at data[i] ends, or the end
// of data.
func skipString(data []byte, i int) int {
	for i++; i < len(data); i++ {
		switch data[i] {
		case '\\':
			i++
		case '"':
			return i + 1
		}
	}
	return len(data)
}

// skipValue returns where the value that begins at data[i] ends.
func skipValue(data []byte, i int) int {
	depth := 0
	for ; i < len(data); i++ {
		switch data[i] {
		case '"':
			i = skipString(data, i) - 1
		case '[', '{':
			depth++
			continue
		case ']', '}':
			depth--
		case ',', ':', ' ', '\t', '\r', '\n':
			continue
		default:
			i += len(leading(data[i:])) - 1
		}
		if depth == 0 {
			return i + 1
		}
	}
	return i
}

// leading returns the number, true, false or null that data begins with.
func leading(data []byte) []byte {
	if end := bytes.IndexAny(data, ",:]} \t\r\n"); end >= 0 {
		return data[:end]
	}
	return data
}

// skipTo returns the place of the next byte at or after i that is neither
// white space nor one of the marks.
func skipTo(data []byte, i int, marks string) int {
	for i < len(data) && (strings.IndexByte(" \t\r\n", data[i]) >= 0 || strings.IndexByte(marks, data[i]) >= 0) {
		i++
	}
	return i
}

// elements yields the items of a list.
func (r raw) elements() iter.Seq2[int, raw] {
	return func(yield func(int, raw) bool) {
		n := 0
		for i := skipTo(r, 1, ","); r[i] != ']'; i = skipTo(r, i, ",") {
			end := skipValue(r, i)
			if !yield(n, r[i:end]) {
				return
			}
			n, i = n+1, end
		}
	}
}

// members yields the keys of an object, as they are written, and their values.
func (r raw) members() iter.Seq2[raw, raw] {
	return func(yield func(raw, raw) bool) {
		for i := skipTo(r, 1, ","); r[i] != '}'; i = skipTo(r, i, ",") {
			keyEnd := skipString(r, i)
			start := skipTo(r, keyEnd, ":")
			end := skipValue(r, start)
			if !yield(r[i:keyEnd], r[start:end]) {
				return
			}
			i = end
		}
	}
}

func (r raw) isObject() bool { return r[0] == '{' }
func (r raw) isList() bool   { return r[0] == '[' }
func (r raw) isString() bool { return r[0] == '"' }
func (r raw) isNumber() bool { return r[0] == '-' || '0' <= r[0] && r[0] <= '9' }

// text returns what a string says.
func (r raw) text() string {
	if bytes.IndexByte(r, '\\') < 0 {
		return string(r[1 : len(r)-1])
	}
	var s string
	if err := json.Unmarshal(r, &s); err != nil {
		panic("file: not a valid string: " + err.Error())
	}
	return s
}

// compact returns the value without white space between its parts.
func (r raw) compact() string {
	var b bytes.Buffer
	if err := json.Compact(&b, r); err != nil {
		panic("file: not valid JSON: " + err.Error())
	}
	return b.String()
}

// description names the type of the value as messages do; true, false and null stand
// for themselves.
func (r raw) description() string {
	switch {
	case r.isObject():
		return "an object"
	case r.isList():
		return "a list"
	case r.isString():
		return "text"
	case r.isNumber():
		return "a number"
	}
	return string(r) // true, false or null
}
