package model_test

import (
	"math/big"
	"slices"
	"testing"

	"copperglass/model"
)

func TestNaturalOrder(t *testing.T) {
	t.Parallel()
	want := []string{"", "1", "2", "010", "10", "IC1.2", "IC1.10", "IC2.1", "R", "R01", "R1", "R1.1", "R2.1", "R10.1", "R10a", "RV1", "r1", "Ω1"}
	got := slices.Clone(want)
	slices.Reverse(got)
	slices.SortFunc(got, model.NaturalCompare)
	if !slices.Equal(got, want) {
		t.Errorf("sorted as %q, want %q", got, want)
	}
}

// The order must be total, or sorting depends on what came first.
func FuzzNaturalCompare(f *testing.F) {
	f.Add("R1", "R01", "R1.1")
	f.Add("0", "00", "")
	f.Add("R0x", "R00", "R0")
	f.Fuzz(func(t *testing.T, a, b, c string) {
		ab, bc, ac := model.NaturalCompare(a, b), model.NaturalCompare(b, c), model.NaturalCompare(a, c)
		if ab != -model.NaturalCompare(b, a) {
			t.Errorf("%q and %q are ordered differently the other way round", a, b)
		}
		if (ab == 0) != (a == b) {
			t.Errorf("%q and %q compare as %d", a, b, ab)
		}
		if ab <= 0 && bc <= 0 && ac > 0 {
			t.Errorf("%q ≤ %q ≤ %q, but the first is after the last", a, b, c)
		}
		if model.NaturalLess(a, b) != (ab < 0) {
			t.Errorf("NaturalLess and NaturalCompare disagree on %q, %q", a, b)
		}
	})
}

// Runs of digits are compared as numbers of any length.
func FuzzNaturalNumbers(f *testing.F) {
	f.Add("9", "10")
	f.Add("99999999999999999999999", "100000000000000000000000")
	f.Fuzz(func(t *testing.T, a, b string) {
		x, isNumber := new(big.Int).SetString(a, 10)
		y, alsoNumber := new(big.Int).SetString(b, 10)
		if !isNumber || !alsoNumber || !allDigits(a) || !allDigits(b) || x.Cmp(y) == 0 {
			return
		}
		if got := model.NaturalCompare("R"+a, "R"+b); got != x.Cmp(y) {
			t.Errorf("R%s and R%s compare as %d", a, b, got)
		}
	})
}

func allDigits(s string) bool {
	for _, c := range []byte(s) {
		if c < '0' || c > '9' {
			return false
		}
	}
	return s != ""
}

func TestNear(t *testing.T) {
	t.Parallel()
	kinds := []string{"resistor", "capacitor", "led", "npn", "pnp", "switch"}
	tests := []struct {
		word string
		want []string
	}{
		{"resitor", []string{"resistor"}},
		{"Resistor", []string{"resistor"}},
		{"capasitor", []string{"capacitor"}},
		{"LED", []string{"led"}},
		{"ppn", []string{"npn"}},
		{"transformer", nil},
		{"", nil},
	}
	for _, test := range tests {
		if got := model.Near(test.word, kinds); !slices.Equal(got, test.want) {
			t.Errorf("Near(%q) = %q, want %q", test.word, got, test.want)
		}
	}
}

func TestNearBoundsItsWork(t *testing.T) {
	t.Parallel()
	long := make([]byte, 1<<20)
	if got := model.Near(string(long), []string{"led"}); got != nil {
		t.Errorf("a megabyte of zeros is near %q", got)
	}
}
