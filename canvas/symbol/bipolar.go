package symbol

import (
	"math"

	"copperglass/canvas"
)

// A transistor's control plate stands left of its switched path, which runs
// through the origin and bends inwards at either end of the symbol.
const (
	baseX    = -24.0
	baseHalf = 20.0
	legInner = 8.0  // where a leg leaves the base, from the middle
	legOuter = 24.0 // where it meets the lead
)

// besideX is how far the extent reaches beyond the switched path, so that labels
// beside it stay clear of a wide ribbon of current.
const besideX = 6.0

// The envelope of IEEE 315 crosses the switched path where the legs begin.
const (
	envelopeX      = -10.0
	envelopeRadius = 26.0
)

func (catalogue) NPN() symbol { return transistor(drawNPN) }

func (catalogue) PNP() symbol { return transistor(drawPNP) }

// transistor is the symbol of three pins in an envelope or without one.
func transistor(draw func(*pen)) symbol {
	return symbol{draw: draw, box: box(-leadEnd, -leadEnd, envelopeX+envelopeRadius, leadEnd), bare: box(-leadEnd, -leadEnd, besideX, leadEnd)}
}

// drawNPN draws the emitter below, its arrow leaving the base.
func drawNPN(p *pen) {
	drawBipolar(p)
	angle := math.Atan2(legOuter-legInner, -baseX)
	p.head(along(0.86, baseX, 0), along(0.86, legInner, legOuter), angle, 11, 9)
}

// drawPNP draws the emitter above, its arrow entering the base.
func drawPNP(p *pen) {
	drawBipolar(p)
	angle := math.Atan2(legOuter-legInner, baseX)
	p.head(along(0.12, baseX, 0), along(0.12, -legInner, -legOuter), angle, 11, 9)
}

// along returns the number that is the share t of the way from a to b.
func along(t, a, b float64) float64 { return a + t*(b-a) }

func drawBipolar(p *pen) {
	drawEnvelope(p)
	p.lead(-leadEnd, 0, baseX, 0)
	p.posts(legOuter)
	p.line(stroke, baseX, -legInner, 0, -legOuter)
	p.line(stroke, baseX, legInner, 0, legOuter)
	p.line(base, baseX, -baseHalf, baseX, baseHalf)
}

// base is the width of a bipolar transistor's base.
const base = 2.8

func drawEnvelope(p *pen) {
	if p.Standard == IEEE {
		p.body(new(canvas.Path).Circle(canvas.Pt(envelopeX, 0), envelopeRadius))
	}
}
