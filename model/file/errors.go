package file

import (
	"fmt"
	"slices"
	"strings"

	"copperglass/model"
)

// Fault is one thing that is wrong with a drawing file.
type Fault struct {
	Path string // where: "parts[3].params.resistance"; empty for the file as a whole
	Text string // one sentence: what is wrong and what would be right
}

func (f Fault) Error() string {
	if f.Path == "" {
		return f.Text
	}
	return f.Path + ": " + f.Text
}

// Errors are the faults of a drawing file, sorted by path.
type Errors []Fault

// Error returns the first fault and how many more there are.
func (e Errors) Error() string {
	switch len(e) {
	case 0:
		return "no faults"
	case 1:
		return e[0].Error()
	}
	return fmt.Sprintf("%s (and %d more)", e[0].Error(), len(e)-1)
}

func (e Errors) sort() {
	slices.SortStableFunc(e, func(a, b Fault) int {
		if c := model.NaturalCompare(a.Path, b.Path); c != 0 {
			return c
		}
		return strings.Compare(a.Text, b.Text)
	})
}

// place is a position in the file; it is put into words only where something
// is wrong there.
type place struct {
	parent *place
	key    string // of an object; empty for an item of a list
	index  int
}

func (p *place) in(key string) *place { return &place{parent: p, key: key} }
func (p *place) item(i int) *place    { return &place{parent: p, index: i} }

func (p *place) String() string {
	switch {
	case p == nil || p.parent == nil:
		return ""
	case p.key == "":
		return fmt.Sprintf("%s[%d]", p.parent, p.index)
	case p.parent.parent == nil:
		return short(p.key)
	}
	return p.parent.String() + "." + short(p.key)
}

// short cuts a text down to what fits in a sentence.
func short(s string) string {
	const most = 40
	n := 0
	for i := range s {
		if n == most {
			return s[:i] + "…"
		}
		n++
	}
	return s
}

// quoted is short in quotation marks, with what cannot be printed escaped.
func quoted(s string) string { return fmt.Sprintf("%q", short(s)) }
