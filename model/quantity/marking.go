package quantity

import (
	"errors"
	"fmt"
	"sort"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Part is the kind of part that carries a marking.
type Part uint8

// The parts whose markings are read. AnyPart is a resistor or a capacitor that cannot
// be told apart; an inductor must be named, for any number could be microhenries.
const (
	AnyPart Part = iota
	Resistor
	Capacitor
	Inductor
)

// String names the part for messages.
func (p Part) String() string {
	return [...]string{"resistor or capacitor", "resistor", "capacitor", "inductor"}[p]
}

func (p Part) unit() Unit { return [...]Unit{None, Ohm, Farad, Henry}[p] }

// Tolerance is a span about a value in per cent: −20 and +80 for the letter Z. The
// zero value says that nothing is known of it.
type Tolerance struct{ Minus, Plus float64 }

func symmetrical(percent float64) Tolerance { return Tolerance{-percent, percent} }

// Reading is one meaning of a marking.
type Reading struct {
	Value            float64   // in Unit
	Unit             Unit      // Ohm, Farad or Henry
	Scheme           string    // the code it was read by, in words
	TolerancePercent Tolerance // zero where the marking tells none
	Usual            bool      // the tolerance is not marked, only usual with such a marking
	PPMPerKelvin     float64   // temperature coefficient in 1e-6/K, 0 where none is marked
	Rated            float64   // what is marked beside it: watts of a resistor, volts of a capacitor, amperes of an inductor; 0 for none
	Unlikely         bool      // possible, but seldom meant; another reading goes before it
	Note             string    // what makes it doubtful, in words; empty when nothing does
}

// Readings are the meanings of one marking, the likely ones first.
type Readings []Reading

// ReadMarking reads a marking as printed on a part of the given kind.
//
// Read are the three- and four-digit codes, letters as decimal marks with tolerance
// and temperature-coefficient letters (IEC 60062), runs of zeros, the two digits and
// letter of 1 % chip resistors (EIA-96), picofarad and microhenry codes, values in
// plain, and colour bands written as words or as the two letters of IEC 60062 (for
// resistors and inductors). A marking that can be read in several ways gives them all.
//
// Behind the marking may stand a tolerance and the rating that goes with the part.
//
// A marking without meaning gives an error: one sentence that quotes it and says what
// may have been meant.
func ReadMarking(text string, part Part) (Readings, error) {
	readings, err := readMarking(text, part)
	if err != nil {
		var ok bool
		if readings, ok = readSpaced(text, part); !ok {
			return nil, fmt.Errorf("%s is no %s marking: %w; %s", quote(text), part, err, meant(text, part))
		}
	}
	for i := range readings {
		readings[i].remark(E192)
	}
	sort.SliceStable(readings, func(i, j int) bool { return !readings[i].Unlikely && readings[j].Unlikely })
	return readings, nil
}

func readMarking(text string, part Part) (Readings, error) {
	if len(text) > longestText {
		return nil, errors.New("it is too long")
	}
	tidied := tidy(text)
	if words, ok := colourWords(tidied); ok {
		return readBands(words, part)
	}
	m, err := dissect(tidied)
	if err != nil {
		return plainValue(tidied, part, err)
	}
	var readings Readings
	for _, scheme := range part.schemes() {
		readings = append(readings, scheme(m)...)
	}
	if len(readings) == 0 {
		return plainValue(tidied, part, m.fault(part))
	}
	return readings, nil
}

// schemes lists the codes in use on a part.
func (p Part) schemes() []func(mark) Readings {
	resistor := []func(mark) Readings{
		resistorDigits, link, plainOhms, upsideDown, ambiguousTolerance, resistorLetters, milliohms, eia96}
	capacitor := []func(mark) Readings{
		capacitorDigits, plainPicofarads, plainMicrofarads, capacitorLetters, picofaradsAndTolerance, writtenFarads}
	switch p {
	case Resistor:
		return resistor
	case Capacitor:
		return capacitor
	case Inductor:
		return []func(mark) Readings{inductorDigits, plainMicrohenries, inductorLetters}
	}
	return append(resistor, capacitor...)
}

// remark notes what is odd about a value, so that a misread digit is noticed: a value
// in no series up to the finest that the code is used with. Below 1 Ω current-sense
// resistors of whole milliohms are common, whatever the series.
func (r *Reading) remark(finest Series) {
	switch {
	case r.Note != "" || r.Value == 0:
	case r.Unit == Ohm && r.Value > largestResistor:
		r.Note = fmt.Sprintf("%s is hardly met on a board", Short(r.Value, Ohm))
	case !preferredIn(r.Value, finest) && (r.Unit != Ohm || r.Value >= 1):
		r.Note = fmt.Sprintf("%s is no value of %s; the nearest is %s",
			Short(r.Value, r.Unit), finest, Short(Nearest(finest, r.Value), r.Unit))
	}
}

// largestResistor bounds what is offered as likely: common practice, no source.
const largestResistor = 100e6 // Ω

// mark is a marking taken apart: "4K7J" is 4, K, 7, J.
type mark struct {
	head   string // digits before the first letter
	letter rune   // the first letter, 0 when there is none
	tail   string // digits behind it
	suffix string // letters behind those
}

// dissect takes a marking apart; it fails where one has a shape that no code has.
func dissect(text string) (mark, error) {
	var m mark
	m.head = leading(text, figures)
	rest := text[len(m.head):]
	letter, size := utf8.DecodeRuneInString(rest)
	if rest == "" {
		return m, m.hasDigits()
	}
	if !unicode.IsLetter(letter) {
		return m, strangeCharacter(letter)
	}
	m.letter, m.tail = letter, leading(rest[size:], figures)
	m.suffix = rest[size+len(m.tail):]
	if i := strings.IndexFunc(m.suffix, func(r rune) bool { return !unicode.IsLetter(r) }); i >= 0 {
		if startsWithDigit(m.suffix[i:]) {
			return m, errors.New("it has two letters as decimal mark")
		}
		r, _ := utf8.DecodeRuneInString(m.suffix[i:])
		return m, strangeCharacter(r)
	}
	return m, m.hasDigits()
}

func (m mark) hasDigits() error {
	if m.head+m.tail == "" {
		return errors.New("it has no digit")
	}
	return nil
}

func strangeCharacter(r rune) error {
	if r == '-' || r == '+' {
		return errors.New("a sign is never printed on a part")
	}
	return fmt.Errorf("the character %q belongs to no code", r)
}

// bare returns the digits of a marking that has nothing else, or else "".
func (m mark) bare() string {
	if m.letter != 0 {
		return ""
	}
	return m.head
}

// endsInLetter reports whether the marking is count digits and one letter.
func (m mark) endsInLetter(count int) bool {
	return m.letter != 0 && len(m.head) == count && m.tail+m.suffix == ""
}

// fault says why no code of the part has the marking.
func (m mark) fault(part Part) error {
	digits := m.bare()
	switch {
	case digits != "" && strings.Trim(digits, "0") == "":
		return errors.New("zeros alone are a zero-ohm link, four at most")
	case digits != "":
		return fmt.Errorf("no code has %d digits", len(digits))
	case m.endsInLetter(2) && part <= Resistor && eia96Letter(m.letter):
		return errors.New("the codes of two digits and a letter run from 01 to 96")
	case m.suffix != "" && part.marks(m.letter):
		return fmt.Errorf("%s is no tolerance letter", quote(m.suffix))
	}
	return fmt.Errorf("the letter %c is neither a decimal mark nor a multiplier there", m.letter)
}

// plainValue reads a value printed with a decimal point or a unit ("4.7µF", "0,22Ω"),
// common on large parts; fault is the error for what is none either.
func plainValue(text string, part Part, fault error) (Readings, error) {
	if x, ok := bareDecimal(text); ok && part >= Capacitor {
		return withoutUnit(x, part), nil
	}
	var readings Readings
	for p := Resistor; p <= Inductor; p++ {
		x, err := Parse(text, p.unit())
		if err == nil && p.isWritten(text) && (p == part || part == AnyPart && p != Inductor) {
			readings = append(readings, Reading{Value: x, Unit: p.unit(), Scheme: "value in plain"})
		}
	}
	if len(readings) == 0 {
		return nil, fault
	}
	return readings, nil
}

// bareDecimal reads digits with a decimal mark and nothing else.
func bareDecimal(text string) (float64, bool) {
	if strings.Trim(text, figures+".,") != "" || !strings.ContainsAny(text, ".,") {
		return 0, false
	}
	x, err := Parse(text, None)
	return x, err == nil && x > 0
}

// withoutUnit reads a decimal number without a unit: microhenries on an inductor,
// microfarads on a capacitor, or picofarads where there is a whole one. Common
// practice, no source.
func withoutUnit(x float64, part Part) Readings {
	if part == Inductor {
		return Readings{{Value: x * 1e-6, Unit: Henry, Scheme: "plain microhenries"}}
	}
	micro := Reading{Value: x * 1e-6, Unit: Farad, Scheme: "plain microfarads"}
	if x < 1 {
		return Readings{micro}
	}
	micro.Unlikely = true
	return Readings{{Value: x * 1e-12, Unit: Farad, Scheme: "plain picofarads"}, micro}
}

// isWritten reports whether text is more than digits and one letter: it has a decimal
// point, a space or the unit in it.
func (p Part) isWritten(text string) bool {
	text = strings.ToUpper(text)
	return strings.ContainsAny(text, "., ") || strings.Contains(text, p.unit().String()) ||
		p == Resistor && strings.Contains(text, "OHM")
}
