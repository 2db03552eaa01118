package main

import (
	"maps"
	"slices"
	"strings"
	"unicode/utf8"

	"copperglass/analysis"
	"copperglass/model"
)

// table is text in columns, two spaces apart.
type table struct {
	rows  [][]string
	right map[int]bool // columns that stand flush right
}

func (t *table) row(cells ...string) { t.rows = append(t.rows, cells) }

// String lays the rows out with a margin of two spaces.
func (t *table) String() string {
	widths := t.widths()
	var b strings.Builder
	for _, cells := range t.rows {
		line := ""
		for i, cell := range cells {
			pad := strings.Repeat(" ", widths[i]-utf8.RuneCountInString(cell))
			if t.right[i] {
				line += "  " + pad + cell
			} else {
				line += "  " + cell + pad
			}
		}
		b.WriteString(strings.TrimRight(line, " ") + "\n")
	}
	return b.String()
}

func (t *table) widths() map[int]int {
	widths := map[int]int{}
	for _, cells := range t.rows {
		for i, cell := range cells {
			widths[i] = max(widths[i], utf8.RuneCountInString(cell))
		}
	}
	return widths
}

// sortedRefs returns the parts of a result in natural order.
func sortedRefs(parts map[string]*analysis.PartResult) []string {
	return slices.SortedFunc(maps.Keys(parts), model.NaturalCompare)
}
