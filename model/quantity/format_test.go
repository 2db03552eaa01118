package quantity

import (
	"math"
	"math/big"
	"math/rand/v2"
	"strconv"
	"testing"
)

func TestFormat(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		x           float64
		unit        Unit
		full, short string
	}{
		{4700, Ohm, "4.70 kΩ", "4.7 kΩ"},
		{0.812, Ampere, "812 mA", "812 mA"},
		{4.12, Volt, "4.12 V", "4.12 V"},
		{1.1e-3, Ampere, "1.10 mA", "1.1 mA"},
		{9e-7, Ampere, "900 nA", "900 nA"},
		{100e-9, Farad, "100 nF", "100 nF"},
		{1e4, Ohm, "10.0 kΩ", "10 kΩ"},
		{0, Volt, "0 V", "0 V"},
		{math.Copysign(0, -1), Volt, "0 V", "0 V"},
		{-0.00275, Volt, "−2.75 mV", "−2.75 mV"},
		{math.NaN(), Volt, "–", "–"},
		{math.Inf(-1), Ohm, "–", "–"},
		{298.15, Kelvin, "298 K", "298 K"},
		{12345, Kelvin, "12300 K", "12300 K"},
		{5, Percent, "5.00 %", "5 %"},
		{0.0123, Percent, "0.0123 %", "0.0123 %"},
		{0.5, None, "0.500", "0.5"},
		{200, None, "200", "200"},
		{1.5e-5, None, "1.50e−5", "1.5e−5"},
		{-2e7, None, "−2.00e7", "−2e7"},
		{2.5, Hour, "2.50 h", "2.5 h"},
		{2.4, AmpereHour, "2.40 Ah", "2.4 Ah"},
		{0.02, AmperePerSquareVolt, "20.0 mA/V²", "20 mA/V²"},
		{1e-15, Ampere, "1.00 fA", "1 fA"},
		{3.2e-20, Ampere, "3.20e−20 A", "3.2e−20 A"},
		{1.5e16, Ohm, "1.50e16 Ω", "1.5e16 Ω"},
		{1.125, Volt, "1.13 V", "1.13 V"}, // exact ties go away from zero
		{-1.125, Volt, "−1.13 V", "−1.13 V"},
		{999.5, Volt, "1.00 kV", "1 kV"},
	} {
		if got := Format(c.x, c.unit); got != c.full {
			t.Errorf("Format(%v): %q, want %q", c.x, got, c.full)
		}
		if got := Short(c.x, c.unit); got != c.short {
			t.Errorf("Short(%v): %q, want %q", c.x, got, c.short)
		}
	}
}

// sample draws a number between 1e-24 and 1e17 of either sign where the unit has it.
func sample(r *rand.Rand, unit Unit) float64 {
	x := math.Pow(10, 41*r.Float64()-24)
	if unit.info().negative && r.IntN(2) == 0 {
		return -x
	}
	return x
}

// Whatever is printed can be typed again and differs by no more than the rounding.
func TestPrintedIsReadAgain(t *testing.T) {
	t.Parallel()
	r := rand.New(rand.NewPCG(60062, 60063))
	for i := range 20000 {
		unit := Unit(i % unitCount)
		x := sample(r, unit)
		for _, text := range []string{Short(x, unit), Format(x, unit)} {
			if got, err := Parse(text, unit); err != nil || math.Abs(got-x) > 0.005*math.Abs(x) {
				t.Fatalf("%v is printed %q and read %v, %v", x, text, got, err)
			}
		}
	}
}

// Rounding agrees with rational arithmetic on numbers with many exact ties.
func TestThreeDigitsAgainstRationals(t *testing.T) {
	t.Parallel()
	for i := 1000; i < 10000; i++ {
		x := float64(i) / 8
		digits, exponent := threeDigits(x)
		if want := slowThreeDigits(x); digits+"e"+strconv.Itoa(exponent) != want {
			t.Fatalf("%v: %se%d, want %s", x, digits, exponent, want)
		}
	}
}

// slowThreeDigits divides by powers of ten until three digits stand before the point,
// adds a half and cuts.
func slowThreeDigits(x float64) string {
	r, exponent := new(big.Rat).SetFloat64(x), 2
	for r.Cmp(big.NewRat(9995, 10)) >= 0 {
		r.Quo(r, big.NewRat(10, 1))
		exponent++
	}
	r.Add(r, big.NewRat(1, 2))
	return new(big.Int).Quo(r.Num(), r.Denom()).String() + "e" + strconv.Itoa(exponent)
}

func BenchmarkFormat(b *testing.B) {
	for b.Loop() {
		Format(0.0123, Ampere)
	}
}
