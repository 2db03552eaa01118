package review

import (
	"fmt"
	"math"
)

// safetyRules give the usual cautions, each once, where they matter. They defer
// to local codes and licensed practice.
func safetyRules() []rule {
	return []rule{
		{"mind-lithium", Caution, "IEC 62133-2 and IEC 60086-4 (from memory)", aboutCells("Li-ion", "LFP", "lithium")},
		{"mind-button-cells", Caution, "safety notices on button cells (confirmed)", aboutCells("lithium coin", "alkaline button")},
		{"mind-the-voltage", Caution, "60 V DC as the limit of what this program is for; IEC 62368-1 and IEC 60335-1 (from memory)", aboutVoltage},
		{"mind-stored-charge", Caution, "IEC 62368-1 (from memory); the limits are our judgement", aboutCharge},
		{"mind-your-eyes", Caution, "IEC 62471 (confirmed); that 100 mA, the currents of all LEDs added up as a measure of their light, are much is our judgement", aboutEyes},
	}
}

func aboutCells(chemistries ...string) func(*sight) []remark {
	words := map[string]string{
		"Li-ion":       "they can overheat or burn when shorted, pierced, overcharged or reversed: follow their maker's sheet and local rules, and leave repairs of packs to qualified people",
		"lithium coin": "a swallowed one can burn a child's throat within hours: keep their compartment fastened, and seek medical help at once if it happens",
	}
	return func(s *sight) []remark {
		var refs []string
		for _, p := range s.parts("battery") {
			for _, c := range chemistries {
				if s.values[p.Ref].Text("chemistry") == c {
					refs = append(refs, p.Ref)
				}
			}
		}
		if refs == nil {
			return nil
		}
		is := agree(refs, "has", "have") + " lithium cells"
		if chemistries[0] == "lithium coin" {
			is = agree(refs, "is of button cells", "are of button cells")
		}
		return []remark{{parts: refs, always: true, weight: 1, text: fmt.Sprintf("%s %s: %s.", list(refs), is, words[chemistries[0]])}}
	}
}

func aboutVoltage(s *sight) []remark {
	const most = 60
	var refs []string
	worst := 0.0
	for _, p := range s.parts("battery", "supply") {
		if x := math.Abs(s.r.Parts[p.Ref].Figure("open_circuit_voltage")); x > most {
			refs, worst = append(refs, p.Ref), max(worst, x)
		}
	}
	if refs == nil {
		return nil
	}
	return []remark{{parts: refs, weight: worst, figures: []Figure{{"volts", worst}},
		text: fmt.Sprintf("%s gives %s: every part may be at a dangerous voltage; such circuits belong to licensed practice under local codes.", list(refs), volts(worst))}}
}

func aboutCharge(s *sight) []remark {
	const joules, touch = 1, 60
	var found []remark
	for _, p := range s.parts("capacitor") {
		u := voltsAcross(s, p)
		energy := s.values[p.Ref].Num("capacitance") * u * u / 2
		if !(energy > joules || u > touch) {
			continue
		}
		found = append(found, remark{parts: []string{p.Ref}, weight: energy, figures: []Figure{{"volts", u}, {"joules", energy}},
			text: fmt.Sprintf("%s holds %s after the supply is gone: check with a meter and discharge it as local safe practice describes before touching.", p.Ref, volts(u))})
	}
	return found
}

func aboutEyes(s *sight) []remark {
	const bright = 0.1 // A
	var refs []string
	count, light := 0, 0.0
	least, most := math.Inf(1), 0.0
	for _, p := range s.parts("led") {
		each := s.amps(p, "A")
		if all := each * float64(p.Multiple()); all > leastLoad {
			refs = append(refs, p.Ref)
			count, light = count+p.Multiple(), light+all
			least, most = min(least, each), max(most, each)
		}
	}
	if light < bright {
		return nil
	}
	return []remark{{parts: refs, weight: light, figures: []Figure{{"leds", float64(count)}, {"each", most}},
		text: fmt.Sprintf("%s: do not look into them from near; LEDs this bright may need an assessment under IEC 62471.", s.shine(refs, count, least, most))}}
}

// shine says how many LEDs are lit and at which current each is; in one row that is
// the same current.
func (s *sight) shine(refs []string, count int, least, most float64) string {
	switch {
	case count == 1:
		return fmt.Sprintf("%s shines at %s", list(refs), amps(most))
	case s.alike(least, most):
		return fmt.Sprintf("%d LEDs (%s) shine at %s each", count, list(refs), amps(most))
	}
	return fmt.Sprintf("%d LEDs (%s) shine at %s to %s each", count, list(refs), amps(least), amps(most))
}
