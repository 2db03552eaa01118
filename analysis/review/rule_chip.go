package review

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"copperglass/model"
)

// chipRules look at chips: what their pins carry and how they are fed.
func chipRules() []rule {
	return []rule{
		{"chip-pin-over-current", Caution, "40 mA at any pin: Atmel ATtiny13A datasheet, absolute maximum (confirmed); other chips stand less", chipPinOverCurrent},
		{"chip-unnamed", Fact, "makers' pin tables, row by row in the catalogue; most rows are from memory", unnamedChip},
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

// unnamedChip tells of a chip without a name which families have their supply
// and ground at its pins.
func unnamedChip(s *sight) []remark {
	var found []remark
	for _, p := range s.parts("chip") {
		supply, ground := pinOf(p, "supply"), pinOf(p, "ground")
		if named(p) || supply == "" || ground == "" {
			continue
		}
		families := model.ChipFamilies(leads(p), supply, ground)
		found = append(found, remark{
			parts: []string{p.Ref}, always: true, weight: 1, figures: []Figure{{"families", float64(len(families))}},
			text: fmt.Sprintf("%s has its supply at pin %s and its ground at pin %s: %s.", p.Ref, supply, ground, familiesInWords(families)),
		})
	}
	return found
}

// named reports whether the chip's value or marking is more than a word for
// not knowing.
func named(p *model.Part) bool {
	name := strings.ToLower(strings.TrimSpace(p.Value + p.Marking))
	return !slices.Contains([]string{"", "?", "unmarked", "unknown", "unnamed", "no name", "none"}, name)
}

func pinOf(p *model.Part, role string) string {
	for _, pin := range p.Pins {
		if pin.Role == role {
			return pin.Number
		}
	}
	return ""
}

// leads is the least number of leads that the chip's case has: its highest pin.
func leads(p *model.Part) int {
	most := len(p.Pins)
	for _, pin := range p.Pins {
		if n, err := strconv.Atoi(pin.Number); err == nil {
			most = max(most, n)
		}
	}
	return most
}

func familiesInWords(families []model.ChipFamily) string {
	const shown = 6
	if len(families) == 0 {
		return "no family in the catalogue has that pair"
	}
	var names []string
	for _, f := range families {
		names = append(names, f.Name)
	}
	text := strings.Join(names[:min(len(names), shown)], "; ")
	if more := len(names) - shown; more > 0 {
		text += fmt.Sprintf("; and %d more", more)
	}
	return "so have " + text + ", and the pair alone does not decide"
}

// supplyResistor finds the resistor that leads to a chip's supply pin from a
// pole of the battery.
func supplyResistor(s *sight) []remark {
	var found []remark
	for _, chip := range s.parts("chip") {
		pin := pinOf(chip, "supply")
		if pin == "" {
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
