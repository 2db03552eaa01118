package review

import (
	"fmt"
	"math"
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
		{guessRule, Oddity, "influence times doubt: the influences by the adjoint of the solved circuit; how far a guess may be off is common practice, no source", guessMatters},
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
			if s.isLink(p) || p.Doubt == model.Measured || !(x > 0) {
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

// markingContradicts finds parts whose value is another than what is printed
// on them says.
func markingContradicts(s *sight) []remark {
	var found []remark
	for _, p := range s.d.Parts {
		k := p.LookupKind()
		if k == nil || k.FromMarking == nil || k.FromValue == nil || strings.TrimSpace(p.Value) == "" || strings.TrimSpace(p.Marking) == "" {
			continue
		}
		said, err := k.FromValue(p.Value)
		printed, err2 := k.FromMarking(p.Marking)
		if err != nil || err2 != nil {
			continue
		}
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
	}
	return found
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
