package quantity

import (
	"errors"
	"math"
	"strconv"
	"strings"
	"testing"
)

// The values and refusals of this file are our own rules, worked by hand; those of the
// standards stand in standards_test.go.

func TestParseUnits(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		text string
		unit Unit
		want float64
	}{
		{"470 R", Ohm, 470}, {"4r7", Ohm, 4.7}, {"4Ω7", Ohm, 4.7}, {"10 OHM", Ohm, 10}, {"2.2 kohms", Ohm, 2200},
		{"1\u00a0kΩ", Ohm, 1000}, {"1T", Ohm, 1e12}, {"4F7", Farad, 4.7}, {"10f", Farad, 1e-14}, {"100nf", Farad, 1e-7},
		{"20ma", Ampere, 0.02}, {"3v3", Volt, 3.3}, {"+5", Volt, 5}, {"1e−3 V", Volt, 1e-3}, {"10 ms", Second, 0.01},
		{"300K", Kelvin, 300}, {"25 °C", Kelvin, 298.15}, {"-40 C", Kelvin, 233.15}, {"5 %", Percent, 5}, {"5%", None, 0.05},
		{"0.98", None, 0.98}, {"2.5 h", Hour, 2.5}, {"1 kHz", Hertz, 1000}, {"2400 mAh", AmpereHour, 2.4},
		{"20 mA/V²", AmperePerSquareVolt, 0.02}, {"0.02/V", PerVolt, 0.02}, {"0.5 1/K", PerKelvin, 0.5}, {"-2 J", Joule, -2},
		{"1234,567", Ohm, 1234.567}, {"0,100", Ohm, 0.1}, {",500", Ohm, 0.5}, {"1.000", Ohm, 1}, {"4,70k", Ohm, 4700},
		{"-0", Ohm, 0}, {"5,000e17", Volt, 5e17},
	} {
		got, err := Parse(c.text, c.unit)
		if err != nil || math.Abs(got-c.want) > 1e-12*math.Abs(c.want) {
			t.Errorf("%q in %q: %v, %v; want %v", c.text, c.unit, got, err, c.want)
		}
	}
}

func TestParseRefusals(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		text string
		unit Unit
		want string
	}{
		{"4k7k", Ohm, `"4k7k" has two prefixes; write 4k7`},
		{"10kR", Ohm, `"10kR" has two prefixes; write 10k`},
		{"4k7.2", Ohm, `"4k7.2" has two decimal marks, k and .; write 4k7`},
		{"4.7k7", Ohm, `"4.7k7" has two decimal marks, . and k; write 4.7k`},
		{"4k7 F", Ohm, `"4k7 F" is in farads where ohms are wanted; write a number such as 4.7k`},
		{"10 mA", Volt, `"10 mA" is in amperes where volts are wanted; write a number such as 4.5`},
		{"1kΩ", None, `"1kΩ" is in ohms where plain numbers are wanted; write a number such as 0.5`},
		{"2k", None, `"2k" ends in "k", which is neither a prefix nor a unit wanted here; write a number such as 0.5`},
		{"10x", Ohm, `"10x" ends in "x", which is neither a prefix nor a unit wanted here; write a number such as 4.7k`},
		{"1meg", Ohm, `"1meg" ends in "meg", which is neither a prefix nor a unit wanted here; write a number such as 4.7k`},
		{"", Ohm, `"" is empty; write a number such as 4.7k`},
		{"  ", Farad, `"  " is empty; write a number such as 100n`},
		{"k", Ohm, `"k" has no number in it; write a number such as 4.7k`},
		{".", Ohm, `"." has no number in it; write a number such as 4.7k`},
		{"Ω", Ohm, `"Ω" has no number in it; write a number such as 4.7k`},
		{"NaN", Volt, `"NaN" has no number in it; write a number such as 4.5`},
		{"-Inf", Volt, `"-Inf" has no number in it; write a number such as 4.5`},
		{"--5", Volt, `"--5" has more than one sign; write one, as in -4.5`},
		{"1e+", Volt, `"1e+" ends in "e+", which is neither a prefix nor a unit wanted here; write a number such as 4.5`},
		{"1,000e30", Volt, `"1,000e30" is too large a number; write one below 1e18, such as 4.5`},
		{"1e3k", Ohm, `"1e3k" has both an exponent and the prefix k; keep one of them`},
		{"1e3k3", Ohm, `"1e3k3" has both an exponent and the letter k; keep one of them`},
		{"1.2.3", Ohm, `"1.2.3" has more than one decimal mark; keep one of them`},
		{"1.000,5", Ohm, `"1.000,5" has both a point and a comma; keep only the decimal mark`},
		{"4 700", Ohm, `"4 700" has a space inside the number; write it without`},
		{"4 k7", Ohm, `"4 k7" has digits after the letter k and a space; write it without the space`},
		{"4 k 7", Ohm, `"4 k 7" ends in "k 7", which is neither a prefix nor a unit wanted here; write a number such as 4.7k`},
		{"-100", Ohm, `"-100" is negative, which a resistance cannot be; write it without the minus sign`},
		{"-300 °C", Kelvin, `"-300 °C" is below absolute zero; write kelvins from 0 or °C from -273.15`},
		{"1e30", Farad, `"1e30" is too large a number; write one below 1e18, such as 100n`},
		{"1e400", Volt, `"1e400" is too large a number; write one below 1e18, such as 4.5`},
		{"1e99999999999999999999", Volt, `"1e99999999999999999999" is too large a number; write one below 1e18, such as 4.5`},
		{"1e-400", Volt, `"1e-400" is too small a number; write 0 or a larger one`},
		{"5\x00V", Volt, `"5\x00V" ends in "\x00V", which is neither a prefix nor a unit wanted here; write a number such as 4.5`},
		{"5\xff", Volt, `"5\xff" ends in "�", which is neither a prefix nor a unit wanted here; write a number such as 4.5`},
	} {
		if got, err := Parse(c.text, c.unit); err == nil || err.Error() != c.want {
			t.Errorf("%q: %v\n got %v\nwant %s", c.text, got, err, c.want)
		}
	}
}

func TestParseAsksAboutThousands(t *testing.T) {
	t.Parallel()
	_, err := Parse("4,700 k", Ohm)
	var ambiguous *AmbiguousError
	if !errors.As(err, &ambiguous) || ambiguous.Candidates != [2]float64{4700, 4.7e6} {
		t.Fatalf("%v", err)
	}
	if want := `"4,700 k" has a comma that may be a decimal or a thousands mark; write 4.700 k or 4700 k`; err.Error() != want {
		t.Errorf("%v, want %s", err, want)
	}
}

func TestParseLongText(t *testing.T) {
	t.Parallel()
	want := `"111111111111111111111111111111111111111111111111…" is too long for a value; write a number such as 4.7k`
	if _, err := Parse(strings.Repeat("1", 1<<20), Ohm); err == nil || err.Error() != want {
		t.Errorf("%v, want %s", err, want)
	}
	if _, err := ReadMarking(strings.Repeat("red ", 1<<18), Resistor); err == nil || len(err.Error()) > 200 {
		t.Errorf("%v", err)
	}
}

// FuzzParse checks that whatever is typed gives a number the unit can have, or an
// error of bounded length, and that a number read survives being printed in full.
func FuzzParse(f *testing.F) {
	f.Fuzz(func(t *testing.T, text string, u uint8) {
		unit := Unit(u % unitCount)
		x, err := Parse(text, unit)
		if err != nil {
			if x != 0 || err.Error() == "" || len(err.Error()) > 500 {
				t.Fatalf("%q: %v, %v", text, x, err)
			}
			return
		}
		if math.IsNaN(x) || math.Abs(x) > largest || x < 0 && !unit.info().negative {
			t.Fatalf("%q: %v", text, x)
		}
		if again, err := Parse(strconv.FormatFloat(x, 'g', -1, 64), unit); err != nil || again != x {
			t.Fatalf("%q: %v read again is %v, %v", text, x, again, err)
		}
	})
}
