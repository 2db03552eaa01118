package model

import (
	"cmp"
	"strings"
)

// NaturalLess orders names as people do: R2 before R10.
func NaturalLess(a, b string) bool { return NaturalCompare(a, b) < 0 }

// NaturalCompare is −1, 0 or +1 as a comes before, with or after b when runs
// of digits are compared by the number they write. Names that differ only in
// leading zeros are ordered by their text, so that the order is total.
func NaturalCompare(a, b string) int {
	x, y := a, b
	for x != "" && y != "" {
		p, xRest := leadingRun(x)
		q, yRest := leadingRun(y)
		if c := compareRuns(p, q); c != 0 {
			return c
		}
		x, y = xRest, yRest
	}
	if c := strings.Compare(x, y); c != 0 {
		return c
	}
	return strings.Compare(a, b)
}

// leadingRun splits off the digits, or the non-digits, that s begins with.
func leadingRun(s string) (run, rest string) {
	n := 1
	for n < len(s) && isDigit(s[n]) == isDigit(s[0]) {
		n++
	}
	return s[:n], s[n:]
}

func compareRuns(p, q string) int {
	if isDigit(p[0]) && isDigit(q[0]) {
		p, q = strings.TrimLeft(p, "0"), strings.TrimLeft(q, "0")
		if len(p) != len(q) {
			return cmp.Compare(len(p), len(q))
		}
	}
	return strings.Compare(p, q)
}

func isDigit(c byte) bool { return '0' <= c && c <= '9' }
