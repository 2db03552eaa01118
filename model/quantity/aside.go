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

// mostAsides is how many ratings and tolerances a text is searched for.
const mostAsides = 3

// Rating is the unit of the rating that is printed beside the value of a part:
// watts on resistors, volts on capacitors, amperes on inductors.
func (p Part) Rating() Unit { return [...]Unit{None, Watt, Volt, Ampere}[p] }

// readSpaced reads a marking together with the ratings and tolerances behind it, or
// one that is written in groups with spaces between them, as "150R J".
func readSpaced(text string, part Part) (Readings, bool) {
	if len(text) > longestText {
		return nil, false
	}
	head, rated, percent, ok := partAsides(tidy(text), part)
	if !ok {
		return nil, false
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

// partAsides parts a text into the marking itself, and the rating in the unit of
// part.Rating and the tolerance in per cent that stand behind it, 0 where there is
// none. It is not ok where something in another unit stands there.
func partAsides(text string, part Part) (head string, rated, percent float64, ok bool) {
	head = text
	for range mostAsides {
		m := aside.FindStringSubmatch(head)
		if m == nil {
			break
		}
		switch x, unit := asideOf(m); unit {
		case Percent:
			percent = x
		case part.Rating():
			rated = x
		default:
			return "", 0, 0, false
		}
		head = m[1]
	}
	return head, rated, percent, true
}

// asideOf returns the quantity that a match of aside says: a number, or one number
// over another, in V, W, A or per cent. "1/4W" is 0.25 W.
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

// meant suggests what a marking that cannot be read may have been meant to be, or
// lookAgain where it has no suggestion.
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

// lookAgain is the advice where nothing better is known.
const lookAgain = "check the marking or type the value"

func (p Part) withArticle() string {
	if p == Inductor {
		return "an " + p.String()
	}
	return "a " + p.String()
}

func (r *Reading) short() string { return Short(r.Value, r.Unit) }

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
