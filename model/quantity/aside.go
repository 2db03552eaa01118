package quantity

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
)

// aside is a rating or a tolerance that stands behind a marking: "47µF 16V",
// "2k2 1/4W", "4K7 ±5%".
var aside = regexp.MustCompile(`^(.*?[^ ,;/±+-])(?:[ ,;/]+|±|\+/-)+(?:(\d{1,3})/)?(\d{1,6}(?:[.,]\d{1,6})?) ?([mk]?[VWA]|[mk]?V ?DC|%)$`)

// mostAsides is how many are looked for.
const mostAsides = 3

// Rating is the unit that is printed beside the value of a part.
func (p Part) Rating() Unit { return [...]Unit{None, Watt, Volt, Ampere}[p] }

// readSpaced reads a marking with what stands behind it, or in groups that a space
// parts, as in "150R J".
func readSpaced(text string, part Part) (Readings, bool) {
	if len(text) > longestText {
		return nil, false
	}
	head := tidy(text)
	var rated, percent float64
	for range mostAsides {
		m := aside.FindStringSubmatch(head)
		if m == nil {
			break
		}
		x, unit := asideOf(m)
		switch unit {
		case Percent:
			percent = x
		case part.Rating():
			rated = x
		default:
			return nil, false
		}
		head = m[1]
	}
	readings, err := readMarking(head, part)
	if err != nil {
		readings, err = readMarking(strings.ReplaceAll(head, " ", ""), part)
	}
	for i := range readings {
		readings[i].Rated = rated
		if percent > 0 {
			readings[i].TolerancePercent, readings[i].Usual = symmetrical(percent), false
		}
	}
	return readings, err == nil
}

// asideOf is the quantity of a match: one over another, a number and a unit.
func asideOf(m []string) (x float64, unit Unit) {
	x, _ = strconv.ParseFloat(strings.ReplaceAll(m[3], ",", "."), 64)
	if over, err := strconv.ParseFloat(m[2], 64); err == nil && x > 0 {
		x = over / x
	}
	letters := strings.TrimRight(strings.TrimSuffix(m[4], "DC"), " ")
	switch letters[0] {
	case 'm':
		x /= 1000
	case 'k':
		x *= 1000
	}
	switch letters[len(letters)-1] {
	case 'V':
		return x, Volt
	case 'W':
		return x, Watt
	case 'A':
		return x, Ampere
	}
	return x, Percent
}

// meant says what a marking without a meaning may have been meant for, or what else
// to do.
func meant(text string, part Part) string {
	if len(text) > longestText {
		return lookAgain
	}
	digits := strings.NewReplacer("O", "0", "o", "0", "I", "1", "l", "1", "|", "1").Replace(tidy(text))
	if readings, err := readMarking(digits, part); err == nil && digits != tidy(text) {
		return fmt.Sprintf("as %s, with digits for the letters that look like them, it is %s", digits, readings[0].short())
	}
	for p := Resistor; p <= Inductor && part != AnyPart; p++ {
		if p == part {
			continue
		}
		if readings, err := readMarking(text, p); err == nil {
			return fmt.Sprintf("on %s it is %s", p.withArticle(), readings[0].short())
		}
	}
	return lookAgain
}

// lookAgain is what is left to do.
const lookAgain = "check the marking or type the value"

func (p Part) withArticle() string {
	if p == Inductor {
		return "an " + p.String()
	}
	return "a " + p.String()
}

func (r *Reading) short() string { return Short(r.Value, r.Unit) }

// nearColour is the colour that somebody who wrote a word may have meant, or "".
func nearColour(word string) string {
	const most = 2 // letters that are wrong, missing or too many
	best, name := most+1, ""
	for _, c := range colours {
		if d := letterDistance(strings.ToLower(word), c.name); d < best && d < len(c.name)/2 {
			best, name = d, c.name
		}
	}
	return name
}

// letterDistance is how many letters have to be changed, put in or taken out to make
// one word of another (V. I. Levenshtein, Soviet Physics Doklady 10, 1966).
func letterDistance(a, b string) int {
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := range len(a) {
		corner := row[0]
		row[0] = i + 1
		for j := range len(b) {
			change := corner
			if a[i] != b[j] {
				change++
			}
			corner = row[j+1]
			row[j+1] = min(change, corner+1, row[j]+1)
		}
	}
	return row[len(b)]
}

// LooksMarked reports whether a text has the look of a marking, though it may be none
// of the part: names of colours, two digits and a letter, or what is a marking but for
// digits that look like letters, or on another part.
func LooksMarked(text string, part Part) bool {
	if len(text) > longestText {
		return false
	}
	tidied := tidy(text)
	if _, ok := colourWords(tidied); ok {
		return true
	}
	m, err := dissect(tidied)
	return err == nil && (m.endsInLetter(2) && eia96Letter(m.letter) || meant(text, part) != lookAgain)
}
