package net

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"copperglass/model"
)

// Keys never contradict the order that they are for.
func TestKeysFollowOrder(t *testing.T) {
	t.Parallel()
	names := []string{
		"", "R", "R0", "R00", "R1", "R2.1", "R02", "R10", "RB", "RB1", "RBX", "RBX5", "RBXY", "RBXY1", "R\x00", "R\x001", "RB\x00C", "1", "01", "12V", "9", "+", "+5V", "A", "a1", "a1b",
		"µ", "µ1", "GND", "VCC", "N1099511627774", "N1099511627775", "N1099511627776", "N99999999999999999999999", "N18446744073709551616", "−", "R1′", "\x00", "\x001", "/", ":",
	}
	for _, a := range names {
		for _, b := range names {
			if naturalKey(a) < naturalKey(b) && model.NaturalCompare(a, b) >= 0 {
				t.Errorf("the key of %q is less than that of %q", a, b)
			}
		}
	}
	if naturalKey("R2.1") >= naturalKey("R10.1") || naturalKey("R9") >= naturalKey("RB1") {
		t.Error("keys tell nothing")
	}
	numbers := []int{math.MinInt, math.MinInt32 - 1, math.MinInt32, -300, -1, 0, 1, 300, math.MaxInt32, math.MaxInt32 + 1, math.MaxInt}
	for _, a := range numbers {
		for _, b := range numbers {
			if pairKey(a, 0) < pairKey(b, 0) != (half(a) < half(b)) || half(a) < half(b) && a >= b || pairKey(0, a) < pairKey(0, b) && a >= b {
				t.Errorf("the keys of %d and %d", a, b)
			}
		}
	}
}

func FuzzNaturalKey(f *testing.F) {
	f.Add("R1", "R10")
	f.Add("ABC5", "ABCD1")
	f.Fuzz(func(t *testing.T, a, b string) {
		if naturalKey(a) < naturalKey(b) && model.NaturalCompare(a, b) >= 0 {
			t.Errorf("the key of %q is less than that of %q", a, b)
		}
	})
}

// Whatever the keys leave open is compared, and whichever question is the last,
// sorting ends there.
func TestSorter(t *testing.T) {
	t.Parallel()
	r := rand.New(rand.NewPCG(7, 9))
	var s sorter[int]
	for _, n := range []int{0, 1, few, few + 1, 3000, 5000} {
		for _, shift := range []int{0, 3, 30} { // what the keys leave out, in bits
			list := make([]int, n)
			for i := range list {
				list[i] = r.IntN(1 + n)
			}
			key := func(x *int) uint64 { return uint64(*x) >> shift }
			want := slices.Sorted(slices.Values(list))
			asked, last := 0, 0
			ended := func() bool { asked++; return asked == last }
			got := slices.Clone(list)
			if !s.sort(got, key, cmp.Compare[int], ended) || !slices.Equal(got, want) {
				t.Errorf("%d are not sorted", n)
			}
			whole := asked
			if whole < 5*(n/askEvery) && n > few {
				t.Errorf("asked %d times for %d", whole, n)
			}
			for last = 1; last <= whole; last++ {
				asked = 0
				if s.sort(slices.Clone(list), key, cmp.Compare[int], ended) || asked != last {
					t.Errorf("of %d: asked %d times when %d was the last", n, asked, last)
				}
			}
		}
	}
}
