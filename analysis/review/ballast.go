package review

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"copperglass/model"
	"copperglass/model/net"
)

// linkForResistor finds links in series with an LED whose current no resistor
// limits: a link fitted where a resistor would be expected.
func linkForResistor(s *sight) []remark {
	var found []remark
	for _, p := range s.parts("resistor") {
		load := s.inPlaceOfBallast(p)
		if load == nil {
			continue
		}
		through := s.through(p)
		found = append(found, remark{
			parts: []string{p.Ref, load.Ref}, weight: through,
			text:    fmt.Sprintf("%s is a link in the place of a resistor: nothing limits the %s but %s.", p.Ref, s.shareOfLink(p, load), s.limitsInWords(s.limiting(load))),
			figures: []Figure{{"current", through}},
		})
	}
	return found
}

// shareOfLink says what flows through a link and how much of that through a load.
func (s *sight) shareOfLink(link, load *model.Part) string {
	all, one := s.through(link), s.through(load)
	if s.alike(all, one) {
		return fmt.Sprintf("%s through %s", amps(one), load.Ref)
	}
	return fmt.Sprintf("%s through it, %s of them through %s,", amps(all), amps(one), load.Ref)
}

// alike reports whether two currents would read the same in a sentence, to three
// digits.
func (s *sight) alike(a, b float64) bool { return math.Abs(a-b) <= 0.002*max(a, b) }

// withoutResistor finds LEDs whose current is limited by no resistor, nor by
// anything else meant to limit it. Those with a link in the place of a resistor are
// left to linkForResistor.
func withoutResistor(s *sight) []remark {
	const mostly = 0.5
	replaced := map[string]bool{}
	for _, p := range s.parts("resistor") {
		if load := s.inPlaceOfBallast(p); load != nil {
			replaced[load.Ref] = true
		}
	}
	var found []remark
	for _, g := range s.groups() {
		first := g.led()
		if !s.mayAsk(first) || s.ballasted(first) || g.has(replaced) {
			continue
		}
		by := s.limiting(first)
		if setElsewhere(by) > mostly || by["battery"].share > mostly { // the latter is told of the cells
			continue
		}
		small := namesOf(s.inTheWay(first), "resistor", "potentiometer")
		found = append(found, remark{
			parts: slices.Concat(g.leds(), small), about: strings.Join(g.leds(), " "), weight: g.amps,
			text: fmt.Sprintf("Nothing limits the %s through %s but %s: %s.",
				amps(g.amps), list(g.leds()), s.limitsInWords(by), tooSmall(small)),
			figures: []Figure{{"current", g.amps}},
		})
	}
	return found
}

// tooSmall says that no resistor limits a current, or only such as do not matter.
func tooSmall(refs []string) string {
	if len(refs) == 0 {
		return "no resistor stands in their way"
	}
	return fmt.Sprintf("%s %s too small to matter", list(refs), agree(refs, "is", "are"))
}

// mayAsk reports whether what limits the current of a load is known or may be worked
// out: see mainLoads.
func (s *sight) mayAsk(load *model.Part) bool {
	if _, known := s.limited[load.Ref]; known {
		return true
	}
	if s.isMain == nil {
		s.isMain = map[*model.Part]bool{}
		for _, p := range s.mainLoads() {
			s.isMain[p] = true
		}
	}
	return s.isMain[load]
}

// inPlaceOfBallast returns the LED that a link is in series with and whose current
// no resistor limits, or nil.
func (s *sight) inPlaceOfBallast(link *model.Part) *model.Part {
	if !s.isLink(link) || s.through(link) < leastLoad {
		return nil
	}
	load := s.ledInSeries(link)
	if load == nil || s.ballasted(load) {
		return nil
	}
	return load
}

// ballasted reports whether a resistor stands in the way of an LED's current, or
// a source of current sets it. Whether a resistor counts depends on what flows
// through it, not on how much the cells drop at the moment: it has to carry half
// of the LED's current at least, and have some part in limiting it.
func (s *sight) ballasted(led *model.Part) bool {
	const some, mostly = 0.05, 0.5
	resistors, sources := 0.0, 0.0
	shares := s.sharesOf(led)
	for _, p := range s.inTheWay(led) {
		if p.Kind == "current_source" {
			sources += shares[p.Ref]
		} else {
			resistors += shares[p.Ref]
		}
	}
	return resistors > some || sources > mostly
}

// inTheWay returns the resistors, potentiometers and sources of current that have
// a part in limiting the current of an LED and carry half of it at least.
func (s *sight) inTheWay(led *model.Part) []*model.Part {
	var all []*model.Part
	shares := s.sharesOf(led)
	for _, p := range s.parts("resistor", "potentiometer", "current_source") {
		if shares[p.Ref] > 0 && !s.isLink(p) && (p.Kind == "current_source" || s.most(p) >= s.through(led)/2) {
			all = append(all, p)
		}
	}
	return all
}

// most is the size of the heaviest current at any pin of a part.
func (s *sight) most(p *model.Part) float64 {
	most := 0.0
	for _, pin := range s.r.Parts[p.Ref].Pins {
		most = max(most, math.Abs(pin.Amps))
	}
	return most
}

// through is the size of the current through a part of two pins, of a stack the
// whole.
func (s *sight) through(p *model.Part) float64 { return math.Abs(s.r.Parts[p.Ref].Pins[0].Amps) }

// ledInSeries returns the LED that a link feeds, or nil: one at either end of it,
// other links counted as wire, that carries at most twice the link's current. Of
// several it is the one whose current is nearest to the link's, and of those alike
// in that, one joined to the link itself.
func (s *sight) ledInSeries(link *model.Part) *model.Part {
	ends := s.r.Parts[link.Ref].Pins
	near := s.joined.Find(ends[0].Net)
	if !slices.ContainsFunc(s.at[near], func(j joint) bool { return j.part.Kind == "led" && s.mayAsk(j.part) }) {
		return nil
	}
	joined := s.joinedWithout(link)
	at := func(n int) bool {
		return joined.Find(n) == joined.Find(ends[0].Net) || joined.Find(n) == joined.Find(ends[1].Net)
	}
	var best *model.Part
	var rank [2]float64
	for _, p := range s.kinds["led"] {
		pins := s.r.Parts[p.Ref].Pins
		all, one := s.through(link), s.through(p)
		if one < leastLoad || one > 2*all || !s.mayAsk(p) || !at(pins[0].Net) && !at(pins[1].Net) {
			continue
		}
		apart := [2]float64{math.Abs(all - one), 1}
		if s.alike(all, one) {
			apart[0] = 0
		}
		for _, pin := range pins {
			if pin.Net == ends[0].Net || pin.Net == ends[1].Net {
				apart[1] = 0
			}
		}
		if best == nil || apart[0] < rank[0] || apart[0] == rank[0] && apart[1] < rank[1] {
			best, rank = p, apart
		}
	}
	return best
}

// joinedWithout groups the nets that links join, as if one link were left out.
func (s *sight) joinedWithout(link *model.Part) net.Groups {
	joined := net.NewGroups(len(s.r.Nets.Nets))
	for _, p := range s.d.Parts {
		if q := s.r.Parts[p.Ref]; q != nil && p != link && s.isLink(p) {
			joined.Join(q.Pins[0].Net, q.Pins[1].Net)
		}
	}
	return joined
}

// inWords names parts in series: "D1–D2".
func inWords(row []*model.Part) string {
	var refs []string
	for _, p := range row {
		refs = append(refs, p.Ref)
	}
	return strings.Join(refs, "–")
}
