package review

import (
	"fmt"
	"math"

	"copperglass/model"
)

// chipRules look at chips: what their pins carry and how they are fed.
func chipRules() []rule {
	return []rule{
		{"chip-pin-over-current", Caution, "40 mA at any pin: Atmel ATtiny13A datasheet, absolute maximum (confirmed); other chips stand less", chipPinOverCurrent},
		{"chip-supply-resistor", Fact, "why such a resistor is there is common practice, no source; the time constant is R times C", supplyResistor},
	}
}

func chipPinOverCurrent(s *sight) []remark {
	const limit = 0.04 // A
	var found []remark
	for _, p := range s.parts("chip") {
		for _, pin := range p.Pins {
			role, _ := s.chipPin(p, pin.Number)
			through := math.Abs(s.amps(p, pin.Number))
			if role == "supply" || role == "ground" || through <= limit {
				continue
			}
			found = append(found, remark{
				parts: []string{p.Ref}, weight: through / limit, figures: []Figure{{"current", through}, {"limit", limit}},
				text: fmt.Sprintf("%s.%s carries %s, more than the %s that even a strong small chip stands.", p.Ref, pin.Number, amps(through), amps(limit)),
			})
		}
	}
	return found
}

// supplyResistor finds the resistor that leads to a chip's supply pin from a
// pole of the battery.
func supplyResistor(s *sight) []remark {
	var found []remark
	for _, chip := range s.parts("chip") {
		pin, ok := supplyPin(chip)
		if !ok {
			continue
		}
		n := s.net(chip, pin)
		for _, j := range s.at[n] {
			if j.part.Kind == "resistor" && !s.isLink(j.part) && s.leadsToPole(j.part, n) {
				found = append(found, s.feeds(j.part, chip, n))
			}
		}
	}
	return found
}

func supplyPin(chip *model.Part) (string, bool) {
	for _, pin := range chip.Pins {
		if pin.Role == "supply" {
			return pin.Number, true
		}
	}
	return "", false
}

// leadsToPole reports whether the far end of a resistor is at a battery or
// supply.
func (s *sight) leadsToPole(r *model.Part, near int) bool {
	first, second := s.ends(r)
	far := s.net(r, first)
	if far == near {
		far = s.net(r, second)
	}
	for _, j := range s.at[far] {
		if j.part.Kind == "battery" || j.part.Kind == "supply" {
			return true
		}
	}
	return false
}

func (s *sight) feeds(r, chip *model.Part, n int) remark {
	first, second := s.ends(r)
	drop := math.Abs(s.volts(r, first, second))
	m := remark{parts: []string{r.Ref, chip.Ref}, weight: drop,
		figures: []Figure{{"drop", drop}, {"current", math.Abs(s.amps(r, first))}},
		text:    fmt.Sprintf("%s feeds %s: its %s lose %s to %s", r.Ref, chip.Ref, ohms(s.values[r.Ref].Num("resistance")), volts(drop), amps(math.Abs(s.amps(r, first))))}
	for _, j := range s.at[n] {
		if j.part.Kind == "capacitor" {
			tau := s.values[r.Ref].Num("resistance") * s.values[j.part.Ref].Num("capacitance")
			m.parts = append(m.parts, j.part.Ref)
			m.figures = append(m.figures, Figure{"seconds", tau})
			m.text += fmt.Sprintf("; with %s it makes a filter of %s, likely so that the cells' sag at switching does not reset the chip", j.part.Ref, seconds(tau))
			break
		}
	}
	m.text += "."
	return m
}
