package quantity

import (
	"bytes"
	"math"
	"math/big"
	"strconv"
	"strings"
)

// Format prints x, held in the unit, as a result is printed: three significant
// digits, trailing zeros kept, with SI prefix: "4.12 V", "1.10 mA", "−2.75 mV".
//
// The exact stored value is rounded half away from zero first and the prefix chosen
// then, so that one to three digits stand before the point. Zero is "0 V", what is
// not finite "–", the minus sign U+2212. Units without prefixes print plainly. A
// number outside the prefixes f to T (without prefixes: outside 1e-4 to 1e6) has an
// exponent.
func Format(x float64, unit Unit) string { return format(x, unit, false) }

// Short prints x as Format does but drops trailing zeros, as typed values and values
// of parts are written: "4.7 kΩ", "100 nF".
func Short(x float64, unit Unit) string { return format(x, unit, true) }

func format(x float64, unit Unit, short bool) string {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return "–"
	}
	if x == 0 {
		return withUnit("0", "", unit)
	}
	digits, exponent := threeDigits(math.Abs(x))
	prefix, shift, ok := scale(exponent, unit)
	text := place(digits, exponent-shift)
	if short && strings.Contains(text, ".") {
		text = strings.TrimRight(strings.TrimRight(text, "0"), ".")
	}
	if !ok {
		text += "e" + minus(strconv.Itoa(exponent))
	}
	if x < 0 {
		text = "−" + text
	}
	return withUnit(text, prefix, unit)
}

// threeDigits rounds x > 0 half away from zero: x ≈ d.dd · 10^exponent.
func threeDigits(x float64) (digits string, exponent int) {
	var room [mostSigns]byte
	text := strconv.AppendFloat(room[:0], x, 'e', 2, 64) // half to even on the exact value
	if isTie(x) {
		text = strconv.AppendFloat(room[:0], math.Nextafter(x, math.Inf(1)), 'e', 2, 64)
	}
	mantissa, power, _ := bytes.Cut(text, []byte("e"))
	exponent, _ = strconv.Atoi(string(power))
	return string([]byte{mantissa[0], mantissa[2], mantissa[3]}), exponent
}

// mostSigns is how many a float64 has at most with an exponent, written as short
// as it can be.
const mostSigns = len("-1.7976931348623157e+308")

// isTie reports whether x lies exactly between two numbers of three digits. Such a
// number has four digits, the last of them 5, and is held without rounding.
func isTie(x float64) bool {
	var room [mostSigns]byte
	shortest := strconv.AppendFloat(room[:0], x, 'e', -1, 64)
	mantissa, _, _ := bytes.Cut(shortest, []byte("e"))
	if len(mantissa) != len("1.235") || mantissa[len(mantissa)-1] != '5' {
		return false
	}
	r, _ := new(big.Rat).SetString(string(shortest))
	_, exact := r.Float64()
	return exact
}

// scale chooses the prefix for a number whose first digit stands at 10^exponent, and
// the power of ten that goes into it. It is not ok when the number needs an exponent.
func scale(exponent int, unit Unit) (prefix string, shift int, ok bool) {
	if !unit.info().prefixed {
		if exponent < -4 || exponent >= 6 {
			return "", exponent, false
		}
		return "", 0, true
	}
	prefixes := []string{"f", "p", "n", "µ", "m", "", "k", "M", "G", "T"}
	step := (exponent+15+300)/3 - 100 // floor of (exponent+15)/3
	if step < 0 || step >= len(prefixes) {
		return "", exponent, false
	}
	return prefixes[step], 3*step - 15, true
}

// place sets the decimal point: digits stand for d.dd · 10^exponent.
func place(digits string, exponent int) string {
	switch {
	case exponent < 0:
		return "0." + strings.Repeat("0", -exponent-1) + digits
	case exponent < len(digits)-1:
		return digits[:exponent+1] + "." + digits[exponent+1:]
	}
	return digits + strings.Repeat("0", exponent-len(digits)+1)
}

func minus(s string) string { return strings.Replace(s, "-", "−", 1) }

func withUnit(number, prefix string, unit Unit) string {
	if unit == None {
		return number
	}
	return number + " " + prefix + unit.info().symbol
}
