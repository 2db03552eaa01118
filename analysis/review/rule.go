package review

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"copperglass/model"
	"copperglass/model/quantity"
)

// rule is one thing that is looked for.
type rule struct {
	id       string
	severity Severity
	source   string
	judge    func(s *sight) []remark
}

// remark is what a rule says about one place in the circuit.
type remark struct {
	parts   []string
	about   string // what it is told once about, in the mode where it shows most: a part or pin; empty for all of parts
	text    string
	figures []Figure
	source  string  // where it is another than the rule's
	weight  float64 // how much it shows, to compare modes by
	always  bool    // whether it does not depend on the mode
}

func (m remark) finding(r rule, mode string) Finding {
	f := Finding{Rule: r.id, Severity: r.severity, Mode: mode, Text: m.text, Figures: m.figures, Source: r.source, weight: m.weight, about: m.about}
	if m.source != "" {
		f.Source = m.source
	}
	if m.always {
		f.Mode = ""
	}
	f.Parts = slices.Clone(m.parts)
	slices.SortFunc(f.Parts, model.NaturalCompare)
	f.Parts = slices.Compact(f.Parts)
	return f
}

// rules returns all rules, grouped by what they are about.
func rules() []rule {
	return slices.Concat(ratingRules(), freshRules(), switchRules(), lightRules(), loadRules(), batteryRules(), shortRules(), chipRules(), valueRules(), safetyRules())
}

// common is the source of rules that nobody has published.
const common = "common practice, no source"

func volts(x float64) string {
	const rounding = 1e-9 // V, where equal voltages are taken from each other
	if math.Abs(x) < rounding {
		x = 0
	}
	return quantity.Short(x, quantity.Volt)
}

// nothing is the current in amperes below which sentences speak of none.
const nothing = 1e-9

func amps(x float64) string {
	if math.Abs(x) < nothing {
		return "next to nothing"
	}
	return quantity.Short(x, quantity.Ampere)
}

func watts(x float64) string { return quantity.Short(x, quantity.Watt) }
func ohms(x float64) string  { return quantity.Short(x, quantity.Ohm) }
func plain(x float64) string { return quantity.Short(x, quantity.None) }

func percent(x float64) string { return fmt.Sprintf("%.0f %%", 100*x) }

// agree returns the form of a verb that agrees with the number of references.
func agree(refs []string, singular, plural string) string {
	if len(refs) == 1 {
		return singular
	}
	return plural
}

// list joins references as in a sentence.
func list(refs []string) string {
	const most = 6
	switch {
	case len(refs) < 2:
		return strings.Join(refs, "")
	case len(refs) > most:
		return fmt.Sprintf("%s, %s … %s", refs[0], refs[1], refs[len(refs)-1])
	}
	return strings.Join(refs[:len(refs)-1], ", ") + " and " + refs[len(refs)-1]
}
