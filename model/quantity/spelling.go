package quantity

import "strings"

// nearColour returns the name of the colour that a misspelt word is nearest to, or
// "" where none is near.
func nearColour(word string) string {
	const most = 2 // letters that are wrong, missing or too many
	nearest, name := most+1, ""
	for _, c := range colours {
		if d := EditDistance(strings.ToLower(word), c.name); d < nearest && d < len(c.name)/2 {
			nearest, name = d, c.name
		}
	}
	return name
}

// EditDistance counts the bytes to put in, leave out or exchange to turn a into b
// (V. I. Levenshtein, Soviet Physics Doklady 10, 1966), one row of the table at a
// time: row[j] is the distance from the bytes of a read so far to the first j of b.
func EditDistance(a, b string) int {
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
