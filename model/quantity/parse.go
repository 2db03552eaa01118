package quantity

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

const (
	longestText = 64   // bytes; longer text is no value and is not looked at
	longestSaid = 48   // characters of a faulty text repeated in its message
	largest     = 1e18 // no quantity of a circuit comes near it in any unit
)

// AmbiguousError reports a comma with exactly three digits after it, which is a
// decimal comma to some and a thousands mark to others; the person must be asked.
type AmbiguousError struct {
	Text       string     // as typed, without spaces at the ends
	Candidates [2]float64 // as decimal comma, as thousands mark
}

func (e *AmbiguousError) Error() string {
	return fmt.Sprintf("%s has a comma that may be a decimal or a thousands mark; write %s or %s", quote(e.Text),
		strings.Replace(e.Text, ",", ".", 1), strings.Replace(e.Text, ",", "", 1))
}

// Parse reads a value as people type it and returns it in the unit given.
//
// The form is an optional sign, digits with point or comma, then an exponent or one
// SI prefix letter, which may itself stand as decimal mark as in IEC 60062 ("4k7",
// "R22", "3V3"), then an optional unit; spaces only at the ends and before the
// letters. Micro is written µ, μ or u, ohm Ω, Ω or "ohm". A temperature in °C is
// converted to kelvins, and "5 %" wanted as a plain number is 0.05.
//
// The error is one sentence that quotes the text and says what to write: text of
// another form, a unit other than the one wanted, a negative value of something that
// cannot be negative, and a number beyond 1e18 or too small to hold are refused.
// A comma that may be a thousands mark gives an *AmbiguousError.
func Parse(text string, unit Unit) (float64, error) {
	x, err := parse(text, unit)
	var ambiguous *AmbiguousError
	if err != nil && !errors.As(err, &ambiguous) {
		return 0, fmt.Errorf("%s %w", quote(text), err)
	}
	return x, err
}

func parse(text string, unit Unit) (float64, error) {
	if len(text) > longestText {
		return 0, fmt.Errorf("is too long for a value; write a number such as %s", unit.info().example)
	}
	tidied := tidy(text)
	if tidied == "" {
		return 0, fmt.Errorf("is empty; write a number such as %s", unit.info().example)
	}
	n := number{unit: unit}
	if err := n.scan(tidied); err != nil {
		return 0, err
	}
	if n.ambiguous() {
		return n.candidates(tidied)
	}
	return n.value()
}

// tidy trims text and gives each sign one form: µ for both micros, Ω for both
// ohms, a hyphen for the minus signs, a plain space for the typographic ones.
func tidy(text string) string {
	return strings.TrimSpace(strings.Map(func(r rune) rune {
		switch {
		case r == 'μ':
			return 'µ'
		case r == '\u2126':
			return 'Ω'
		case r == '−' || r == '–':
			return '-'
		case unicode.IsSpace(r):
			return ' '
		}
		return r
	}, text))
}

// quote gives text for a message: in quotation marks, escaped, and cut when long.
func quote(text string) string {
	end := 0
	for n := 0; n < longestSaid && end < len(text); n++ {
		_, size := utf8.DecodeRuneInString(text[end:])
		end += size
	}
	if end < len(text) {
		return strconv.Quote(text[:end] + "…")
	}
	return strconv.Quote(text)
}

// number is a typed value taken apart; it stands for
// ±whole.fraction · 10^(exponent + power) + offset.
type number struct {
	unit            Unit
	negative        bool
	whole, fraction string
	decimal         byte   // the decimal mark '.' or ',', or 0
	exponent        string // digits after e, with sign; "" for none
	power           int    // of the prefix, or of the unit's spelling
	offset          float64
}

func (n *number) scan(s string) error {
	rest, err := n.scanSign(s)
	if err != nil {
		return err
	}
	if rest, err = n.scanDigits(rest); err != nil {
		return err
	}
	read := s[:len(s)-len(rest)] // what may stand when the letters are at fault
	rest = n.scanExponent(rest)
	if err := n.scanLetters(rest, read); err != nil {
		return err
	}
	if n.whole+n.fraction == "" {
		return n.noDigits()
	}
	return nil
}

func (n *number) noDigits() error {
	return fmt.Errorf("has no number in it; write a number such as %s", n.unit.info().example)
}

func (n *number) scanSign(s string) (rest string, err error) {
	rest = strings.TrimLeft(s, "+-")
	if len(s)-len(rest) > 1 {
		return "", fmt.Errorf("has more than one sign; write one, as in -%s", n.unit.info().example)
	}
	n.negative = strings.HasPrefix(s, "-")
	return rest, nil
}

func (n *number) scanDigits(s string) (rest string, err error) {
	run := leading(s, "0123456789.,")
	points, commas := strings.Count(run, "."), strings.Count(run, ",")
	switch {
	case points > 0 && commas > 0:
		return "", errors.New("has both a point and a comma; keep only the decimal mark")
	case points+commas > 1:
		return "", errors.New("has more than one decimal mark; keep one of them")
	}
	n.whole = run
	if i := strings.IndexAny(run, ".,"); i >= 0 {
		n.whole, n.decimal, n.fraction = run[:i], run[i], run[i+1:]
	}
	return s[len(run):], nil
}

// leading returns the run of characters of set that s begins with.
func leading(s, set string) string { return s[:len(s)-len(strings.TrimLeft(s, set))] }

const figures = "0123456789"

func startsWithDigit(s string) bool { return leading(s, figures) != "" }

// scanExponent takes "e3", "E-12" off s; an e without digits is left alone.
func (n *number) scanExponent(s string) (rest string) {
	if n.whole+n.fraction == "" || s == "" || s[0] != 'e' && s[0] != 'E' {
		return s
	}
	sign := leading(s[1:], "+-")
	digits := leading(s[1+len(sign):], figures)
	if len(sign) > 1 || digits == "" {
		return s
	}
	n.exponent = sign + digits
	return s[1+len(n.exponent):]
}

// scanLetters reads what follows the digits: a letter as decimal mark with the digits
// behind it, a prefix, a unit. read is the text before it, which errors offer instead.
func (n *number) scanLetters(s, read string) error {
	letters := strings.TrimLeft(s, " ")
	if _, ok := n.unit.exactly(letters); !ok && startsWithDigit(letters) { // "1/V" is a unit
		return errors.New("has a space inside the number; write it without")
	}
	letter, size := utf8.DecodeRuneInString(letters)
	power, ok := n.unit.multiplier(letter)
	if !ok || !startsWithDigit(letters[size:]) {
		return n.scanUnit(letters, read)
	}
	return n.scanMark(letter, power, letters[size:], read, letters != s)
}

// scanMark reads the digits behind a letter that stands as decimal mark.
func (n *number) scanMark(letter rune, power int, after, read string, spaced bool) error {
	switch {
	case n.decimal != 0:
		return fmt.Errorf("has two decimal marks, %c and %c; write %s%c", n.decimal, letter, read, letter)
	case n.exponent != "":
		return fmt.Errorf("has both an exponent and the letter %c; keep one of them", letter)
	case spaced:
		return fmt.Errorf("has digits after the letter %c and a space; write it without the space", letter)
	}
	n.fraction, n.power = leading(after, figures), power
	read += string(letter) + n.fraction
	rest := after[len(n.fraction):]
	if strings.HasPrefix(rest, ".") || strings.HasPrefix(rest, ",") {
		return fmt.Errorf("has two decimal marks, %c and %c; write %s", letter, rest[0], read)
	}
	return n.scanBareUnit(strings.TrimLeft(rest, " "), read)
}

// scanBareUnit reads a unit that must come without prefix, or nothing.
func (n *number) scanBareUnit(s, read string) error {
	if s == "" {
		return nil
	}
	if sp, ok := n.unit.loosely(s); ok {
		n.take(sp)
		return nil
	}
	return n.wrongUnit(s, read, true)
}

// scanUnit reads a prefix, a unit, both or nothing. The unit as spelt goes before the
// prefix ("K" is kelvins where those are wanted), the prefix before the unit in
// another case ("f" is femto for a capacitance).
func (n *number) scanUnit(s, read string) error {
	if sp, ok := n.unit.exactly(s); ok || s == "" {
		n.take(sp)
		return nil
	}
	letter, size := utf8.DecodeRuneInString(s)
	if power, ok := n.unit.multiplier(letter); ok && n.scanPrefix(power, s[size:]) {
		return n.singleScale(letter)
	}
	if sp, ok := n.unit.loosely(s); ok {
		n.take(sp)
		return nil
	}
	return n.wrongUnit(s, read, false)
}

// scanPrefix takes a prefix and the unit behind it, if that is one.
func (n *number) scanPrefix(power int, after string) bool {
	sp, ok := n.unit.loosely(after)
	if after != "" && (!ok || power == 0) {
		return false
	}
	n.take(sp)
	n.power += power
	return true
}

func (n *number) take(s spelling) { n.power, n.offset = n.power+s.power, s.offset }

func (n *number) singleScale(letter rune) error {
	if n.exponent != "" && n.power != 0 {
		return fmt.Errorf("has both an exponent and the prefix %c; keep one of them", letter)
	}
	return nil
}

// wrongUnit says what is wrong with letters s that are no unit wanted here; scaled
// tells that a prefix came before them.
func (n *number) wrongUnit(s, read string, scaled bool) error {
	if n.whole+n.fraction == "" {
		return n.noDigits()
	}
	letter, size := utf8.DecodeRuneInString(s)
	power, isPrefix := n.unit.multiplier(letter)
	if other, ok := unitNamed(s); ok {
		return fmt.Errorf("is in %s where %s are wanted; write a number such as %s",
			other.info().plural, n.unit.info().plural, n.unit.info().example)
	}
	if isPrefix && scaled {
		return fmt.Errorf("has two prefixes; write %s", read)
	}
	second, _ := utf8.DecodeRuneInString(s[size:])
	if _, twice := n.unit.multiplier(second); isPrefix && twice && power != 0 {
		return fmt.Errorf("has two prefixes; write %s%c", read, letter)
	}
	return fmt.Errorf("ends in %s, which is neither a prefix nor a unit wanted here; write a number such as %s",
		quote(s), n.unit.info().example)
}

// unitNamed finds the unit that s names, with or without prefix.
func unitNamed(s string) (Unit, bool) {
	letter, size := utf8.DecodeRuneInString(s)
	_, prefix := prefixPower(letter)
	for u := Percent; u < unitCount; u++ {
		if _, ok := u.exactly(s); ok {
			return u, true
		}
		if _, ok := u.exactly(s[size:]); ok && prefix && u.info().prefixed {
			return u, true
		}
	}
	return None, false
}

// ambiguous reports a comma that may be a thousands mark: one to three digits, not
// beginning with 0, before it and exactly three after it.
func (n *number) ambiguous() bool {
	return n.decimal == ',' && len(n.fraction) == 3 &&
		len(n.whole) >= 1 && len(n.whole) <= 3 && n.whole[0] != '0'
}

func (n *number) candidates(text string) (float64, error) {
	small, err := n.value()
	if err != nil {
		return 0, err
	}
	n.whole, n.fraction = n.whole+n.fraction, ""
	large, err := n.value()
	if err != nil {
		return small, nil // as thousands it would be absurd, so it is a decimal comma
	}
	return 0, &AmbiguousError{Text: text, Candidates: [2]float64{small, large}}
}

// value works the number out and refuses what no quantity of the unit can be.
func (n *number) value() (float64, error) {
	exponent, _ := strconv.Atoi(n.exponent)              // 0 for "", the nearest int when out of range
	exponent = max(-9999, min(exponent, 9999)) + n.power // far beyond float64 either way
	x := decimal(n.whole+"."+n.fraction, exponent)
	if x == 0 && strings.Trim(n.whole+n.fraction, "0") != "" {
		return 0, errors.New("is too small a number; write 0 or a larger one")
	}
	if n.negative {
		x = 0 - x
	}
	return n.unit.check(x + n.offset)
}

func (u Unit) check(x float64) (float64, error) {
	switch {
	case math.Abs(x) > largest:
		return 0, fmt.Errorf("is too large a number; write one below 1e18, such as %s", u.info().example)
	case x < 0 && u == Kelvin:
		return 0, errors.New("is below absolute zero; write kelvins from 0 or °C from -273.15")
	case x < 0 && !u.info().negative:
		return 0, fmt.Errorf("is negative, which a %s cannot be; write it without the minus sign", u.info().quantity)
	}
	return x, nil
}

// decimal is digits·10^power, correctly rounded; ±Inf when out of range. The digits
// may hold a point and must not be empty.
func decimal(digits string, power int) float64 {
	x, _ := strconv.ParseFloat(digits+"e"+strconv.Itoa(power), 64)
	return x
}
