package analysis

import (
	"fmt"
	"slices"
	"strings"

	"copperglass/model/quantity"
)

// StateLine tells in a few words what one of a circuit's stable states is.
type StateLine struct {
	Number int
	Words  string
}

const (
	// mostLines bounds the states that are told of.
	mostLines = 8
	// mostTold bounds the transistors that are named of each.
	mostTold = 4
)

// StateLines tells what the first of the stable states that were found are, and
// the one that r is; none where there is no other.
func (r *Result) StateLines() []StateLine {
	all := r.States()
	words := InWords(all)
	var lines []StateLine
	for i, one := range all {
		if i < mostLines || one == r {
			lines = append(lines, StateLine{i + 1, words[i]})
		}
	}
	if len(lines) > mostLines { // r is beyond the first of them
		lines = slices.Delete(lines, mostLines-1, mostLines)
	}
	return lines
}

// StateCount tells how many stable states were found: "2 stable states", "at
// least 34 stable states".
func (r *Result) StateCount() string {
	count := fmt.Sprint(len(r.Others)+1, " stable states")
	if r.MayBeMore {
		return "at least " + count
	}
	return count
}

// StatePlace tells which of the stable states that were found r is, where there
// are others: "stable state 2 of 2", "stable state 1 of at least 34"; else "".
func (r *Result) StatePlace() string {
	if len(r.Others) == 0 {
		return ""
	}
	least := ""
	if r.MayBeMore {
		least = "at least "
	}
	return fmt.Sprint("stable state ", r.Number, " of ", least, len(r.Others)+1)
}

// InWords tells what each of the stable states of a circuit is: "Q1 saturated,
// Q2 cut-off", by the transistors that do not do the same in all of them, or
// else by the net that differs most. Where many transistors differ, the states
// after the first are told by how they differ from it.
func InWords(all []*Result) []string {
	if len(all) == 0 {
		return nil
	}
	tell := TellApart(all)
	told := make([]string, len(all))
	for i, r := range all {
		switch {
		case len(tell) == 0:
			if n := mostApart(all[0], all[len(all)-1]); n >= 0 {
				told[i] = r.Nets.Nets[n].Name + " at " + quantity.Format(r.Volts[n], quantity.Volt)
			}
		case len(tell) > mostTold && i > 0:
			told[i] = "as 1, but " + r.does(TellApart([]*Result{r, all[0]}))
		default:
			told[i] = r.does(tell)
		}
	}
	return told
}

// does tells what the transistors do, of many only the first.
func (r *Result) does(names []string) string {
	var words []string
	for _, ref := range names[:min(len(names), mostTold)] {
		words = append(words, ref+" "+r.Parts[ref].StateInWords())
	}
	if more := len(names) - mostTold; more > 0 {
		words = append(words, fmt.Sprintf("and %d more", more))
	}
	return strings.Join(words, ", ")
}
