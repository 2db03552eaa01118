package model

import (
	"strings"

	"copperglass/model/quantity"
)

// Near returns, in their order, the names that a misspelt word may have meant:
// those whose edit distance from it, whatever the case, is at most about a third
// of their length. It looks at no more than the first 64 bytes of word.
func Near(word string, names []string) []string {
	word = strings.ToLower(word[:min(len(word), 64)])
	var near []string
	for _, n := range names {
		if quantity.EditDistance(word, strings.ToLower(n)) <= (len(n)+1)/3 {
			near = append(near, n)
		}
	}
	return near
}
