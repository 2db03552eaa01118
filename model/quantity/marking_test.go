package quantity

import (
	"math"
	"strings"
	"testing"
)

// The readings of this file follow from the rules of IEC 60062 by hand, or are common
// practice without a source (upside-down chips, plain values, inductors).

func TestMoreMarkings(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		text string
		part Part
		want string // readings as value and scheme, "?" before an unlikely one
	}{
		{" 4k7 ", Resistor, "4.7 kΩ letter code"},
		{"01c", Resistor, "10 kΩ EIA-96 code"},
		{"10r", Resistor, "10 Ω letter code; 1.24 Ω EIA-96 code"},
		{"472J", Resistor, "4.7 kΩ 3-digit code"},
		{"1002F", Resistor, "10 kΩ 4-digit code"},
		{"472K", Resistor, "4.7 kΩ 3-digit code; 472 kΩ letter code"},
		{"3m3", Resistor, "3.3 MΩ letter code; 3.3 mΩ M for milliohm, as on some current-sense resistors"},
		{"47", Resistor, "47 Ω plain ohms"},
		{"189", Resistor, "680 Ω 3-digit code, read upside down as 681; ?18 GΩ 3-digit code"},
		{"4.7kΩ", Resistor, "4.7 kΩ value in plain"},
		{"470 ohm", Resistor, "470 Ω value in plain"},
		{"82k", Resistor, "82 kΩ letter code"},
		{"4N7", Capacitor, "4.7 nF letter code"},
		{"104k", Capacitor, "100 nF picofarad code"},
		{"100N", Capacitor, "10 pF picofarad code; 100 nF letter code"},
		{"229C", Capacitor, "2.2 pF picofarad code"},
		{"2200", Capacitor, "220 pF picofarad code; 2.2 nF plain picofarads"},
		{"10µF", Capacitor, "10 µF value in plain"},
		{"4n7F", Capacitor, "4.7 nF letter code; 4.7 nF value in plain"},
		{"4.7 uF", Capacitor, "4.7 µF value in plain"},
		{"220", Capacitor, "22 pF picofarad code; ?220 µF plain microfarads, as on aluminium electrolytic capacitors"},
		{"100F", Capacitor, "10 pF picofarad code; ?100 F letter code"},
		{"101K", Inductor, "100 µH microhenry code"},
		{"4R7", Inductor, "4.7 µH letter code"},
		{"R47", Inductor, "470 nH letter code"},
		{"15N", Inductor, "15 nH letter code"},
		{"22", Inductor, "22 µH plain microhenries"},
		{"1m5", Inductor, "1.5 mH letter code"},
		{"4µ7", Inductor, "4.7 µH letter code"},
		{"brown red brown silver", Inductor, "120 µH 4 bands"},
		{"red red red", Inductor, "2.2 mH 3 bands"},
		{"brown black red", Inductor, "1 mH 3 bands"},
		{"yellow purple red gold", Resistor, "4.7 kΩ 4 bands"},
		{"brown black black brown blue", Resistor, "1 kΩ 5 bands"},
		{"brown brown black black green", Resistor, "110 Ω 5 bands"},
		{"violet brown black red brown", Resistor, "1.2 kΩ 5 bands, read from the other end; ?71 kΩ 5 bands"},
		{"brown black brown red", Resistor, "100 Ω 4 bands"},
		{"brown black black red", Resistor, "10 Ω 4 bands; 20 Ω 4 bands, read from the other end"},
		{"brown black brown silver", Inductor, "100 µH 4 bands"},
		{"YE-VT-RD-GD", Resistor, "4.7 kΩ 4 bands"},
		{"Brown, Black, Black, Red, Brown", Resistor, "10 kΩ 5 bands; 120 Ω 5 bands, read from the other end"},
		{"gray red yellow gold", Resistor, "820 kΩ 4 bands"},
		{"red orange orange", Resistor, "3.3 kΩ 3 bands, read from the other end; ?23 kΩ 3 bands"},
		{"brown black red", AnyPart, "1 kΩ 3 bands"},
		{"22", AnyPart, "22 Ω plain ohms; 22 pF plain picofarads; ?22 µF plain microfarads, as on aluminium electrolytic capacitors"},
		{"10µF", AnyPart, "10 µF value in plain"},
		{"10uH", Inductor, "10 µH value in plain"},
		{"4.7", Capacitor, "4.7 pF plain picofarads; ?4.7 µF plain microfarads"},
		{".022", Capacitor, "22 nF plain microfarads"},
		{"0,1", Capacitor, "100 nF plain microfarads"},
		{"4.7", Inductor, "4.7 µH plain microhenries"},
		{"1R5H", Inductor, "1.5 µH letter code"},
		{"brownblackorange", Resistor, "10 kΩ 3 bands"},
		{"grayred brown-GD", Resistor, "820 Ω 4 bands"},
		{"150R J", Resistor, "150 Ω letter code"},
		{"1 002", Resistor, "10 kΩ 4-digit code"},
	} {
		readings, err := ReadMarking(c.text, c.part)
		if got := told(readings); err != nil || got != c.want {
			t.Errorf("%q on a %s: %v\n got %s\nwant %s", c.text, c.part, err, got, c.want)
		}
	}
}

func told(readings Readings) string {
	var list []string
	for _, r := range readings {
		text := Short(r.Value, r.Unit) + " " + r.Scheme
		if r.Unlikely {
			text = "?" + text
		}
		list = append(list, text)
	}
	return strings.Join(list, "; ")
}

func TestMarkingRefusals(t *testing.T) {
	t.Parallel()
	const check = "; check the marking or type the value"
	for _, c := range []struct {
		text string
		part Part
		want string
	}{
		{"97A", Resistor, `"97A" is no resistor marking: the codes of two digits and a letter run from 01 to 96`},
		{"45Q", Resistor, `"45Q" is no resistor marking: the letter Q is neither a decimal mark nor a multiplier there; on a capacitor it is 45 pF`},
		{"4K7K2", Resistor, `"4K7K2" is no resistor marking: it has two letters as decimal mark`},
		{"1K2R", Resistor, `"1K2R" is no resistor marking: "R" is no tolerance letter`},
		{"4K7FW", Resistor, `"4K7FW" is no resistor marking: "FW" is no tolerance letter`},
		{"101Y", Inductor, `"101Y" is no inductor marking: the letter Y is neither a decimal mark nor a multiplier there`},
		{"104Y", Resistor, `"104Y" is no resistor marking: the letter Y is neither a decimal mark nor a multiplier there`},
		{"K", Resistor, `"K" is no resistor marking: it has no digit`},
		{"", Resistor, `"" is no resistor marking: it has no digit`},
		{"12345", Resistor, `"12345" is no resistor marking: no code has 5 digits`},
		{"00000", Resistor, `"00000" is no resistor marking: zeros alone are a zero-ohm link, four at most`},
		{"000", Capacitor, `"000" is no capacitor marking: zeros alone are a zero-ohm link, four at most; on a resistor it is 0 Ω`},
		{"-101", Resistor, `"-101" is no resistor marking: a sign is never printed on a part`},
		{"4K7?", Resistor, `"4K7?" is no resistor marking: the character '?' belongs to no code`},
		{"45Q", Inductor, `"45Q" is no inductor marking: the letter Q is neither a decimal mark nor a multiplier there; on a capacitor it is 45 pF`},
		{"45Q7", AnyPart, `"45Q7" is no resistor or capacitor marking: the letter Q is neither a decimal mark nor a multiplier there`},
		{"brown", Resistor, `"brown" is no resistor marking: one band has a meaning only when it is black`},
		{"red red", Resistor, `"red red" is no resistor marking: a part has three to six bands, not 2`},
		{"red red red red red", Inductor, `"red red red red red" is no inductor marking: an inductor has three or four bands, not 5; on a resistor it is 22.2 kΩ`},
		{"red red red", Capacitor, `"red red red" is no capacitor marking: colour bands are read on resistors and inductors only; on a resistor it is 2.2 kΩ`},
		{"yelow violet red gold", Resistor, `"yelow violet red gold" is no resistor marking: "yelow" is no colour of the code, but yellow is`},
		{"1O2", Resistor, `"1O2" is no resistor marking: the letter O is neither a decimal mark nor a multiplier there; as 102, with digits for the letters that look like them, it is 1 kΩ`},
		{"2n2", Resistor, `"2n2" is no resistor marking: the letter n is neither a decimal mark nor a multiplier there; on a capacitor it is 2.2 nF`},
		{"4k7", Inductor, `"4k7" is no inductor marking: the letter k is neither a decimal mark nor a multiplier there; on a resistor it is 4.7 kΩ`},
		{"104 50W", Capacitor, `"104 50W" is no capacitor marking: the character ' ' belongs to no code`},
		{"lilac red red", Resistor, `"lilac red red" is no resistor marking: "lilac" is no colour of the code`},
		{"pink black red gold", Resistor, `"pink black red gold" is no resistor marking: pink is no digit, and from the other end gold is no digit`},
		{"white red red white", Resistor, `"white red red white" is no resistor marking: white is no tolerance, and from the other end white is no tolerance`},
		{"white red red red red white", Resistor, `"white red red red red white" is no resistor marking: white is no temperature coefficient, and from the other end white is no temperature coefficient`},
	} {
		readings, err := ReadMarking(c.text, c.part)
		want := c.want
		if !strings.Contains(want, "; ") {
			want += check
		}
		if err == nil || err.Error() != want {
			t.Errorf("%q: %+v\n got %v\nwant %s", c.text, readings, err, want)
		}
	}
}

func TestDoubtsAreNoted(t *testing.T) {
	t.Parallel()
	for text, want := range map[string]string{
		"420":                           "42 Ω is no value of E24; the nearest is 43 Ω",
		"45G":                           "45 GΩ is hardly met on a board",
		"471":                           "",
		"R005":                          "",
		"022":                           "makers do not begin a code with 0",
		"black brown red gold":          "makers do not begin with a black band",
		"brown black red white":         "92 Ω is no value of E24; the nearest is 91 Ω",
		"brown black black black grey":  "grey is 0.01 % in IEC 60062:2016, 0.05 % in earlier tables",
		"brown black black red yellow":  "yellow as tolerance is new in IEC 60062:2016",
		"yellow violet red gold":        "",
		"brown black black black brown": "",
	} {
		readings, err := ReadMarking(text, Resistor)
		if err != nil || readings[0].Note != want {
			t.Errorf("%q: %+v, %v; want %q", text, readings, err, want)
		}
	}
}

// FuzzReadMarking checks that whatever is printed gives readings a part can have, the
// likely ones first and none twice, or an error of bounded length.
func FuzzReadMarking(f *testing.F) {
	f.Fuzz(func(t *testing.T, text string, p uint8) {
		part := Part(p % 4)
		readings, err := ReadMarking(text, part)
		if (err == nil) != (len(readings) > 0) || err != nil && len(err.Error()) > 500 {
			t.Fatalf("%q: %+v, %v", text, readings, err)
		}
		seen := map[Reading]bool{}
		for i, r := range readings {
			fits := part == AnyPart && r.Unit != Henry || r.Unit == part.unit()
			if math.IsInf(r.Value, 0) || !(r.Value >= 0) || !fits || r.Scheme == "" || seen[r] {
				t.Fatalf("%q: %+v", text, readings)
			}
			if i > 0 && readings[i-1].Unlikely && !r.Unlikely {
				t.Fatalf("%q: a likely reading behind an unlikely one: %+v", text, readings)
			}
			seen[r] = true
		}
	})
}
