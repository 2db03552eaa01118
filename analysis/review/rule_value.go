package review

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"copperglass/model"
	"copperglass/model/quantity"
)

// guessRule is the rule about guesses that matter.
const guessRule = "guess-matters"

// valueRules look at what was read off the board.
func valueRules() []rule {
	return []rule{
		{"off-series", Oddity, "IEC 60063:2015, E24 and E96", offSeries},
		{"marking-contradicts", Oddity, "IEC 60062:2016 and makers' marking tables", markingContradicts},
		{guessRule, Oddity, "the circuit solved again at both ends of the doubt of what it feels the most; how far a guess may be off is common practice, no source", guessMatters},
		{"capacitor-reversed", Caution, "electrolytic capacitors stand next to no reverse voltage: makers' handling notes (from memory)", capacitorReversed},
	}
}

func seconds(x float64) string { return quantity.Short(x, quantity.Second) }

// offSeries finds values that the usual series do not have: perhaps a misread
// marking.
func offSeries(s *sight) []remark {
	var found []remark
	for _, of := range []struct {
		kind, quantity string
		finest         quantity.Series
		unit           quantity.Unit
	}{
		{"resistor", "resistance", quantity.E96, quantity.Ohm},
		{"capacitor", "capacitance", quantity.E24, quantity.Farad},
		{"inductor", "inductance", quantity.E24, quantity.Henry},
	} {
		for _, p := range s.parts(of.kind) {
			x := s.values[p.Ref].Num(of.quantity)
			if s.isLink(p) || p.Doubt == model.Measured || !(x > 0) || of.kind == "resistor" && isShunt(x) {
				continue
			}
			series, nearest := quantity.NamePreferred(x)
			if series != 0 && series <= of.finest {
				continue
			}
			if of.finest == quantity.E24 || series != 0 {
				nearest = quantity.Nearest(of.finest, x)
			}
			found = append(found, remark{
				parts: []string{p.Ref}, weight: 1, always: true, figures: []Figure{{"value", x}, {"nearest", nearest}},
				text: fmt.Sprintf("%s is said to have %s, which is in none of the series up to %s; the nearest is %s: read its marking again.",
					p.Ref, quantity.Short(x, of.unit), of.finest, quantity.Short(nearest, of.unit)),
			})
		}
	}
	return found
}

// isShunt reports whether a resistance in ohms is one of the round values that
// resistors for measuring currents are made in too: of one digit below 1 Ω, and 25 mΩ
// and 250 mΩ. Common practice, no source.
func isShunt(x float64) bool {
	if x >= 1 {
		return false
	}
	scale := math.Pow(10, math.Floor(math.Log10(x)+1e-9))
	digits := x / scale
	return math.Abs(digits-math.Round(digits)) < 1e-6 || math.Abs(digits-2.5) < 1e-6
}

// markingContradicts finds parts whose value is another than what is printed
// on them says.
func markingContradicts(s *sight) []remark {
	var found []remark
	for _, p := range s.d.Parts {
		if strings.TrimSpace(p.Value) == "" && strings.TrimSpace(p.Marking) == "" {
			continue
		}
		switch p.Kind {
		case "npn", "pnp", "nmos", "pmos":
			found = append(found, typeContradicts(p)...)
		case "chip":
			found = append(found, pinsContradict(p)...)
		default:
			found = append(found, valueContradicts(p)...)
		}
	}
	return found
}

func valueContradicts(p *model.Part) []remark {
	k := p.LookupKind()
	if k == nil || k.FromMarking == nil || k.FromValue == nil || p.Value == "" || p.Marking == "" {
		return nil
	}
	said, err := k.FromValue(p.Value)
	printed, err2 := k.FromMarking(p.Marking)
	if err != nil || err2 != nil {
		return nil
	}
	var found []remark
	for _, name := range []string{"resistance", "capacitance", "inductance"} {
		a, isSaid := said[name].Num()
		b, isPrinted := printed[name].Num()
		tolerance, _ := printed["tolerance"].Num()
		if !isSaid || !isPrinted || math.Abs(a-b) <= max(tolerance, 0.2)*math.Abs(b) {
			continue
		}
		unit := k.Param(name).Unit
		found = append(found, remark{
			parts: []string{p.Ref}, weight: 1, always: true, figures: []Figure{{"value", a}, {"marked", b}},
			text: fmt.Sprintf("%s is said to have %s, but its marking %s means %s.", p.Ref, quantity.Short(a, unit), p.Marking, quantity.Short(b, unit)),
		})
	}
	return found
}

// typeContradicts finds a transistor that is said to be of a type whose marking is
// known, and bears that of others only.
func typeContradicts(p *model.Part) []remark {
	printed := model.TypesMarked(p.Marking)
	if printed == nil || !model.HasMarking(p.Value) || slices.ContainsFunc(printed, func(name string) bool { return model.IsSameType(name, p.Value) }) {
		return nil
	}
	return []remark{{
		parts: []string{p.Ref}, weight: 1, always: true,
		source: "makers' lists of marking codes, of which one may mean something else with another maker",
		text:   fmt.Sprintf("%s is called %s, but its marking %s is that of the %s.", p.Ref, p.Value, p.Marking, strings.Join(printed, ", ")),
	}}
}

// pinsContradict finds a chip whose name is that of families with supply and
// ground at other pins.
func pinsContradict(p *model.Part) []remark {
	supply, ground := pinOf(p, "supply"), pinOf(p, "ground")
	families := model.FamiliesNamed(p.Value)
	if supply == "" || ground == "" || len(families) == 0 {
		return nil
	}
	for _, f := range families {
		if f.Leads < leads(p) || f.FedAt(supply, ground) {
			return nil // another case of it, or so it is
		}
	}
	f := families[0]
	return []remark{{
		parts: []string{p.Ref}, weight: 1, always: true, source: familySources(families[:1]),
		text: fmt.Sprintf("%s is called %s, but is fed at pins %s and %s: such chips in %d leads have their supply at pin %s and their ground at pin %s.",
			p.Ref, p.Value, supply, ground, f.Leads, strings.Join(f.SupplyPins(), " or "), strings.Join(f.GroundPins(), " or ")),
	}}
}

// guessMatters finds guessed parts whose value moves a current a good deal.
func guessMatters(s *sight) []remark {
	const much = 0.1
	var found []remark
	for _, g := range s.guesses() {
		if g.Moved <= much {
			continue
		}
		found = append(found, remark{
			parts: []string{g.Part, g.Of}, about: g.Part, weight: g.Moved, figures: []Figure{{"off", g.Off}, {"moved", g.Moved}},
			text: fmt.Sprintf("%s is a guess: %s.", g.Part, g.Words()),
		})
	}
	return found
}

func capacitorReversed(s *sight) []remark {
	const least = 0.1 // V
	var found []remark
	for _, p := range s.parts("capacitor") {
		if s.r.Parts[p.Ref].Pin("+") == nil {
			continue
		}
		reverse := s.volts(p, "-", "+")
		if !(reverse > least) {
			continue
		}
		found = append(found, remark{
			parts: []string{p.Ref}, weight: reverse, figures: []Figure{{"volts", reverse}},
			text: fmt.Sprintf("%s is the wrong way round: its minus pin is %s above its plus pin.", p.Ref, volts(reverse)),
		})
	}
	return found
}
