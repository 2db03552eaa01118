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
	b.seek().besidePart(p, q.forms, p.otherSide())
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
		if amps := b.total(s); amps > 0 && quantity.Solved(amps, quantity.Ampere) != quantity.Solved(s.least, quantity.Ampere) {
			b.askTotal(i)
		}
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
	loss := b.currentLoss(s.least)
	if b.total(s) > 0 {
		loss = totalLoss
	}
	q := b.newRequest(Label{Kind: CurrentLabel, Net: -1}, loss)
	q.arrow, q.of, q.Of = true, i, b.carrier(s, false)
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
			k.besidePart(&b.parts[i], q.forms, b.parts[i].otherSide())
		}
	}
	b.ask(q)
}

// carrier names the part that people mean by a stream's current: the load in it,
// or else what is no source; for what the sources give in all a source. It is
// empty where there is none.
func (b *builder) carrier(s *stream, giving bool) string {
	best, at := -1, none
	for _, i := range s.parts {
		rank := 1
		switch k := b.parts[i].LookupKind(); {
		case k == nil || len(b.parts[i].pins) != 2:
			continue
		case k.Load:
			rank = 2
		case b.parts[i].Kind == "battery" || k.Name == "supply" || k.Name == "current_source":
			rank = 0
		}
		if giving && rank > 0 {
			continue
		}
		if rank > best {
			best, at = rank, i
		}
	}
	if at == none {
		return ""
	}
	return b.parts[at].Ref
}

// total returns what the sources in a stream give, 0 where it has none or where
// that is no load's current.
func (b *builder) total(s *stream) float64 {
	amps := 0.0
	for _, i := range s.parts {
		switch b.parts[i].Kind {
		case "battery", "supply", "current_source":
			amps = math.Max(amps, b.parts[i].through())
		}
	}
	if amps < b.flow.largest*loadShare {
		return 0
	}
	return amps
}

// askTotal asks for a place for what a source gives, beside those wires of its
// stream that nothing has left yet.
func (b *builder) askTotal(i int) {
	const rounding = 1e-6
	s := &b.flow.streams[i]
	amps := b.total(s)
	q := b.newRequest(Label{Kind: CurrentLabel, Net: -1}, totalLoss)
	q.arrow, q.of, q.total, q.Of = true, i, true, b.carrier(s, true)
	k := b.seek()
	for off := 0.0; off <= farthestLead && len(k.spots) < enoughSpots; off += leadStep {
		from := len(k.spots)
		for _, i := range s.pieces {
			if math.Abs(math.Abs(b.flow.amps[i])/amps-1) < rounding {
				q.Net = b.pieces[i].Net
				b.besideCarrier(k, q, i, amps, off)
			}
		}
		if off > 0 {
			k.alone(from, &b.near, func(i int) bool { return !slices.Contains(s.pieces, i) })
		}
	}
	if len(q.forms) > 0 {
		b.ask(q)
	}
}

// besideStream looks for places for a current along the wires that carry it,
// off further than necessary and then with a line that leads there.
func (b *builder) besideStream(k *seeker, q *request, s *stream, off float64) {
	lit := slices.ContainsFunc(s.pieces, func(i int) bool { return b.lit.pieces[i] })
	for _, i := range s.pieces {
		from := len(k.spots)
		b.besideCarrier(k, q, i, s.least, off)
		if lit && b.pieceBack(i) {
			for j := range k.spots[from:] {
				k.spots[from+j].cost += backCost
			}
		}
	}
}

// besideCarrier looks for places for the current of one piece of wire, where
// another would rather be told.
func (b *builder) besideCarrier(k *seeker, q *request, i int, told, off float64) {
	piece, amps := b.pieces[i], math.Abs(b.flow.amps[i])
	l := line{from: canvas.OnGrid(piece.A), to: canvas.OnGrid(piece.B), piece: i, off: off, clear: chevronHalf + 1.5}
	l.gap = math.Max(b.ribbonHalf(amps)+clearance, chevronHalf) + 4
	l.upright = strayCost * math.Round((amps/told-1)*1e6) / 1e6 // rounding errors choose no place
	if !b.control[piece.Net] {
		l.upright += strangerCost
	}
	l.level = l.upright + turnCost
	f := b.currentForm(q, amps, b.pastOfPiece(i))
	k.along(l, &q.forms[f], f)
}

// currentForm returns the place of the form that tells a current, which it
// adds unless it is there.
func (b *builder) currentForm(q *request, amps, before float64) int {
	for i := range q.forms {
		if q.forms[i].amps == amps {
			return i
		}
	}
	text := b.ampsText(amps)
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

// ampsText tells a current, as a rule one that the last scene has told as well.
func (b *builder) ampsText(amps float64) string {
	text, known := b.ampsTold[amps]
	if !known {
		text = quantity.Solved(amps, quantity.Ampere)
		b.ampsTold[amps] = text
	}
	return text
}

func (b *builder) ribbonHalf(amps float64) float64 {
	if !b.o.Show.Ribbons {
		return 0
	}
	return b.flow.ribbonWidth(amps) / 2
}
