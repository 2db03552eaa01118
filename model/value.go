package model

import (
	"maps"
	"math"
	"slices"
	"strconv"
)

// Value is what a parameter is set to: a number in SI units, a word, or yes
// or no. The zero Value is unset.
type Value struct {
	kind    valueKind
	number  float64
	text    string // the word, or a number as it was written
	enabled bool
}

type valueKind uint8

const (
	unset valueKind = iota
	number
	word
	flag
)

// Number returns the Value of a number.
func Number(x float64) Value { return Value{kind: number, number: x} }

// Written returns the Value of a number that keeps how it was written, so that
// a file saved again says 1e-14 where it said 1e-14.
func Written(x float64, literal string) Value {
	return Value{kind: number, number: x, text: literal}
}

// Word returns the Value of a word such as "closed".
func Word(s string) Value { return Value{kind: word, text: s} }

// Flag returns the Value of a yes or no.
func Flag(b bool) Value { return Value{kind: flag, enabled: b} }

// Num returns the number, and whether v is one.
func (v Value) Num() (float64, bool) { return v.number, v.kind == number }

// Text returns the word, and whether v is one.
func (v Value) Text() (string, bool) {
	if v.kind != word {
		return "", false
	}
	return v.text, true
}

// Enabled returns the yes or no, and whether v is one.
func (v Value) Enabled() (bool, bool) { return v.enabled, v.kind == flag }

// IsSet reports whether v holds anything.
func (v Value) IsSet() bool { return v.kind != unset }

// Same reports whether two values mean the same, however a number was written.
func (v Value) Same(w Value) bool {
	if v.kind == number {
		return w.kind == number && v.number == w.number
	}
	return v == w
}

// String returns the value as the file has it, without quotes around a word.
func (v Value) String() string {
	switch {
	case v.kind == number && v.text == "":
		return formatNumber(v.number)
	case v.kind == flag:
		return strconv.FormatBool(v.enabled)
	}
	return v.text
}

// formatNumber writes a number in the shortest form that reads back the same,
// with an exponent where JSON readers expect one.
func formatNumber(x float64) string {
	a := math.Abs(x)
	if a == 0 || (a >= 1e-6 && a < 1e15) {
		return strconv.FormatFloat(x, 'f', -1, 64)
	}
	return strconv.FormatFloat(x, 'e', -1, 64)
}

// Params are named quantities: of a part, or of the drawing.
type Params map[string]Value

// Names returns the names that are set, sorted.
func (p Params) Names() []string { return slices.Sorted(maps.Keys(p)) }

func (p Params) clone() Params { return maps.Clone(p) }
