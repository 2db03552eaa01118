package net

import (
	"math"
	"slices"
)

// sorter sorts lists one after another in the same memory. The zero value is
// ready.
type sorter[T any] struct {
	keys, spare []keyed
	was, merged []T
}

// keyed is the key of what stands at that place of a list.
type keyed struct {
	key uint64
	at  int
}

// few is how many are sorted by comparison alone.
const few = 128

// sort sorts the list and reports whether it was left to. What has a smaller key
// must compare as less; what has the same key is compared. Keys are sorted by
// their bytes, the last first, in time proportional to their number, but for
// bytes that are the same in all (D. E. Knuth, The Art of Computer Programming,
// volume 3, section 5.2.5).
func (s *sorter[T]) sort(list []T, key func(*T) uint64, compare func(a, b T) int, ended func() bool) bool {
	if len(list) <= few {
		slices.SortFunc(list, compare)
		return true
	}
	s.keys, s.spare = slices.Grow(s.keys[:0], len(list)), slices.Grow(s.spare[:0], len(list))[:len(list)]
	for i := range list {
		if isEnded(ended, i) {
			return false
		}
		s.keys = append(s.keys, keyed{key(&list[i]), i})
	}
	if !s.sortKeys(ended) {
		return false
	}
	s.was = append(s.was[:0], list...)
	for i, k := range s.keys {
		if isEnded(ended, i) {
			return false
		}
		list[i] = s.was[k.at]
	}
	return s.sortAlike(list, compare, ended)
}

func (s *sorter[T]) sortKeys(ended func() bool) bool {
	var count [8][256]int // by byte of the key and its value
	for i, k := range s.keys {
		if isEnded(ended, i) {
			return false
		}
		for b := range count {
			count[b][byte(k.key>>(8*b))]++
		}
	}
	for b := range count {
		if slices.Contains(count[b][:], len(s.keys)) {
			continue
		}
		if !s.distribute(&count[b], 8*b, ended) {
			return false
		}
	}
	return true
}

// distribute puts the keys in the order of one byte, and leaves those in which it
// is the same in the order they have.
func (s *sorter[T]) distribute(count *[256]int, shift int, ended func() bool) bool {
	sum := 0
	for v, n := range count {
		count[v], sum = sum, sum+n
	}
	for i, k := range s.keys {
		if isEnded(ended, i) {
			return false
		}
		next := &count[byte(k.key>>shift)]
		s.spare[*next] = k
		*next++
	}
	s.keys, s.spare = s.spare, s.keys
	return true
}

// sortAlike sorts by comparison what has the same key.
func (s *sorter[T]) sortAlike(list []T, compare func(a, b T) int, ended func() bool) bool {
	first := 0
	for i := 1; i <= len(list); i++ {
		if isEnded(ended, i) {
			return false
		}
		if i < len(list) && s.keys[i].key == s.keys[first].key {
			continue
		}
		if i-first > 1 && !sortUntil(list[first:i], compare, ended, &s.merged) {
			return false
		}
		first = i
	}
	return true
}

// pairKey is a key by which two numbers are sorted, the first before the second.
// Those that are too large for it have the same.
func pairKey(first, second int) uint64 { return half(first)<<32 | half(second) }

func half(x int) uint64 { return uint64(min(max(x, math.MinInt32), math.MaxInt32) - math.MinInt32) }

// naturalKey is a key for the natural order of names: three bytes of what is
// before the first digit, and the number that follows. It is less only where
// model.NaturalCompare says so.
func naturalKey(name string) uint64 {
	const letters, most = 3, 1<<40 - 1 // the number has the bits that are left
	key, n := uint64(0), 0
	for n < letters && n < len(name) && name[n] != 0 && !isDigit(name[n]) {
		key |= uint64(name[n]) << (56 - 8*n)
		n++
	}
	switch rest := name[n:]; {
	case rest == "":
		return key
	case !isDigit(rest[0]): // it comes after all that have a digit here
		return key | most
	case n == 0:
		return '0' << 56 // among other first letters it is compared as one
	default:
		return key | leadingNumber(rest, most)
	}
}

func isDigit(c byte) bool { return '0' <= c && c <= '9' }

// leadingNumber is the number that s begins with, or most where it is larger.
func leadingNumber(s string, most uint64) uint64 {
	x := uint64(0)
	for i := 0; i < len(s) && isDigit(s[i]) && x < most; i++ {
		x = 10*x + uint64(s[i]-'0')
	}
	return min(x, most)
}
