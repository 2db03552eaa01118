// Package quantity reads and prints physical quantities: values as people type
// them ("4k7", "100 nF"), markings as printed on parts ("471", "01C", "yellow
// violet red gold"), and the preferred values those markings come from.
//
// Every number is held in the unit itself, without prefix; SI prefixes exist only
// in text. Sources: IEC 60062:2016 (letter, digit and colour codes of resistors and
// capacitors), IEC 60063:2015 (preferred values), the SI Brochure of the BIPM
// (prefixes) and ISO 80000-1 (point or comma as decimal mark).
package quantity

import "strings"

// Unit is the unit a number is held in. The zero value is None.
type Unit uint8

// The units of the program's quantities.
const (
	None                Unit = iota // a plain number: a gain, a fraction, a count
	Percent                         // %
	Ohm                             // Ω
	Farad                           // F
	Henry                           // H
	Volt                            // V
	Ampere                          // A
	Watt                            // W
	Joule                           // J
	Kelvin                          // K
	Second                          // s
	Hour                            // h
	Hertz                           // Hz
	AmpereHour                      // Ah
	AmperePerSquareVolt             // A/V², the transconductance parameter of a MOSFET
	PerVolt                         // 1/V
	PerKelvin                       // 1/K
	unitCount           = iota
)

// unitInfo is what text needs to know about a unit.
type unitInfo struct {
	symbol    string // as printed
	plural    string // in words, for messages
	quantity  string // what is measured in it
	example   string // a value as one may type it
	spellings []spelling
	mark      rune // letter that may stand as decimal mark, as R in 4R7; 0 for none
	prefixed  bool // takes SI prefixes
	negative  bool // may be below zero
}

// spelling is one way to write a unit; a value v written in it is v·10^power + offset.
type spelling struct {
	text   string
	power  int
	offset float64
}

var units = [unitCount]unitInfo{
	None:    {"", "plain numbers", "plain number", "0.5", []spelling{{text: "%", power: -2}}, 0, false, true},
	Percent: {"%", "per cent", "percentage", "5 %", spelled("%"), 0, false, true},
	Ohm:     {"Ω", "ohms", "resistance", "4.7k", spelled("Ω", "ohm", "ohms"), 'R', true, false},
	Farad:   {"F", "farads", "capacitance", "100n", spelled("F", "farad", "farads"), 'F', true, false},
	Henry:   {"H", "henries", "inductance", "10µ", spelled("H", "henry", "henries"), 'H', true, false},
	Volt:    {"V", "volts", "voltage", "4.5", spelled("V", "volt", "volts"), 'V', true, true},
	Ampere:  {"A", "amperes", "current", "20m", spelled("A", "amp", "amps", "ampere", "amperes"), 'A', true, true},
	Watt:    {"W", "watts", "power", "250m", spelled("W", "watt", "watts"), 'W', true, true},
	Joule:   {"J", "joules", "energy", "10k", spelled("J", "joule", "joules"), 'J', true, true},
	Kelvin: {"K", "kelvins", "temperature", "298.15", []spelling{
		{text: "K"}, {text: "°C", offset: 273.15}, {text: "C", offset: 273.15}}, 0, false, false},
	Second:              {"s", "seconds", "time", "10m", spelled("s", "second", "seconds"), 's', true, true},
	Hour:                {"h", "hours", "time in hours", "2.5", spelled("h", "hour", "hours"), 0, false, true},
	Hertz:               {"Hz", "hertz", "frequency", "1k", spelled("Hz", "hertz"), 0, true, false},
	AmpereHour:          {"Ah", "ampere hours", "charge", "2.4", spelled("Ah"), 0, true, true},
	AmperePerSquareVolt: {"A/V²", "amperes per square volt", "transconductance", "20m", spelled("A/V²", "A/V^2", "A/V2"), 0, true, false},
	PerVolt:             {"1/V", "reciprocal volts", "value per volt", "0.02", spelled("1/V", "/V"), 0, false, true},
	PerKelvin:           {"1/K", "reciprocal kelvins", "value per kelvin", "0.005", spelled("1/K", "/K"), 0, false, true},
}

func spelled(texts ...string) []spelling {
	list := make([]spelling, len(texts))
	for i, text := range texts {
		list[i].text = text
	}
	return list
}

func (u Unit) info() *unitInfo { return &units[u] }

// String returns the unit's symbol; it is empty for None.
func (u Unit) String() string { return u.info().symbol }

// exactly finds the spelling of u that is text letter for letter.
func (u Unit) exactly(text string) (spelling, bool) {
	return u.spelling(func(s string) bool { return s == text })
}

// loosely finds the spelling of u that is text in whatever case: "nf", "OHM".
func (u Unit) loosely(text string) (spelling, bool) {
	return u.spelling(func(s string) bool { return strings.EqualFold(s, text) })
}

func (u Unit) spelling(same func(string) bool) (spelling, bool) {
	for _, s := range u.info().spellings {
		if same(s.text) {
			return s, true
		}
	}
	return spelling{}, false
}

// prefixPower gives the power of ten of an SI prefix letter. K for kilo is no SI
// prefix but is printed on every second part; u stands for µ where the sign is lacking.
func prefixPower(letter rune) (power int, ok bool) {
	switch letter {
	case 'f':
		return -15, true
	case 'p':
		return -12, true
	case 'n':
		return -9, true
	case 'µ', 'u':
		return -6, true
	case 'm':
		return -3, true
	case 'k', 'K':
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

// multiplier gives the power of ten of a letter typed in a value of unit u: an SI
// prefix, or the letter of the unit itself, which may mark the decimal place (IEC
// 60062 has R for ohms and F for farads; 3V3 is how supply rails are written).
func (u Unit) multiplier(letter rune) (power int, ok bool) {
	if power, ok = prefixPower(letter); ok {
		return power, u.info().prefixed
	}
	mark := u.info().mark
	isMark := mark != 0 && strings.EqualFold(string(letter), string(mark)) || u == Ohm && letter == 'Ω'
	return 0, isMark
}
