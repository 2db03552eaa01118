package review

import (
	"context"
	"math"
	"slices"

	"copperglass/analysis"
	"copperglass/model"
	"copperglass/model/net"
)

// linkOhms is the resistance in ohms up to which a resistor counts as a link. Data
// sheets give 50 mΩ at most for 0 Ω chip resistors (Yageo RC0805, confirmed), and
// the contacts of a switch have about as much.
const linkOhms = 0.1

// sight is one operating point prepared for the rules: what is joined to what, with
// the parts' quantities at hand.
type sight struct {
	ctx     context.Context
	d       *model.Diagram
	r       *analysis.Result
	set     model.Setting // what was set besides the mode
	values  map[string]model.Values
	joined  net.Groups      // nets between which there is next to no resistance
	at      map[int][]joint // the pins on each group of nets
	held    map[int][]joint // those of them that hold the group as a source does
	bases   map[int]bool    // those with the base of a transistor
	kinds   map[string][]*model.Part
	byRef   map[string]*model.Part
	limited map[string]map[string]float64 // shares in limiting the current of a part, once it has been asked for
	isMain  map[*model.Part]bool          // the main loads as a set, once it has been asked for
	again   int                           // how often the drawing was solved again
}

// joint is a part's pin.
type joint struct {
	part *model.Part
	pin  string
}

func newSight(ctx context.Context, d *model.Diagram, r *analysis.Result, set model.Setting) *sight {
	s := &sight{ctx: ctx, d: d, r: r, set: set, values: map[string]model.Values{}, joined: net.NewGroups(len(r.Nets.Nets)),
		at: map[int][]joint{}, held: map[int][]joint{}, bases: map[int]bool{}, kinds: map[string][]*model.Part{}, byRef: map[string]*model.Part{}, limited: map[string]map[string]float64{}}
	for _, p := range d.Parts {
		if r.Parts[p.Ref] == nil {
			continue
		}
		s.values[p.Ref], _ = d.Resolve(p, r.Set)
		s.kinds[p.Kind] = append(s.kinds[p.Kind], p)
		s.byRef[p.Ref] = p
		if pins := r.Parts[p.Ref].Pins; s.isLink(p) {
			s.joined.Join(pins[0].Net, pins[1].Net)
		}
	}
	for _, p := range d.Parts {
		if q := r.Parts[p.Ref]; q != nil {
			s.addPins(p, q)
		}
	}
	return s
}

// addPins lists the pins of a part under the groups of nets that they are on.
func (s *sight) addPins(p *model.Part, q *analysis.PartResult) {
	for _, pin := range q.Pins {
		n := s.joined.Find(pin.Net)
		j := joint{p, pin.Name}
		s.at[n] = append(s.at[n], j)
		if pin.Name == "B" && (p.Kind == "npn" || p.Kind == "pnp") {
			s.bases[n] = true
		}
		if s.stiff(j) {
			s.held[n] = append(s.held[n], j)
		}
	}
}

// isLink reports whether the part joins its two pins.
func (s *sight) isLink(p *model.Part) bool {
	v := s.values[p.Ref]
	switch p.Kind {
	case "resistor":
		return v.Num("resistance") <= linkOhms
	case "switch", "button":
		return v.Text("state") == "closed"
	case "fuse":
		return true
	case "meter":
		return v.Text("measures") == "amps"
	}
	return false
}

// parts returns the parts of these kinds that take part in the circuit, in the
// drawing's order.
func (s *sight) parts(kinds ...string) []*model.Part {
	var all []*model.Part
	for _, p := range s.d.Parts {
		if slices.Contains(kinds, p.Kind) && s.r.Parts[p.Ref] != nil {
			all = append(all, p)
		}
	}
	return all
}

// net returns the group of nets that a pin is on.
func (s *sight) net(p *model.Part, pin string) int {
	return s.joined.Find(s.r.Parts[p.Ref].Pin(pin).Net)
}

// volts is the voltage from one pin of a part to another, NaN where nothing
// determines it.
func (s *sight) volts(p *model.Part, from, to string) float64 {
	q := s.r.Parts[p.Ref]
	return s.r.Volts[q.Pin(from).Net] - s.r.Volts[q.Pin(to).Net]
}

// amps is the current into a pin of one of the parts in a stack.
func (s *sight) amps(p *model.Part, pin string) float64 {
	return s.r.Parts[p.Ref].Pin(pin).Amps / float64(p.Multiple())
}

// watts is what one of the parts in a stack turns into heat.
func (s *sight) watts(p *model.Part) float64 {
	return s.r.Parts[p.Ref].Power / float64(p.Multiple())
}

// ends are the names of a two-pin part's pins.
func (s *sight) ends(p *model.Part) (first, second string) {
	pins := s.r.Parts[p.Ref].Pins
	return pins[0].Name, pins[1].Name
}

// chipPin returns the role and the state of a chip's pin, empty where there is no
// such pin.
func (s *sight) chipPin(p *model.Part, number string) (role, state string) {
	for _, pin := range p.Pins {
		if pin.Number == number {
			return pin.Role, s.values[p.Ref].Text(number)
		}
	}
	return "", ""
}

// control returns the control pin of a transistor and the two ends of its switched
// path, in the direction in which the current flows.
func control(p *model.Part) (pin, from, to string) {
	switch p.Kind {
	case "npn":
		return "B", "C", "E"
	case "pnp":
		return "B", "E", "C"
	case "nmos":
		return "G", "D", "S"
	}
	return "G", "S", "D"
}

// drivers returns the pins that a transistor's control pin is joined to through
// resistors and links alone. The walk goes no further than any other part, and of a
// net that a source holds it returns the source only: a rail joins too many parts.
func (s *sight) drivers(p *model.Part) []joint {
	pin, _, _ := control(p)
	var found []joint
	seen := map[int]bool{}
	var walk func(n int)
	walk = func(n int) {
		if seen[n] || s.ctx.Err() != nil {
			return
		}
		seen[n] = true
		if held := s.held[n]; len(held) > 0 {
			found = append(found, held...)
			return
		}
		for _, j := range s.at[n] {
			switch {
			case j.part == p:
			case j.part.Kind == "resistor":
				a, b := s.ends(j.part)
				walk(s.net(j.part, a))
				walk(s.net(j.part, b))
			default:
				found = append(found, j)
			}
		}
	}
	walk(s.net(p, pin))
	return found
}

// holds reports whether a pin holds its net at a voltage, rather than merely
// hang on it.
func (s *sight) holds(j joint) bool {
	switch j.part.Kind {
	case "capacitor", "meter", "switch", "button", "tag":
		return false
	case "chip":
		role, state := s.chipPin(j.part, j.pin)
		return role == "supply" || role == "ground" || role == "output" && (state == "high" || state == "low") || role == "open_drain" && state == "low"
	case "npn", "pnp", "nmos", "pmos":
		pin, _, _ := control(j.part)
		return j.pin != pin
	}
	return true
}

// stiff reports whether a pin is that of a source of voltage without a
// resistance worth the name: a pole of a cell or a supply, ground, or an
// output of a chip.
func (s *sight) stiff(j joint) bool {
	switch j.part.Kind {
	case "battery", "supply", "ground":
		return true
	case "chip":
		return s.holds(j)
	}
	return false
}

// finite reports whether all figures are known.
func finite(x ...float64) bool {
	for _, v := range x {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return false
		}
	}
	return true
}
