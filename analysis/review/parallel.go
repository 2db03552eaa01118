package review

import (
	"fmt"
	"math"
	"slices"

	"copperglass/analysis"
	"copperglass/model"
)

// bin is how far in volts the forward voltage of an LED may lie below the usual: half
// of a maker's bin of 0.2 V (from memory).
const bin = 0.1

// lights are LEDs, or strings of LEDs and plain diodes in series, in parallel with
// one another.
type lights struct {
	strings [][]*model.Part // each from anode to cathode
	count   int             // of strings; a stack counts as what is in it
	amps    float64         // through all of them
}

func (g lights) refs() []string {
	var refs []string
	for _, one := range g.strings {
		for _, p := range one {
			refs = append(refs, p.Ref)
		}
	}
	return refs
}

// leds are the references of the LEDs alone.
func (g lights) leds() []string { return namesOf(slices.Concat(g.strings...), "led") }

// led is the first LED of the first string.
func (g lights) led() *model.Part { return firstLED(g.strings[0]) }

// firstLED is the first LED in a string, nil where it has none.
func firstLED(one []*model.Part) *model.Part {
	if i := slices.IndexFunc(one, func(p *model.Part) bool { return p.Kind == "led" }); i >= 0 {
		return one[i]
	}
	return nil
}

func (g lights) has(refs map[string]bool) bool {
	return slices.ContainsFunc(g.refs(), func(ref string) bool { return refs[ref] })
}

// groups returns the LEDs that are lit, those in parallel together.
func (s *sight) groups() []lights {
	at := map[[2]int]int{}
	var all []lights
	for _, one := range s.ledStrings() {
		last := one[len(one)-1]
		ends := [2]int{s.net(one[0], "A"), s.net(last, "K")}
		if _, known := at[ends]; !known {
			at[ends] = len(all)
			all = append(all, lights{})
		}
		g := &all[at[ends]]
		g.strings = append(g.strings, one)
		g.count += one[0].Multiple()
		g.amps += s.r.Parts[one[0].Ref].Pin("A").Amps
	}
	return slices.DeleteFunc(all, func(g lights) bool { return g.amps < leastLoad && g.amps < float64(g.count)*1e-4 })
}

// ledStrings returns the strings of LEDs in series with nothing but plain diodes
// between and beside them. A single LED is a string of one, and so is a stack.
func (s *sight) ledStrings() [][]*model.Part {
	next := map[*model.Part]*model.Part{}
	inner := map[*model.Part]bool{}
	for _, p := range s.parts("led", "diode") {
		if q := s.nextInString(p); q != nil {
			next[p], inner[q] = q, true
		}
	}
	var all [][]*model.Part
	for _, p := range s.parts("led", "diode") {
		if inner[p] {
			continue
		}
		var one []*model.Part
		for ; p != nil; p = next[p] {
			one = append(one, p)
		}
		if firstLED(one) != nil {
			all = append(all, one)
		}
	}
	return all
}

// nextInString returns the LED or diode whose anode is all that the cathode of p is
// joined to, or nil.
func (s *sight) nextInString(p *model.Part) *model.Part {
	var next *model.Part
	for _, j := range s.at[s.net(p, "K")] {
		switch {
		case j.part == p && j.pin == "K", s.isLink(j.part):
		case next == nil && (j.part.Kind == "led" || j.part.Kind == "diode") && j.pin == "A" && j.part != p && j.part.Multiple() == 1 && p.Multiple() == 1:
			next = j.part
		default:
			return nil
		}
	}
	return next
}

// withoutBallast finds LEDs that share one voltage: stacks, and several, or
// several rows of them, joined at both ends.
func withoutBallast(s *sight) []remark {
	var found []remark
	for _, g := range s.groups() {
		if g.count > 1 {
			found = append(found, s.sharesInWords(g))
		}
	}
	return found
}

func (s *sight) sharesInWords(g lights) remark {
	each := g.amps / float64(g.count)
	what, own := "LEDs", "their own"
	switch {
	case len(g.leds()) < len(g.refs()):
		what = "rows of LEDs and diodes"
	case slices.ContainsFunc(g.strings, func(one []*model.Part) bool { return len(one) > 1 }):
		what = "rows of LEDs"
	}
	m := remark{parts: g.refs(), weight: g.amps, figures: []Figure{{"each", each}, {"count", float64(g.count)}}}
	m.text = fmt.Sprintf("%s: %d %s share %s without a resistor of %s", list(m.parts), g.count, what, amps(g.amps), own)
	if most, least := s.extremes(g); s.ofOne(most) > 2*s.ofOne(least) {
		m.text += fmt.Sprintf(", and not alike: %s, which needs the least voltage, takes %s of it, %s %s.",
			inWords(most), s.partOf(s.ofOne(most), g.amps), inWords(least), amps(s.ofOne(least)))
		m.figures = append(m.figures, Figure{"most", s.ofOne(most)})
		return m
	}
	m.text += fmt.Sprintf(", %s each if they are alike", amps(each))
	if one, all, ok := s.withOneLower(g); ok {
		m.text += fmt.Sprintf("; one with %s less of forward voltage would take %s, %s of what flows then", volts(bin), amps(one), percent(one/all))
		m.figures = append(m.figures, Figure{"most", one}, Figure{"of", all})
	}
	m.text += "."
	return m
}

// partOf writes a current and what part of the whole it is.
func (s *sight) partOf(one, all float64) string {
	if one > 0.99*all {
		return "nearly all"
	}
	return fmt.Sprintf("%s (%s)", amps(one), percent(one/all))
}

// ofOne is the current of one string, of a stack that of one of its LEDs.
func (s *sight) ofOne(one []*model.Part) float64 { return s.amps(one[0], "A") }

// extremes are the strings that carry the most and the least.
func (s *sight) extremes(g lights) (most, least []*model.Part) {
	most, least = g.strings[0], g.strings[0]
	for _, one := range g.strings {
		if s.ofOne(one) > s.ofOne(most) {
			most = one
		}
		if s.ofOne(one) < s.ofOne(least) {
			least = one
		}
	}
	return most, least
}

// resolved bounds the work of solving a drawing again for the sake of a sentence:
// the number of its parts times the number of solutions.
const resolved = 4_000

// mayResolve reports whether the drawing may be solved once more, and counts it.
func (s *sight) mayResolve() bool {
	s.again++
	return s.again*len(s.d.Parts) <= resolved
}

// mayResolveOften reports whether the drawing is small enough to be solved some
// hundred times.
func (s *sight) mayResolveOften() bool {
	const times = 100
	return times*len(s.d.Parts) <= resolved
}

// withOneLower solves the circuit with the forward voltage of one LED lowered by
// bin, and returns in amperes the current of that LED and of all in parallel with it.
func (s *sight) withOneLower(g lights) (one, all float64, ok bool) {
	p := g.led()
	if !s.mayResolve() {
		return 0, 0, false
	}
	d, lower := s.d, p.Ref
	set := s.r.Set.With(nil)
	if p.Multiple() > 1 {
		d, lower = oneApart(s.d, p)
		for name, v := range s.r.Set[p.Ref] {
			set.Set(lower, name, v)
		}
	}
	v := s.values[p.Ref]
	scale := v.Num("emission_coefficient") * model.ThermalVoltage(v.Num("temperature"))
	set.Set(lower, "saturation_current", model.Number(v.Num("saturation_current")*math.Exp(bin/scale)))
	r, err := analysis.Solve(s.ctx, d, analysis.Options{Mode: s.r.Mode, Set: set, Start: s.r})
	if err != nil || !r.Solved {
		return 0, 0, false
	}
	one = r.Parts[lower].Pin("A").Amps
	if p.Multiple() > 1 {
		all = one
	}
	for _, row := range g.strings {
		all += r.Parts[row[0].Ref].Pin("A").Amps
	}
	return one, all, finite(one, all)
}

// oneApart returns the drawing with one part of a stack taken out as a part of its
// own, joined as the stack is, and the reference of that part.
func oneApart(d *model.Diagram, p *model.Part) (*model.Diagram, string) {
	out, one, rest := *d, p.Clone(), p.Clone()
	one.Count, one.Ref = 1, p.Ref+"#1"
	rest.Count = p.Multiple() - 1
	out.Parts = append(slices.Clone(d.Parts), one)
	out.Parts[slices.Index(d.Parts, p)] = rest
	return &out, one.Ref
}
