package scene

import (
	"math"

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
	q := &request{loss: b.currentLoss(amps), forms: []form{b.currentForm(text)}}
	q.Label = Label{Kind: CurrentLabel, Ref: p.Ref, Net: -1, Text: text}
	b.seek(b.free).beside(p.extent, q.forms, p.otherSide())
	q.spots = b.seeker.found()
	b.request(q)
}

func (b *builder) currentForm(text string) form { return newForm([]run{{text, true, b.t.Current}}) }

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
		b.request(b.current(s))
	}
}

// strayCost is for telling a stream's current where a branch is still in it:
// for each part of the least current that it is larger by.
const strayCost = 1000.0

// strangerCost is for telling the current of a transistor's control pin
// elsewhere than at that pin.
const strangerCost = 4.0

func (b *builder) current(s *stream) *request {
	q := &request{loss: b.currentLoss(s.least), arrow: true}
	q.Label = Label{Kind: CurrentLabel, Net: -1}
	k := b.seek(b.free)
	for _, i := range s.pieces {
		piece, amps := b.pieces[i], math.Abs(b.flow.amps[i])
		l := line{from: canvas.OnGrid(piece.A), to: canvas.OnGrid(piece.B), piece: i}
		l.gap = math.Max(b.ribbonHalf(amps)+clearance, chevronHalf) + 4
		l.upright = strayCost * math.Round((amps/s.least-1)*1e6) / 1e6 // rounding errors choose no place
		if !b.control[piece.Net] {
			l.upright += strangerCost
		}
		l.level = l.upright + turnCost
		f := q.form(b, amps)
		k.along(l, &q.forms[f], f)
	}
	if len(k.found()) == 0 {
		q.arrow = false
		for _, i := range s.parts {
			q.form(b, b.parts[i].through())
			k.beside(b.parts[i].extent, q.forms, b.parts[i].otherSide())
		}
	}
	q.spots = k.found()
	return q
}

// form returns the place of the form that tells a current, which it adds
// unless it is there.
func (q *request) form(b *builder, amps float64) int {
	text := quantity.Solved(amps, quantity.Ampere)
	for k := range q.forms {
		if q.forms[k].lines[0][0].text == text {
			return k
		}
	}
	q.forms = append(q.forms, b.currentForm(text))
	q.Text = q.forms[0].lines[0][0].text
	return len(q.forms) - 1
}

func (b *builder) ribbonHalf(amps float64) float64 {
	if !b.o.Show.Ribbons {
		return 0
	}
	return b.flow.ribbonWidth(amps) / 2
}
