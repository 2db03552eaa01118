package model

import "strings"

// Near returns those of the names that word may be a slip of the pen for, in
// their order: names that differ only in case or by about a third of their
// letters, each put in, left out or exchanged. It looks at no more than the
// first 64 bytes of word.
func Near(word string, names []string) []string {
	word = strings.ToLower(word[:min(len(word), 64)])
	var near []string
	for _, n := range names {
		if editDistance(word, strings.ToLower(n)) <= (len(n)+1)/3 {
			near = append(near, n)
		}
	}
	return near
}

// editDistance counts the letters to put in, leave out or exchange to turn a
// into b (V. I. Levenshtein, Soviet Physics Doklady 10, 1966), one row of the
// table at a time.
func editDistance(a, b string) int {
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := range len(a) {
		diagonal := row[0]
		row[0] = i + 1
		for j := range len(b) {
			exchange := diagonal
			if a[i] != b[j] {
				exchange++
			}
			diagonal = row[j+1]
			row[j+1] = min(exchange, row[j]+1, row[j+1]+1)
		}
	}
	return row[len(b)]
}
