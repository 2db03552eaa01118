package review

import (
	"cmp"
	"context"
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"

	"copperglass/analysis"
	"copperglass/model"
)

// limiter is what limits a load's current in one way, with its share.
type limiter struct {
	share float64
	refs  []string // those with a share worth a word
}

// worthAWord is the share in limiting a current from which on a part is named.
const worthAWord = 0.02

// sharesOf returns the parts' shares in limiting the current of a load, by reference:
// see analysis.Limits. They are worked out for all main loads at once.
func (s *sight) sharesOf(p *model.Part) map[string]float64 {
	if known, ok := s.limited[p.Ref]; ok {
		return known
	}
	all := s.mainLoads()
	if !slices.Contains(all, p) {
		all = []*model.Part{p}
	}
	names := make([]string, len(all))
	for i, q := range all {
		first, _ := s.ends(q)
		names[i] = q.Ref + "." + first + ".amps"
	}
	for i, shares := range analysis.Limits(s.d, s.r, names) {
		s.limited[all[i].Ref] = shares
	}
	return s.limited[p.Ref]
}

// limiting tells how the parts share in limiting a load's current, by the way in
// which they do. What lies beside the way of the current and takes some of it off
// does not count.
func (s *sight) limiting(p *model.Part) map[string]limiter {
	byPart := s.sharesOf(p)
	by := map[string]limiter{}
	for _, q := range s.d.Parts { // in their order, so that sums round alike each time
		share, limits := byPart[q.Ref]
		if !limits {
			continue
		}
		way := s.limitsAs(q, p)
		l := by[way]
		if l.share += share; share > worthAWord {
			l.refs = append(l.refs, q.Ref)
		}
		by[way] = l
	}
	maps.DeleteFunc(by, func(_ string, l limiter) bool { return !(l.share > 0) })
	sum := 0.0
	for _, l := range by {
		sum += l.share
	}
	for way, l := range by {
		slices.SortFunc(l.refs, model.NaturalCompare)
		by[way] = limiter{l.share / sum, l.refs}
	}
	return by
}

// The ways in which parts limit a current, where it is not just as their kind.
const (
	byBase = "base resistor" // which carries little of a current, and yet sets it
	byGate = "gate"
)

// limitsAs tells as what a part limits a load's current.
func (s *sight) limitsAs(p, load *model.Part) string {
	switch p.Kind {
	case "resistor":
		if s.through(p) < s.through(load)/2 && s.atABase(p) {
			return byBase
		}
	case "nmos", "pmos":
		if s.r.Parts[p.Ref].State == analysis.Active {
			return byGate
		}
	}
	return p.Kind
}

// atABase reports whether a resistor ends at the base of a transistor.
func (s *sight) atABase(p *model.Part) bool {
	for _, pin := range s.r.Parts[p.Ref].Pins {
		if s.bases[s.joined.Find(pin.Net)] {
			return true
		}
	}
	return false
}

// setElsewhere is how much of what limits an LED's current is neither the LED
// itself nor the source it is fed from, but something that might be there to set it.
func setElsewhere(by map[string]limiter) float64 {
	sum := 0.0
	for _, way := range []string{"resistor", "potentiometer", "current_source", "chip", "npn", "pnp", "lamp", "motor", byBase, byGate} {
		sum += by[way].share
	}
	return sum
}

// limitsInWords names what limits a current, with the shares, and how much is
// left to all others.
func (s *sight) limitsInWords(by map[string]limiter) string {
	var words []string
	rest := 100
	ways := slices.SortedFunc(maps.Keys(by), func(a, b string) int {
		return cmp.Or(cmp.Compare(by[b].share, by[a].share), cmp.Compare(a, b))
	})
	for _, way := range ways {
		if l := by[way]; l.share > worthAWord {
			words = append(words, fmt.Sprintf("%s (%s)", s.limiterInWords(way, l.refs), percent(l.share)))
			rest -= int(math.Round(100 * l.share))
		}
	}
	switch {
	case len(words) == 0:
		return "the supply's voltage"
	case rest > 0:
		words = append(words, fmt.Sprintf("others (%d %%)", rest))
	}
	return list(words)
}

func (s *sight) limiterInWords(way string, refs []string) string {
	switch way {
	case "battery":
		return "the cells of " + s.withCharge(refs)
	case "led":
		if p := s.byRef[refs[0]]; len(refs) == 1 && p != nil && p.Multiple() == 1 {
			return "the LED's own resistance"
		}
		return "the LEDs' own resistance"
	case "lamp", "motor":
		return "the resistance of " + list(refs)
	case "current_source":
		return "the source of current " + list(refs)
	case byBase:
		return "the base current through " + list(refs)
	case byGate:
		return list(refs) + " by the voltage at its gate"
	}
	return list(refs)
}

// withCharge names batteries, and how much of their charge is left where they
// are not new.
func (s *sight) withCharge(refs []string) string {
	if len(refs) == 1 {
		if left := s.values[refs[0]].Num("charge_left"); left < 1 {
			return fmt.Sprintf("%s, %s left", refs[0], percent(left))
		}
	}
	return list(refs)
}

// Limiting says what limits the current of a part, in the words of the
// findings: "the cells of BT1 (17 %), the LEDs' own resistance (61 %) and others
// (22 %)". It takes the influences on that current.
func Limiting(ctx context.Context, d *model.Diagram, all *analysis.Influences, ref string) string {
	s := newSight(ctx, d, all.Result, all.Result.Set)
	_, what, _ := strings.Cut(all.Of, ".") // of one part of a stack as of the whole
	s.limited[ref] = analysis.Limits(d, all.Result, []string{ref + "." + what})[0]
	return s.limitsInWords(s.limiting(d.Part(ref)))
}

// Links are the links, resistors of next to nothing, that carry the whole
// current of an LED which no resistor limits.
func Links(ctx context.Context, d *model.Diagram, all *analysis.Influences, ref string) []string {
	s := newSight(ctx, d, all.Result, all.Result.Set)
	var refs []string
	for _, p := range s.parts("resistor") {
		if load := s.inPlaceOfBallast(p); load != nil && load.Ref == ref {
			refs = append(refs, p.Ref)
		}
	}
	return refs
}
