package net

import (
	"cmp"
	"slices"

	"copperglass/model"
	"copperglass/model/geom"
)

// Underlain is a part with two pins that point away from each other and are
// joined by wires along the straight line between them: through the part, where
// nobody sees it.
type Underlain struct {
	Part  int       // place in the diagram's list of parts
	Pins  [2]string // the first of such a pair, in the order of the kind
	Wires []int     // places in the list of wires, in order
}

// Underlain returns those parts of the diagram that the nets are of, in order.
func (n *Netlist) Underlain(d *model.Diagram) []Underlain {
	var found []Underlain
	for i, p := range d.Parts {
		if !p.Placed || !anyTwice(n.parts[i]) {
			continue
		}
		if u, ok := n.underlain(d, i); ok {
			found = append(found, u)
		}
	}
	return found
}

func anyTwice(nets []int) bool {
	for i, m := range nets {
		if slices.Contains(nets[:i], m) {
			return true
		}
	}
	return false
}

func (n *Netlist) underlain(d *model.Diagram, part int) (Underlain, bool) {
	nets := n.parts[part]
	pins := d.Parts[part].PlacedPins()
	for i, a := range pins {
		for j, b := range pins[:i] {
			if nets[i] != nets[j] || !lookAway(a, b) {
				continue
			}
			if wires := n.between(d, nets[i], a.At, b.At); wires != nil {
				return Underlain{part, [2]string{b.Name, a.Name}, wires}, true
			}
		}
	}
	return Underlain{}, false
}

// lookAway reports whether two pins stand in line and point away from each other.
func lookAway(a, b model.Pin) bool {
	by := a.At.Sub(b.At)
	inLine := (by.X == 0) != (by.Y == 0)
	return inLine && a.Out == unit(by) && b.Out == unit(geom.Point{}.Sub(by))
}

// unit is the step of one along a level or an upright way.
func unit(by geom.Point) geom.Point {
	return geom.Pt(cmp.Compare(by.X, 0), cmp.Compare(by.Y, 0))
}

// between returns the wires of a net that together cover the way from a to b,
// which is level or upright, or nil where they do not.
func (n *Netlist) between(d *model.Diagram, net int, a, b geom.Point) []int {
	step := unit(b.Sub(a))
	var wires []int
	for p := a; p != b; p = p.Add(step) {
		i := slices.IndexFunc(n.Wires(net), func(w int) bool { return runs(d.Wires[w], p, p.Add(step)) })
		if i < 0 {
			return nil
		}
		wires = append(wires, n.Wires(net)[i])
	}
	slices.Sort(wires)
	return slices.Compact(wires)
}

// runs reports whether one straight piece of the wire holds both places.
func runs(w *model.Wire, p, q geom.Point) bool {
	for i := 1; i < len(w.Points); i++ {
		if p.OnSegment(w.Points[i-1], w.Points[i]) && q.OnSegment(w.Points[i-1], w.Points[i]) {
			return true
		}
	}
	return false
}
