package quantity

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

// The letter code of IEC 60062: the letter stands where the decimal mark would, and
// may stand first, in the middle or last. A tolerance letter may follow, and after it
// one for the temperature coefficient. K is kilo and 10 %, M mega and 20 %, F farad
// and 1 %: the position decides.

const letterScheme = "letter code"

func resistorPower(letter rune) (power int, ok bool) {
	switch unicode.ToUpper(letter) {
	case 'L':
		return -3, true
	case 'R':
		return 0, true
	case 'K':
		return 3, true
	case 'M':
		return 6, true
	case 'G':
		return 9, true
	case 'T':
		return 12, true
	}
	return 0, false
}

// capacitorPower takes the capital N, P and U too, which some makers print.
func capacitorPower(letter rune) (power int, ok bool) {
	switch letter {
	case 'p', 'P':
		return -12, true
	case 'n', 'N':
		return -9, true
	case 'µ', 'u', 'U':
		return -6, true
	case 'm':
		return -3, true
	case 'F':
		return 0, true
	}
	return 0, false
}

// inductorPower has R for microhenries and N for nanohenries: practice of makers
// after IEC 62025, from memory.
func inductorPower(letter rune) (power int, ok bool) {
	switch letter {
	case 'n', 'N':
		return -9, true
	case 'µ', 'u', 'U', 'R', 'r':
		return -6, true
	case 'm':
		return -3, true
	}
	return 0, false
}

// multiplier gives the power of ten of a letter that stands as decimal mark.
func (p Part) multiplier(letter rune) (power int, ok bool) {
	switch p {
	case Capacitor:
		return capacitorPower(letter)
	case Inductor:
		return inductorPower(letter)
	}
	return resistorPower(letter)
}

// marks reports whether the letter can be a decimal mark on the part.
func (p Part) marks(letter rune) bool {
	_, ok := p.multiplier(letter)
	return ok || p == AnyPart && Capacitor.marks(letter)
}

func resistorLetters(m mark) Readings { return letterCode(m, Resistor) }

// capacitorLetters takes an F behind a prefix that ends the number for the unit,
// not for 1 %.
func capacitorLetters(m mark) Readings {
	if strings.EqualFold(m.suffix, "F") && m.tail == "" && unicode.ToUpper(m.letter) != 'F' {
		return nil
	}
	return letterCode(m, Capacitor)
}

// inductorLetters takes the H behind a prefix for the unit, not for 3 %.
func inductorLetters(m mark) Readings {
	if strings.EqualFold(m.suffix, "H") && unicode.ToUpper(m.letter) != 'R' {
		return nil
	}
	return letterCode(m, Inductor)
}

func letterCode(m mark, part Part) Readings {
	power, ok := part.multiplier(m.letter)
	if !ok {
		return nil
	}
	r := Reading{Value: decimal(m.head+"."+m.tail, power), Unit: part.unit(), Scheme: letterScheme}
	if !r.takeSuffix(m.suffix, part) {
		return nil
	}
	if part == Capacitor && m.letter == 'F' && r.Value >= 100 {
		r.Unlikely, r.Note = true, "the letter F is then farads, as on double-layer capacitors"
	}
	return Readings{r}
}

// takeSuffix reads a tolerance letter and a temperature-coefficient letter behind it.
func (r *Reading) takeSuffix(suffix string, part Part) bool {
	if suffix == "" {
		return true
	}
	letter, size := utf8.DecodeRuneInString(suffix)
	if !r.takeTolerance(letter, part) {
		return false
	}
	if suffix = suffix[size:]; suffix == "" {
		return true
	}
	letter, size = utf8.DecodeRuneInString(suffix)
	var ok bool
	r.PPMPerKelvin, ok = coefficientOf(letter)
	return ok && size == len(suffix) && part == Resistor
}

// takeTolerance reads a tolerance letter, in either case but for the small p, n and m
// of a capacitor, which are multipliers. On capacitors below 10 pF it gives picofarads
// instead of per cent, and only capacitors have unsymmetrical ones.
func (r *Reading) takeTolerance(letter rune, part Part) (ok bool) {
	const limit = 9.999e-12 // F; below 10 pF, rounding kept out
	if part == Capacitor && strings.ContainsRune("pnm", letter) {
		return false
	}
	letter = unicode.ToUpper(letter)
	switch {
	case part == Capacitor && r.Value > 0 && r.Value < limit && strings.ContainsRune("BCDFG", letter):
		r.TolerancePercent = symmetrical(100e-12 * smallCapacitorTolerance(letter) / r.Value)
		return true
	case part == Capacitor && strings.ContainsRune("QTSZ", letter):
		r.TolerancePercent = wideTolerance(letter)
		return true
	}
	percent, ok := toleranceOf(letter)
	r.TolerancePercent = symmetrical(percent)
	return ok
}

// toleranceOf gives the per cent of a symmetrical tolerance letter.
func toleranceOf(letter rune) (percent float64, ok bool) {
	i := strings.IndexRune("ELPWBCDFGHJKMN", letter)
	if i < 0 {
		return 0, false
	}
	return [...]float64{0.005, 0.01, 0.02, 0.05, 0.1, 0.25, 0.5, 1, 2, 3, 5, 10, 20, 30}[i], true
}

// wideTolerance gives the span of the unsymmetrical tolerance letters Q, T, S, Z.
func wideTolerance(letter rune) Tolerance {
	switch letter {
	case 'Q':
		return Tolerance{-10, 30}
	case 'T':
		return Tolerance{-10, 50}
	case 'S':
		return Tolerance{-20, 50}
	}
	return Tolerance{-20, 80}
}

// smallCapacitorTolerance gives the picofarads of a letter of B, C, D, F, G.
func smallCapacitorTolerance(letter rune) float64 {
	return [...]float64{0.1, 0.25, 0.5, 1, 2}[strings.IndexRune("BCDFG", letter)]
}

// coefficientOf gives the temperature coefficient of a letter in 1e-6/K; Z, for any
// other one, tells nothing and gives 0.
func coefficientOf(letter rune) (ppm float64, ok bool) {
	i := strings.IndexRune("KMPQRSUZ", unicode.ToUpper(letter))
	if i < 0 {
		return 0, false
	}
	return [...]float64{1, 5, 15, 25, 50, 100, 250, 0}[i], true
}

// milliohms reads M as milliohms, as some makers of current-sense resistors print
// whole ones ("5M0"); a small m can be meant for either. Common practice, no source.
func milliohms(m mark) Readings {
	whole := m.letter == 'M' && m.head != "" && m.tail != "" && strings.Trim(m.tail, "0") == ""
	if !whole && m.letter != 'm' || m.suffix != "" {
		return nil
	}
	return Readings{{Value: decimal(m.head+"."+m.tail, -3), Unit: Ohm,
		Scheme: "M for milliohm, as on some current-sense resistors",
		Note:   "the size of the part and its place decide between milliohm and megohm"}}
}

// picofaradsAndTolerance reads two digits and a tolerance letter on a small ceramic
// capacitor: 82K is 82 pF, 10 %.
func picofaradsAndTolerance(m mark) Readings {
	r := Reading{Value: decimal(m.head+".", -12), Unit: Farad, Scheme: "two digits and tolerance letter"}
	if !m.endsInLetter(2) || !r.takeTolerance(m.letter, Capacitor) {
		return nil
	}
	return Readings{r}
}

// writtenFarads reads a value with its unit ("10µF"), where the letter code has an F
// for 1 %.
func writtenFarads(m mark) Readings {
	power, ok := capacitorPower(m.letter)
	if !ok || m.letter == 'F' || !strings.EqualFold(m.suffix, "F") {
		return nil
	}
	return Readings{{Value: decimal(m.head+"."+m.tail, power), Unit: Farad, Scheme: "value in plain"}}
}
