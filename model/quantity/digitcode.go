package quantity

import "strings"

// The digit codes: two or three significant digits and a power of ten (IEC 60062).
// The tolerances of resistors marked so, 5 % for three digits and 1 % for four, are
// usual, not part of the marking.

const (
	threeDigitScheme = "3-digit code"
	fourDigitScheme  = "4-digit code"
	picofaradScheme  = "picofarad code"
	microhenryScheme = "microhenry code"
)

// link reads the zeros of a zero-ohm link, and 010 as one that is damaged. Common
// practice, no source.
func link(m mark) Readings {
	digits := m.bare()
	switch {
	case digits != "" && len(digits) <= 4 && strings.Trim(digits, "0") == "":
		return Readings{{Unit: Ohm, Scheme: "zero-ohm link"}}
	case digits == "010":
		return Readings{{Unit: Ohm, Scheme: "damaged link mark",
			Note: "makers do not begin a code with 0; look whether the mark is a worn 000"}}
	}
	return nil
}

func resistorDigits(m mark) Readings {
	digits := m.bare()
	if len(digits) != 3 && len(digits) != 4 || strings.Trim(digits, "0") == "" {
		return nil
	}
	return Readings{resistorCode(digits)}
}

// resistorCode reads three or four digits.
func resistorCode(digits string) Reading {
	r := Reading{Value: codeValue(digits, 0), Unit: Ohm, Scheme: threeDigitScheme,
		TolerancePercent: symmetrical(5), Usual: true}
	if len(digits) == 4 {
		r.Scheme, r.TolerancePercent = fourDigitScheme, symmetrical(1)
	}
	r.Unlikely = r.Value > largestResistor
	if digits[0] == '0' {
		r.Note = "makers do not begin a code with 0"
	}
	r.remark(finestOf(digits))
	return r
}

// finestOf returns the finest series that a code is used with: its two significant
// digits can write E24, three can write all series.
func finestOf(digits string) Series {
	if len(digits) == 3 {
		return E24
	}
	return E192
}

// codeValue is the leading digits · 10^(last digit + power).
func codeValue(digits string, power int) float64 {
	n := len(digits) - 1
	return decimal(digits[:n], int(digits[n]-'0')+power)
}

// ambiguousTolerance reads three or four digits and a tolerance letter ("472J"). Where
// the letter could be a multiplier as well ("472K"), it is taken as tolerance only
// when the letter code would give no preferred value and the digits do.
func ambiguousTolerance(m mark) Readings {
	if !m.endsInLetter(3) && !m.endsInLetter(4) || m.head[0] == '0' {
		return nil
	}
	r := resistorCode(m.head)
	power, multiplies := resistorPower(m.letter)
	if multiplies && (preferredIn(decimal(m.head, power), E96) || !preferredIn(r.Value, E96)) {
		return nil
	}
	if r.Usual = false; !r.takeTolerance(m.letter, Resistor) {
		return nil
	}
	return Readings{r}
}

// plainOhms reads digits as ohms, as on larger parts and in lists: one or two digits
// always, more only where they end in 0 and give a value of E24.
func plainOhms(m mark) Readings {
	digits := m.bare()
	r := Reading{Unit: Ohm, Scheme: "plain ohms"}
	if strings.Trim(digits, "0") == "" || len(digits) > 4 {
		return nil
	}
	r.Value = decimal(digits, 0)
	if r.Unlikely = len(digits) > 2; r.Unlikely && !isRound(digits, E24) {
		return nil
	}
	return Readings{r}
}

// isRound reports whether digits end in 0, do not begin with it, and are a preferred
// value as they stand.
func isRound(digits string, finest Series) bool {
	return digits[0] != '0' && strings.HasSuffix(digits, "0") && preferredIn(decimal(digits, 0), finest)
}

// upsideDown reads three digits from the other side of the part: 681 for 189. It is
// offered where it gives a value of E24, and is the likely reading where the upright
// one is absurd.
func upsideDown(m mark) Readings {
	digits := m.bare()
	turned := turn(digits)
	if len(digits) != 3 || turned == "" || turned == digits || turned[0] == '0' {
		return nil
	}
	r := resistorCode(turned)
	r.Scheme = threeDigitScheme + ", read upside down as " + turned
	r.Unlikely = r.Unlikely || codeValue(digits, 0) <= largestResistor
	if !preferredIn(r.Value, E24) {
		return nil
	}
	return Readings{r}
}

// turn gives digits as they look upside down, "" where one does not look like a digit.
func turn(digits string) string {
	var turned []byte
	for i := len(digits) - 1; i >= 0; i-- {
		at := strings.IndexByte("01689", digits[i])
		if at < 0 {
			return ""
		}
		turned = append(turned, "01986"[at])
	}
	return string(turned)
}

// capacitorDigits reads the picofarad code, of three or four digits with or without a
// tolerance letter. The last digits 8 and 9 stand for 0.01 and 0.1.
func capacitorDigits(m mark) Readings {
	if m.letter != 0 && !m.endsInLetter(len(m.head)) || len(m.head) != 3 && len(m.head) != 4 {
		return nil
	}
	if strings.Trim(m.head, "0") == "" {
		return nil
	}
	r := Reading{Value: codeValue(m.head, -12), Unit: Farad, Scheme: picofaradScheme}
	if last := m.head[len(m.head)-1]; last >= '8' {
		r.Value = decimal(m.head[:len(m.head)-1], int(last-'0')-10-12)
	}
	r.remark(finestOf(m.head))
	if m.letter != 0 && !r.takeTolerance(m.letter, Capacitor) {
		return nil
	}
	return Readings{r}
}

// plainPicofarads reads one or two digits, and four that end in 0, as picofarads.
func plainPicofarads(m mark) Readings {
	digits := m.bare()
	n := len(digits)
	if strings.Trim(digits, "0") == "" || n == 3 || n > 4 || n == 4 && !isRound(digits, E24) {
		return nil
	}
	return Readings{{Value: decimal(digits, -12), Unit: Farad, Scheme: "plain picofarads"}}
}

// plainMicrofarads reads digits as microfarads, as on aluminium electrolytic cans:
// values of E12 up to 999. Common practice, no source.
func plainMicrofarads(m mark) Readings {
	digits := m.bare()
	if digits == "" || len(digits) > 3 || digits[0] == '0' || !preferredIn(decimal(digits, 0), E12) {
		return nil
	}
	return Readings{{Value: decimal(digits, -6), Unit: Farad, Unlikely: true,
		Scheme: "plain microfarads, as on aluminium electrolytic capacitors"}}
}

// inductorDigits reads the three-digit microhenry code with or without a tolerance
// letter: practice of makers after IEC 62025, from memory.
func inductorDigits(m mark) Readings {
	if m.letter != 0 && !m.endsInLetter(3) || len(m.head) != 3 || strings.Trim(m.head, "0") == "" {
		return nil
	}
	r := Reading{Value: codeValue(m.head, -6), Unit: Henry, Scheme: microhenryScheme}
	r.remark(E24)
	if m.letter != 0 && !r.takeTolerance(m.letter, Inductor) {
		return nil
	}
	return Readings{r}
}

// plainMicrohenries reads one or two digits as microhenries.
func plainMicrohenries(m mark) Readings {
	digits := m.bare()
	if strings.Trim(digits, "0") == "" || len(digits) > 2 {
		return nil
	}
	return Readings{{Value: decimal(digits, -6), Unit: Henry, Scheme: "plain microhenries"}}
}
