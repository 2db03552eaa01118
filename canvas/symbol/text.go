package symbol

import "copperglass/canvas"

// longestText is the number of runes a symbol shows of one text at most, so
// that runes without width have an end too.
const longestText = 200

// shorten returns as much of s as fits into width, with an ellipsis for the
// rest; nothing where not even that fits.
func shorten(s string, size, width float64) string {
	dots := canvas.Advance('…', size, false)
	cut, runes, used := 0, 0, 0.0
	for i, r := range s {
		if used+dots <= width {
			cut = i
		}
		used += canvas.Advance(r, size, false)
		runes++
		if used > width || runes > longestText {
			return ellipsis(s[:cut], dots <= width)
		}
	}
	return s
}

func ellipsis(s string, fits bool) string {
	if !fits {
		return ""
	}
	return s + "…"
}
