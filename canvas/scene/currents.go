package scene

import (
	"math"
	"slices"

	"copperglass/canvas"
	"copperglass/model/quantity"
)

// tellEach asks for a place for the current of each part in a stack.
func (b *builder) tellEach(p *placed) {
	n, amps := p.Multiple(), p.through()
	if n < 2 || p.extent.Empty() || amps < b.flow.visible() {
		return
	}
	text := quantity.Solved(amps/float64(n), quantity.Ampere) + " each"
	q := b.newRequest(Label{Kind: CurrentLabel, Ref: p.Ref, Net: -1, Text: text}, b.currentLoss(amps))
	q.of, q.each = p.index, true
	f := q.single(text, true, b.t.Current, b.scaled(textSize))
	b.wasAmps(f, amps/float64(n), b.pastThrough(p)/float64(n))
	b.seek().beside(p.extent, q.forms, p.otherSide())
	b.ask(q)
}

func (b *builder) currentLoss(amps float64) float64 {
	if amps >= b.flow.largest*loadShare {
		return loadLoss
	}
	return smallLoss + 10*math.Sqrt(amps/b.flow.largest)
}

// tellCurrents asks for a place for the current of each stream, beside one of
// its pieces of wire, or of its parts where it has no wire.
func (b *builder) tellCurrents() {
	for i := range b.flow.streams {
		s := &b.flow.streams[i]
		if s.least < b.flow.visible() {
			continue
		}
		b.askCurrent(i)
	}
}

// strayCost is for telling a stream's current where a branch is still in it:
// for each part of the least current that it is larger by.
const strayCost = 1000.0

// strangerCost is for telling the current of a transistor's control pin
// elsewhere than at that pin.
const strangerCost = 4.0

// backCost is for telling a current where its wire stands back, and not where it
// stands out.
const backCost = 8.0

func (b *builder) askCurrent(i int) {
	s := &b.flow.streams[i]
	q := b.newRequest(Label{Kind: CurrentLabel, Net: -1}, b.currentLoss(s.least))
	q.arrow, q.of = true, i
	switch {
	case len(s.pieces) > 0:
		q.Net = b.pieces[s.pieces[0]].Net
	default:
		q.Ref = b.parts[s.parts[0]].Ref
	}
	k := b.seek()
	b.besideStream(k, q, s, 0)
	for off := leadStep; off <= farthestLead && len(k.spots) < enoughSpots; off += leadStep {
		from := len(k.spots)
		b.besideStream(k, q, s, off)
		k.alone(from, &b.near, func(i int) bool { return !slices.Contains(s.pieces, i) })
	}
	if len(k.spots) == 0 {
		q.arrow = false
		for _, i := range s.parts {
			b.currentForm(q, b.parts[i].through(), b.pastThrough(&b.parts[i]))
			k.beside(b.parts[i].extent, q.forms, b.parts[i].otherSide())
		}
	}
	b.ask(q)
}

// besideStream looks for places for a current along the wires that carry it,
// off further than necessary and then with a line that leads there.
func (b *builder) besideStream(k *seeker, q *request, s *stream, off float64) {
	lit := slices.ContainsFunc(s.pieces, func(i int) bool { return b.lit.pieces[i] })
	for _, i := range s.pieces {
		piece, amps := b.pieces[i], math.Abs(b.flow.amps[i])
		l := line{from: canvas.OnGrid(piece.A), to: canvas.OnGrid(piece.B), piece: i, off: off, clear: chevronHalf + 1.5}
		l.gap = math.Max(b.ribbonHalf(amps)+clearance, chevronHalf) + 4
		l.upright = strayCost * math.Round((amps/s.least-1)*1e6) / 1e6 // rounding errors choose no place
		if !b.control[piece.Net] {
			l.upright += strangerCost
		}
		if lit && b.pieceBack(i) {
			l.upright += backCost
		}
		l.level = l.upright + turnCost
		f := b.currentForm(q, amps, b.pastOfPiece(i))
		k.along(l, &q.forms[f], f)
	}
}

// currentForm returns the place of the form that tells a current, which it
// adds unless it is there.
func (b *builder) currentForm(q *request, amps, before float64) int {
	for i := range q.forms {
		if q.forms[i].amps == amps {
			return i
		}
	}
	text := quantity.Solved(amps, quantity.Ampere)
	for i := range q.forms {
		if q.forms[i].lines[0][0].text == text {
			return i
		}
	}
	f := q.single(text, true, b.t.Current, b.scaled(textSize))
	f.amps = amps
	b.wasAmps(f, amps, before)
	q.Text = q.forms[0].lines[0][0].text
	return len(q.forms) - 1
}

func (b *builder) ribbonHalf(amps float64) float64 {
	if !b.o.Show.Ribbons {
		return 0
	}
	return b.flow.ribbonWidth(amps) / 2
}
