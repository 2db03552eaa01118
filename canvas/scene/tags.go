package scene

import (
	"math"
	"slices"

	"copperglass/canvas"
	"copperglass/model"
	"copperglass/model/geom"
	"copperglass/model/net"
)

// Measures of tags at pins and wires, in sheet units: a flag that points at
// what it names, smaller than the symbol of a tag.
const (
	tagRoom   = 5.0 // from the name to the ends
	tagHigh   = 17.0
	tagTip    = 5.0 // length of the point
	tagStroke = 1.0
	signWide  = 18.0 // of the sign of ground
	signHigh  = 9.0
	tagLead   = wideRibbon/2 + clearance + 0.5 // from what is named to the tag: clear of any ribbon's end
)

// The ways to write a tag: beside what it names, above or below it, and where
// it names ground below it as a sign.
const (
	levelTag = iota
	uprightTag
	signTag
)

// tellTags asks for places for the tags of pins and wires. The symbols of
// ground and of a tag speak for themselves.
func (b *builder) tellTags() {
	for i := range b.parts {
		p := &b.parts[i]
		if p.extent.Empty() {
			continue
		}
		for _, pin := range p.pins {
			if tag := p.Tags[pin.Name]; tag != "" {
				b.askPinTag(p.Ref, pin, tag)
			}
		}
	}
	for i, w := range b.d.Wires {
		if w.Tag != "" {
			b.askWireTag(i, w)
		}
	}
}

func (b *builder) newTag(ref string, of int, tag string) *request {
	q := b.newRequest(Label{Kind: TagLabel, Ref: ref, Net: of, Text: tag}, tagLoss)
	for form := levelTag; form <= uprightTag; form++ {
		f := q.single(tag, false, b.t.Ink, b.scaled(smallText))
		long := canvas.TextWidth(f.lines[0][0].text, f.size, false) + 2*tagRoom
		f.width, f.height = long+tagTip, b.scaled(tagHigh)
		if form == uprightTag {
			f.width, f.height = long, b.scaled(tagHigh)+tagTip
		}
	}
	if tag == net.GroundName {
		f := q.single(tag, false, b.t.Ink, b.scaled(smallText))
		f.width, f.height, f.sign = signWide, signHigh, true
	}
	return q
}

// askPinTag asks for a place around a pin, best straight out of it.
func (b *builder) askPinTag(ref string, pin model.Pin, tag string) {
	q := b.newTag(ref, b.nets.Pin(ref, pin.Name), tag)
	b.seek().around(pin.At, pin.Out, q.forms)
	b.ask(q)
}

// around looks for places for a tag around a point of the sheet: best on the
// side called out, not on that opposite.
func (k *seeker) around(p, out geom.Point, forms []form) {
	const enough, reach = 12, 120.0
	at, best, first := canvas.OnGrid(p), sideOf(out), len(k.spots)
	if best == below && len(forms) > signTag {
		k.straightBelow(at, forms)
	}
	room := canvas.Rect{Min: at, Max: at}.Inset(symbolGap - tagLead)
	for off := 0.0; off <= reach && len(k.spots)-first < enough; off += 8 + off/2 {
		for s := right; s <= below; s++ {
			i, cost := levelTag, off*farCost
			if s >= above {
				i = uprightTag
			}
			if s != best {
				cost += leadCost + turnCost
			}
			if s != opposite(best) {
				k.onSide(room, forms, i, s, off, cost)
			}
		}
	}
	k.tie(first, at)
}

// tie makes the places from one on those of tags at a point of the sheet, and
// leaves those out to which the line would cross a wire, if there are others.
func (k *seeker) tie(first int, at canvas.Point) {
	clear := 0
	for i := first; i < len(k.spots); i++ {
		s := &k.spots[i]
		s.mark.at, s.tied = at, true
		if !k.solid.meets(s.lead(), ofWire) {
			clear++
		}
	}
	if clear > 0 {
		tied := slices.DeleteFunc(k.spots[first:], func(s spot) bool { return k.solid.meets(s.lead(), ofWire) })
		k.spots = k.spots[:first+len(tied)]
	}
}

// tieFrom is where the line to a tag begins to be in the way of others: clear of
// what it leads from.
const tieFrom = 4.0

// tieLine returns the room of the line to a tag, none where that is close by.
func (s *spot) tieLine() canvas.Rect {
	from, to := s.mark.at, s.tip()
	if distance(from, to) <= tieFrom {
		return canvas.EmptyRect()
	}
	return canvas.EmptyRect().Include(toward(from, to, tieFrom)).Include(to).Inset(-leadWidth / 2)
}

func opposite(s side) side { return s ^ 1 }

// straightBelow looks for a place for the sign of ground.
func (k *seeker) straightBelow(at canvas.Point, forms []form) {
	f := &forms[signTag]
	k.try(spot{box: boxAt(at.X-f.width/2, at.Y+tagLead, f), form: signTag, cost: -1})
}

// askWireTag asks for a place at an open end of the wire, or along it.
func (b *builder) askWireTag(i int, w *model.Wire) {
	q := b.newTag("", b.nets.Wire(i), w.Tag)
	k := b.seek()
	n := len(w.Points)
	for _, end := range [2][2]geom.Point{{w.Points[0], w.Points[1]}, {w.Points[n-1], w.Points[n-2]}} {
		if b.isOpen(end[0], q.Net) {
			k.around(end[0], end[0].Sub(end[1]), q.forms)
		}
	}
	open := len(k.spots)
	for j, s := range b.pieces {
		if s.Wire == i {
			k.tagAlong(line{from: canvas.OnGrid(s.A), to: canvas.OnGrid(s.B), piece: j}, q.forms)
		}
	}
	for j := open; open > 0 && j < len(k.spots); j++ {
		k.spots[j].cost += leadCost + turnCost
	}
	b.ask(q)
}

// isOpen reports whether but one piece of a net's wire meets nothing else at p.
func (b *builder) isOpen(p geom.Point, of int) bool {
	j := b.jointAt(p, of)
	return j.Pieces == 1 && j.Pins == 0
}

// tagAlong looks for places for a tag beside a piece of wire: close to it, or
// clear of a wide ribbon.
func (k *seeker) tagAlong(l line, forms []form) {
	i := levelTag
	if d := l.to.Sub(l.from); math.Abs(d.X) >= math.Abs(d.Y) {
		i = uprightTag
	}
	for _, gap := range [...]float64{7, tagLead} {
		l.gap = gap
		k.along(l, &forms[i], i)
		l.level, l.upright = turnCost, turnCost
	}
}

// tip returns the end of a tag's point, which is towards what it names.
func (s *spot) tip() canvas.Point {
	c := s.box.Center()
	switch {
	case s.form == levelTag && s.mark.at.X < c.X:
		return canvas.Pt(s.box.Min.X, c.Y)
	case s.form == levelTag:
		return canvas.Pt(s.box.Max.X, c.Y)
	case s.mark.at.Y < c.Y:
		return canvas.Pt(c.X, s.box.Min.Y)
	}
	return canvas.Pt(c.X, s.box.Max.Y)
}

// tagBody returns where a tag's name stands: its box without the point.
func (s *spot) tagBody() canvas.Rect {
	r := s.box
	switch tip := s.tip(); {
	case tip.X == r.Min.X:
		r.Min.X += tagTip
	case tip.X == r.Max.X:
		r.Max.X -= tagTip
	case tip.Y == r.Min.Y:
		r.Min.Y += tagTip
	default:
		r.Max.Y -= tagTip
	}
	return r
}

// tagGround draws a tag without its name: a fine line from what it names, and
// the outline of the flag or the sign of ground.
func (b *builder) tagGround(s *spot, sign bool) {
	tip := s.tip()
	lead := b.path(canvas.Style{Stroke: b.t.Quiet, Width: tagStroke, Round: true})
	lead.MoveTo(s.mark.at.X, s.mark.at.Y).LineTo(tip.X, tip.Y)
	b.add(lead)
	if !sign {
		b.tagOutline(s)
		return
	}
	lead.Style = canvas.Style{Stroke: b.t.Ink, Width: 1.4}
	for i, half := range [...]float64{signWide/2 - 1, 5, 2} {
		y := tip.Y + (signHigh-1)/2*float64(i)
		lead.MoveTo(tip.X-half, y).LineTo(tip.X+half, y)
	}
}

func (b *builder) tagOutline(s *spot) {
	p := b.path(canvas.Style{Fill: b.t.Body, Stroke: b.t.Quiet, Width: tagStroke})
	r, tip := s.tagBody(), s.tip()
	corners := [4]canvas.Point{r.Min, {X: r.Max.X, Y: r.Min.Y}, r.Max, {X: r.Min.X, Y: r.Max.Y}}
	after := 3 // the corner after which the point comes, clockwise
	switch {
	case tip.Y < r.Min.Y:
		after = 0
	case tip.X > r.Max.X:
		after = 1
	case tip.Y > r.Max.Y:
		after = 2
	}
	p.MoveTo(tip.X, tip.Y)
	for i := range corners {
		c := corners[(after+1+i)%4]
		p.LineTo(c.X, c.Y)
	}
	b.add(p.Close())
}

// netTag is where a tag of a net stands.
type netTag struct {
	net int
	at  canvas.Rect
}

// findTags notes where the tags of the nets stand: labels at pins and wires,
// and symbols of tags.
func (b *builder) findTags() {
	b.tags = b.tags[:0]
	for _, q := range b.labels {
		if q.Kind == TagLabel && q.at != nowhere {
			b.tags = append(b.tags, netTag{q.Net, q.spots[q.at].box.Inset(symbolGap - labelGap)})
		}
	}
	for i := range b.parts {
		if p := &b.parts[i]; p.Kind == "tag" && !p.extent.Empty() {
			b.tags = append(b.tags, netTag{b.nets.Pin(p.Ref, p.pins[0].Name), p.extent})
		}
	}
}
