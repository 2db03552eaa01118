package scene

import (
	"math"

	"copperglass/canvas"
	"copperglass/model/geom"
)

// What makes one place for a label better than another. All are in the units
// of the losses; a place is not worth more than a few of them.
const (
	awayCost   = 0.06  // for each sheet unit that a label is shifted from its best place
	cornerCost = 0.2   // for each sheet unit that it is shifted further than to the end of a part's body
	farCost    = 0.4   // for each sheet unit that it stands off
	turnCost   = 2.0   // for standing on a side that reads less well
	bladeCost  = 3.0   // for standing on a side that a switch's blade swings to: far off when it is closed
	leadCost   = 3.0   // for standing on a side that a lead leaves from
	indirect   = 6.0   // for standing above or below an upright part, or beside a level one
	shyCost    = 8.0   // for standing where a wire or its ribbon may come
	beyondCost = 24.0  // for reaching beyond the page: more than leaving out the second line of a value
	narrowCost = 3.0   // for a value in two lines that goes into one
	cutCost    = 300.0 // for a flag that reaches beyond the page: rather far away than cut
	symbolGap  = 5.0   // from a symbol to its label
)

// side is one of the four sides of a part.
type side int

const (
	right side = iota
	left
	above
	below
)

// sideCosts returns how much a block of text costs on each side of a part.
func (p *placed) sideCosts() [4]float64 { return p.withLeads(p.plainCosts()) }

// plainCosts is sideCosts but for the part's leads.
func (p *placed) plainCosts() [4]float64 {
	costs := [4]float64{right: 0, left: turnCost, above: indirect, below: indirect + turnCost}
	if p.level() {
		costs = [4]float64{right: indirect, left: indirect + turnCost, above: 0, below: turnCost}
	}
	if p.Kind == "switch" {
		costs[sideOf(p.Orient.Apply(geom.Pt(0, -1)))] += bladeCost
	}
	return costs
}

// withLeads makes the sides dearer that the part's leads leave from.
func (p *placed) withLeads(costs [4]float64) [4]float64 {
	for _, pin := range p.pins {
		costs[sideOf(pin.Out)] += leadCost
	}
	return costs
}

func sideOf(out geom.Point) side {
	switch {
	case out.X > 0:
		return right
	case out.X < 0:
		return left
	case out.Y < 0:
		return above
	}
	return below
}

// level reports whether all the part's pins are left and right of it.
func (p *placed) level() bool {
	for _, pin := range p.pins {
		if pin.Out.Y != 0 {
			return false
		}
	}
	return len(p.pins) > 0
}

// seeker gathers the places for one label that are free.
type seeker struct {
	outside func(canvas.Rect) bool // whether a place is free where no chip is
	free    func(canvas.Rect) bool // whether a place is free for this label
	solid   *obstacles             // what no lead may cross
	enough  int                    // free places, for the label not to look further away
	reach   float64                // how far off the label may stand, beyond the least distance
	core    canvas.Rect            // the body that is looked for places beside
	spots   []spot
}

func (k *seeker) try(s spot) {
	if k.free(s.box) && !(s.led && k.solid.hit(s.lead())) {
		k.spots = append(k.spots, s)
	}
}

// besidePart looks for places around a part, best beside its body.
func (k *seeker) besidePart(p *placed, forms []form, costs [4]float64) {
	k.core = p.body
	k.beside(p.extent, forms, costs)
	k.core = everywhere
}

// everywhere is the body of what has none, so that no place is at its corner.
var everywhere = canvas.Rect{Min: canvas.Pt(-1e9, -1e9), Max: canvas.Pt(1e9, 1e9)}

// beside looks for places for forms around a rectangle. A form of one line
// costs more at the sides, one of several above and below.
func (k *seeker) beside(e canvas.Rect, forms []form, costs [4]float64) {
	for off := 0.0; off <= k.reach; off += 8 + off/2 {
		for i := range forms {
			for s := right; s <= below; s++ {
				cost := forms[i].cost + costs[s] + off*farCost
				if level := s >= above; level == (len(forms[i].lines) > 1) {
					cost += turnCost / 2
				}
				k.onSide(e, forms, i, s, off, cost)
			}
		}
		if len(k.spots) >= k.enough {
			return
		}
	}
}

// onSide looks on one side of e, off further than necessary, in the middle and
// moved along the side.
func (k *seeker) onSide(e canvas.Rect, forms []form, i int, s side, off, cost float64) {
	c, f := e.Center(), &forms[i]
	gap := symbolGap + off
	reach, corner := e.Height()/2+f.height/2, k.core.Height()/2
	if s >= above {
		reach, corner = e.Width()/2+f.width/2, k.core.Width()/2
	}
	step := 8.0
	if f.omits != "" {
		step = 16 // a last resort need not be fine
	}
	for n := 0; ; n++ {
		d := step * float64((n+1)/2)
		if d > reach {
			return
		}
		sp := spot{form: i, cost: cost + d*awayCost + max(0, d-corner)*cornerCost}
		if n%2 == 0 {
			d = -d
		}
		switch s {
		case right:
			sp.box, sp.align = boxAt(e.Max.X+gap, c.Y+d-f.height/2, f), canvas.Start
		case left:
			sp.box, sp.align = boxAt(e.Min.X-gap-f.width, c.Y+d-f.height/2, f), canvas.End
		case above:
			sp.box = boxAt(c.X+d-f.width/2, e.Min.Y-gap-f.height, f)
			sp.align = towards(c.X, sp.box)
		case below:
			sp.box = boxAt(c.X+d-f.width/2, e.Max.Y+gap, f)
			sp.align = towards(c.X, sp.box)
		}
		k.try(sp)
	}
}

// towards is how lines stand in a box above or below x: flush on the side that x
// is on, where it is beside the box.
func towards(x float64, box canvas.Rect) canvas.Align {
	switch {
	case x < box.Min.X:
		return canvas.Start
	case x > box.Max.X:
		return canvas.End
	}
	return canvas.Middle
}

func boxAt(x, y float64, f *form) canvas.Rect {
	return canvas.Rect{Min: canvas.Pt(x, y), Max: canvas.Pt(x+f.width, y+f.height)}
}

// within looks for places inside a rectangle, about its middle. One line costs
// more than several.
func (k *seeker) within(e canvas.Rect, forms []form) {
	c, inner := e.Center(), e.Inset(symbolGap)
	for i := range forms {
		f := &forms[i]
		cost := f.cost
		if len(f.lines) == 1 {
			cost += turnCost
		}
		for dy := -45.0; dy <= 45; dy += 3 {
			for dx := -18.0; dx <= 18; dx += 6 {
				box := boxAt(c.X-f.width/2+dx, c.Y-f.height/2+dy, f)
				if inner.Contains(box.Min) && inner.Contains(box.Max) {
					away := (math.Abs(dx) + math.Abs(dy)) * awayCost
					k.try(spot{box: box, form: i, align: canvas.Middle, cost: cost + away})
				}
			}
		}
	}
}

// line is a piece of wire to stand beside.
type line struct {
	from, to       canvas.Point
	piece          int
	gap            float64 // from the wire to a label
	clear          float64 // from the wire to where a lead begins
	off            float64 // how much further off the label is, at the end of a lead
	level, upright float64 // cost of standing above a level wire, or right of an upright one
}

// along looks for places beside a line, at steps from its middle outwards.
// Below and left of it cost more than above and right.
func (k *seeker) along(l line, f *form, i int) {
	const step, end = 10.0, 6.0
	most := 9
	if l.off > 0 {
		most = 29
	}
	d := l.to.Sub(l.from)
	length := math.Hypot(d.X, d.Y)
	if length == 0 {
		return
	}
	for n := range most {
		along := step * float64((n+1)/2)
		if n%2 == 1 {
			along = -along
		}
		if math.Abs(along) > length/2-end {
			return
		}
		t := 0.5 + along/length
		at := canvas.Pt(l.from.X+t*d.X, l.from.Y+t*d.Y)
		s := spot{form: i, cost: math.Abs(along) * awayCost / 2, mark: mark{at: at, piece: l.piece}}
		for turn := range 2 {
			s.cost += turnCost * float64(turn)
			k.try(l.place(s, f, turn == 0))
		}
	}
}

// place puts s beside the line where its mark is, on the better side or the
// other.
func (l *line) place(s spot, f *form, better bool) spot {
	at, d, gap := s.mark.at, l.to.Sub(l.from), l.gap+l.off
	switch level := math.Abs(d.X) >= math.Abs(d.Y); {
	case level && better:
		s.box = boxAt(at.X-f.width/2, at.Y-gap-f.height, f)
	case level:
		s.box = boxAt(at.X-f.width/2, at.Y+gap, f)
	case better:
		s.box = boxAt(at.X+gap, at.Y-f.height/2, f)
	default:
		s.box = boxAt(at.X-gap-f.width, at.Y-f.height/2, f)
	}
	s.align = canvas.Middle // the box is as wide as the text
	if math.Abs(d.X) >= math.Abs(d.Y) {
		s.cost += l.level
	} else {
		s.cost += l.upright
	}
	if s.led = l.off > 0; s.led {
		s.gap = l.clear
		s.cost += leadCost + l.off*farCost
	}
	return s
}

// Leads: a label that finds too few places close by may stand further off, at
// the end of a line that leads there.
const (
	leadStep     = 10.0
	farthestLead = 100.0
	enoughSpots  = 6
	leadWidth    = 1.0
	leadRoom     = 2.0 // from a lead to other labels
)

// lead returns the line that leads to the label from its wire, none where the
// label stands close by.
func (s *spot) lead() canvas.Rect {
	switch {
	case s.tied:
		return s.tieLine()
	case !s.led:
		return canvas.EmptyRect()
	}
	at, r := s.mark.at, s.box
	switch {
	case r.Min.X > at.X:
		r.Min.X, r.Max.X = at.X+s.gap, r.Min.X
	case r.Max.X < at.X:
		r.Min.X, r.Max.X = r.Max.X, at.X-s.gap
	case r.Max.Y < at.Y:
		r.Min.Y, r.Max.Y = r.Max.Y, at.Y-s.gap
	default:
		r.Min.Y, r.Max.Y = at.Y+s.gap, r.Min.Y
	}
	if r.Min.Y < at.Y && at.Y < r.Max.Y {
		r.Min.Y, r.Max.Y = at.Y-leadWidth/2, at.Y+leadWidth/2
	} else {
		r.Min.X, r.Max.X = at.X-leadWidth/2, at.X+leadWidth/2
	}
	return r
}

// roomBeside is what is to be free for the label of what keeps so much free
// itself, left and right.
func (s *spot) roomBeside(side float64) canvas.Rect {
	r := s.box.Inset(-labelGap)
	r.Min.X, r.Max.X = s.box.Min.X-s.side-side, s.box.Max.X+s.side+side
	return r
}

// meets reports whether two labels would be in each other's way.
func (s *spot) meets(t *spot) bool {
	if s.roomBeside(t.side).Overlaps(t.box) {
		return true
	}
	lead, other := s.lead().Inset(-leadRoom), t.lead().Inset(-leadRoom)
	return lead.Overlaps(t.box) || other.Overlaps(s.box) || lead.Overlaps(other)
}
