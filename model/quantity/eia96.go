package quantity

import (
	"strconv"
	"strings"
	"unicode"
)

const eia96Scheme = "EIA-96 code"

// eia96Power gives the power of ten of a multiplier letter of the two-digit code. Y
// and R, X and S, B and H mean the same. EIA publishes no free table; three makers'
// and reference pages agree on this one.
func eia96Power(letter rune) (power int, ok bool) {
	i := strings.IndexRune("ZYXABCDEF", twin(unicode.ToUpper(letter)))
	return i - 3, i >= 0
}

// twin gives the letter that R, S or H stands for, any other as it is.
func twin(letter rune) rune {
	switch letter {
	case 'R':
		return 'Y'
	case 'S':
		return 'X'
	case 'H':
		return 'B'
	}
	return letter
}

func eia96Letter(letter rune) bool {
	_, ok := eia96Power(letter)
	return ok
}

// eia96 reads the marking of small 1 % chip resistors: code k of 01 to 96 is the k-th
// value of E96, the letter the multiplier.
func eia96(m mark) Readings {
	power, ok := eia96Power(m.letter)
	code, _ := strconv.Atoi(m.head)
	values := E96.Digits()
	if !ok || !m.endsInLetter(2) || code < 1 || code > len(values) {
		return nil
	}
	return Readings{{Value: decimal(strconv.Itoa(values[code-1]), power), Unit: Ohm,
		Scheme: eia96Scheme, TolerancePercent: symmetrical(1), Usual: true}}
}
