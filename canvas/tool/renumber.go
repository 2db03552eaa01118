package tool

import (
	"cmp"
	"slices"
	"strconv"
	"strings"

	"copperglass/model"
)

// rowHeight is how far below the first part of a row, in grid steps, a part may
// stand that is read as one of that row.
const rowHeight = 3

// Renumber gives the parts numbers by their place, row by row from the top and
// from left to right, for each set of letters from 1. Parts without a place come
// last. A name that is not letters and a number was given by hand and stays.
// Whatever speaks of the parts follows.
func (e *Editor) Renumber() {
	if e.Busy() {
		return
	}
	d := e.history.Diagram()
	names := numbered(d)
	s := e.Selection()
	f := model.NewDraft(d)
	rename(f, names)
	e.commit(f, "renumber", "")
	for ref := range s.Parts {
		delete(e.sel.Parts, ref)
	}
	for ref := range s.Parts {
		e.sel.Parts[cmp.Or(names[ref], ref)] = true
	}
}

// rename gives parts other refs, all at once.
func rename(f *model.Draft, names map[string]string) {
	d := f.Diagram().Snapshot()
	d.Parts = slices.Clone(d.Parts)
	changed := false
	for i, p := range d.Parts {
		if to := names[p.Ref]; to != "" && to != p.Ref {
			c := p.Clone()
			c.Ref, changed = to, true
			d.Parts[i] = c
		}
	}
	if changed {
		f.Become(d)
		f.Retarget(func(ref, name string) (string, string) { return cmp.Or(names[ref], ref), name })
	}
}

// numbered returns the new refs by the old ones.
func numbered(d *model.Diagram) map[string]string {
	names, taken := map[string]string{}, map[string]bool{}
	var parts []*model.Part
	for _, p := range d.Parts {
		if letters, number := splitRef(p.Ref); letters != "" && number != "" && d.Part(p.Ref) == p {
			parts = append(parts, p)
		} else {
			taken[strings.ToUpper(p.Ref)] = true
		}
	}
	last := map[string]int{}
	for _, p := range inReadingOrder(parts) {
		letters, _ := splitRef(p.Ref)
		for {
			key := strings.ToUpper(letters)
			last[key]++
			if to := letters + strconv.Itoa(last[key]); !taken[strings.ToUpper(to)] {
				names[p.Ref] = to
				break
			}
		}
	}
	return names
}

// splitRef takes a ref apart into letters and the number they end in.
func splitRef(ref string) (letters, number string) {
	letters = strings.TrimRight(ref, "0123456789")
	return letters, ref[len(letters):]
}

// inReadingOrder sorts parts into rows, and those without a place behind them.
func inReadingOrder(parts []*model.Part) []*model.Part {
	var placed, rest []*model.Part
	for _, p := range parts {
		if p.Placed {
			placed = append(placed, p)
		} else {
			rest = append(rest, p)
		}
	}
	natural := func(a, b *model.Part) int { return model.NaturalCompare(a.Ref, b.Ref) }
	slices.SortFunc(rest, natural)
	slices.SortStableFunc(placed, func(a, b *model.Part) int { return cmp.Compare(a.At.Y, b.At.Y) })
	for from := 0; from < len(placed); {
		to := from
		for to < len(placed) && placed[to].At.Y <= placed[from].At.Y+rowHeight {
			to++
		}
		slices.SortFunc(placed[from:to], func(a, b *model.Part) int {
			return cmp.Or(cmp.Compare(a.At.X, b.At.X), cmp.Compare(a.At.Y, b.At.Y), natural(a, b))
		})
		from = to
	}
	return append(placed, rest...)
}
