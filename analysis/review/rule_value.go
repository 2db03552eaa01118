package review

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"copperglass/model"
	"copperglass/model/quantity"
)

// valueRules look at what was read off the board.
func valueRules() []rule {
	return []rule{
		{"off-series", Oddity, "IEC 60063:2015, E24 and E96", offSeries},
		{"marking-contradicts", Oddity, "IEC 60062:2016 and makers' marking tables", markingContradicts},
		{"guess-matters", Oddity, "the influences on the current, by the adjoint of the solved circuit", guessMatters},
		{"capacitor-reversed", Caution, "electrolytic capacitors stand next to no reverse voltage: makers' handling notes (from memory)", capacitorReversed},
	}
}

func seconds(x float64) string { return quantity.Short(x, quantity.Second) }

// offSeries finds values of resistors that no series has: perhaps a misread
// marking.
func offSeries(s *sight) []remark {
	var found []remark
	for _, p := range s.parts("resistor") {
		x := s.values[p.Ref].Num("resistance")
		if x <= linkOhms || p.Doubt == model.Measured {
			continue
		}
		series, nearest := quantity.NamePreferred(x)
		if series != 0 && series <= quantity.E96 {
			continue
		}
		found = append(found, remark{
			parts: []string{p.Ref}, weight: 1, always: true, figures: []Figure{{"value", x}, {"nearest", nearest}},
			text: fmt.Sprintf("%s is said to have %s, a value that is not made; the nearest is %s: read its marking again.", p.Ref, ohms(x), ohms(nearest)),
		})
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

// misread is how far a guessed value may be from the true one, as a fraction.
const misread = 0.5

// guessMatters finds guessed parts whose value moves the current of the main
// load a good deal.
func guessMatters(s *sight) []remark {
	const much = 0.1
	load := s.mainLoad()
	if load == nil {
		return nil
	}
	var found []remark
	var done []string
	for _, i := range s.influences(load).List {
		ref, name, _ := strings.Cut(i.Parameter, ".")
		p := s.d.Part(ref)
		moved := math.Abs(i.Relative) * misread
		if p == nil || p.Doubt != model.Guessed || slices.Contains(done, ref) || !(moved > much) {
			continue
		}
		done = append(done, ref)
		found = append(found, remark{
			parts: []string{ref, load.Ref}, weight: moved, figures: []Figure{{"relative", i.Relative}, {"moved", moved}},
			text: fmt.Sprintf("%s is a guess, and the current of %s hangs on it: if its %s were %s off, that current would be about %s off. Measure %s first.",
				ref, load.Ref, strings.ReplaceAll(name, "_", " "), percent(misread), percent(moved), ref),
		})
	}
	return found
}

// mainLoad is the load that carries the most, or nil.
func (s *sight) mainLoad() *model.Part {
	var main *model.Part
	most := 0.0
	for _, p := range s.loads() {
		if x := math.Abs(s.r.Parts[p.Ref].Pins[0].Amps); x > most {
			main, most = p, x
		}
	}
	return main
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
