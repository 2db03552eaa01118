package review

import (
	"fmt"
	"math"
	"slices"

	"copperglass/model"
)

// shortRules look for sources that are shorted by what ought to switch a load.
func shortRules() []rule {
	return []rule{
		{"short-through-switch", Caution, common, shortThroughSwitch},
		{"short-through-transistors", Caution, common, shortThroughTransistors},
	}
}

// shortThroughSwitch finds batteries and supplies whose poles are joined, or
// whose voltage breaks down, over a closed switch that takes most of their
// current.
func shortThroughSwitch(s *sight) []remark {
	var found []remark
	for _, b := range s.parts("battery", "supply") {
		open := s.r.Parts[b.Ref].Figure("open_circuit_voltage")
		under := s.volts(b, "+", "-")
		given := -s.r.Parts[b.Ref].Pin("+").Amps
		// An ideal supply keeps its voltage over the contacts' resistance.
		shorted := s.net(b, "+") == s.net(b, "-") || math.Abs(under) < 0.2*math.Abs(open)
		if !shorted || given < leastLoad {
			continue
		}
		for _, p := range s.parts("switch", "button") {
			first, _ := s.ends(p)
			through := math.Abs(s.r.Parts[p.Ref].Pin(first).Amps)
			if s.values[p.Ref].Text("state") != "closed" || through < given/2 {
				continue
			}
			found = append(found, remark{
				parts: []string{b.Ref, p.Ref}, weight: through, figures: []Figure{{"current", through}, {"volts", under}},
				text: fmt.Sprintf("%s shorts %s when it is closed: %s flow through it%s.", p.Ref, b.Ref, amps(through), leaving(under, open)),
			})
		}
	}
	return found
}

// shortThroughTransistors finds batteries and supplies whose current has a way
// from pole to pole through transistors that are on and nothing that limits it.
func shortThroughTransistors(s *sight) []remark {
	var found []remark
	for _, b := range s.parts("battery", "supply") {
		path := s.wayThrough(b)
		refs, coils := namesOf(path, "npn", "pnp", "nmos", "pmos"), namesOf(path, "inductor")
		if refs == nil {
			continue
		}
		least := leastOf(path, s.mainAmps)
		m := remark{parts: append(slices.Concat(refs, coils), b.Ref), weight: least, figures: []Figure{{"current", least}}}
		m.text = fmt.Sprintf("%s short%s %s: %s flow from pole to pole through %s alone; more drive makes it worse.",
			list(refs), agree(refs, "s", ""), b.Ref, amps(least), agree(refs, "it", "them"))
		if coils != nil {
			m.text = fmt.Sprintf("%s short%s %s as long as %s on: at rest %s holds next to nothing back, and %s flow.",
				list(refs), agree(refs, "s", ""), b.Ref, agree(refs, "it stays", "they stay"), list(coils), amps(least))
		}
		found = append(found, m)
	}
	return found
}

// namesOf are the references of the parts of those kinds.
func namesOf(parts []*model.Part, kinds ...string) []string {
	var refs []string
	for _, p := range parts {
		if slices.Contains(kinds, p.Kind) {
			refs = append(refs, p.Ref)
		}
	}
	slices.SortFunc(refs, model.NaturalCompare)
	return refs
}

// shorting are the transistors that short a battery or a supply.
func (s *sight) shorting() map[string]bool {
	all := map[string]bool{}
	for _, b := range s.parts("battery", "supply") {
		for _, p := range s.wayThrough(b) {
			all[p.Ref] = true
		}
	}
	return all
}

// mainAmps is the size of the current through a part of two pins or the switched
// path of a transistor.
func (s *sight) mainAmps(p *model.Part) float64 {
	if isTransistor(p) {
		_, from, _ := control(p)
		return math.Abs(s.r.Parts[p.Ref].Pin(from).Amps)
	}
	return s.through(p)
}

func isTransistor(p *model.Part) bool {
	return slices.Contains([]string{"npn", "pnp", "nmos", "pmos"}, p.Kind)
}

// leastOf is the least that a figure is among parts.
func leastOf(parts []*model.Part, figure func(*model.Part) float64) float64 {
	least := math.Inf(1)
	for _, p := range parts {
		least = min(least, figure(p))
	}
	return least
}

// wayThrough returns the transistors and coils on a way from pole to pole of a
// battery or supply on which nothing else stands, links aside, and on which each
// carries a good part of what it gives; nil where there is none, or where the coils
// are a load, as that of a relay is.
func (s *sight) wayThrough(b *model.Part) []*model.Part {
	const some = 0.1 // of what the source gives
	least := max(leastLoad, some*math.Abs(s.r.Parts[b.Ref].Pin("+").Amps))
	plus, minus := s.net(b, "+"), s.net(b, "-")
	by := map[int]*model.Part{plus: nil} // the part over which a net was reached
	for todo := []int{plus}; len(todo) > 0; todo = todo[1:] {
		n := todo[0]
		for _, j := range s.at[n] {
			p := j.part
			if p.Kind != "inductor" && !isTransistor(p) || s.mainAmps(p) < least {
				continue
			}
			far, on := s.across(p, n)
			if _, seen := by[far]; on && !seen {
				by[far] = p
				todo = append(todo, far)
			}
		}
	}
	var path []*model.Part
	for n := minus; by[n] != nil; {
		path = append(path, by[n])
		n, _ = s.across(by[n], n)
	}
	if s.loadedByCoils(b, path) {
		return nil
	}
	return path
}

// loadedByCoils reports whether the wire of the coils in the way takes a good part
// of the source's voltage that the transistors leave, so that it limits the current
// however well they are driven.
func (s *sight) loadedByCoils(b *model.Part, path []*model.Part) bool {
	const some, ofAll = 0.2, 0.02
	open := math.Abs(s.r.Parts[b.Ref].Figure("open_circuit_voltage"))
	coils, left := 0.0, open
	for _, p := range path {
		if isTransistor(p) {
			_, from, to := control(p)
			left -= math.Abs(s.volts(p, from, to))
		} else {
			coils += voltsAcross(s, p)
		}
	}
	return coils > some*left && coils > ofAll*open
}

// across returns the net at the other end of a coil or of a transistor's switched
// path; false where the path does not end at n.
func (s *sight) across(p *model.Part, n int) (far int, on bool) {
	var from, to string
	if isTransistor(p) {
		_, from, to = control(p)
	} else {
		from, to = s.ends(p)
	}
	switch a, b := s.net(p, from), s.net(p, to); n {
	case a:
		return b, true
	case b:
		return a, true
	}
	return n, false
}

// leaving says what a short leaves of a voltage, where that breaks down.
func leaving(under, open float64) string {
	if math.Abs(under) > 0.9*math.Abs(open) {
		return ""
	}
	return fmt.Sprintf(" and leave %s of %s", volts(under), volts(open))
}
