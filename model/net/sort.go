package net

import "slices"

// batch is how many are sorted between two questions whether to end.
const batch = 1024

// sortUntil sorts the list and reports whether it was left to: large lists batch
// by batch, which are then merged, in memory that is kept (D. E. Knuth, The Art of
// Computer Programming, volume 3, section 5.2.4).
func sortUntil[T any](list []T, compare func(a, b T) int, ended func() bool, kept *[]T) bool {
	if ended == nil || len(list) <= batch {
		slices.SortFunc(list, compare)
		return true
	}
	for part := range slices.Chunk(list, batch) {
		if ended() {
			return false
		}
		slices.SortFunc(part, compare)
	}
	*kept = zeros(*kept, len(list))
	from, to := list, *kept
	for width := batch; width < len(list); width *= 2 {
		for i := 0; i < len(from); i += 2 * width {
			middle, end := min(i+width, len(from)), min(i+2*width, len(from))
			if !merge(to[i:end], from[i:middle], from[middle:end], compare, ended) {
				return false
			}
		}
		from, to = to, from
	}
	copy(list, from)
	return true
}

// merge merges two sorted lists, and reports whether it was left to.
func merge[T any](to, a, b []T, compare func(a, b T) int, ended func() bool) bool {
	for i := range to {
		if isEnded(ended, i) {
			return false
		}
		if len(b) == 0 || len(a) > 0 && compare(a[0], b[0]) <= 0 {
			to[i], a = a[0], a[1:]
		} else {
			to[i], b = b[0], b[1:]
		}
	}
	return true
}
