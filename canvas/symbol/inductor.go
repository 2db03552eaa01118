package symbol

import (
	"math"

	"copperglass/canvas"
)

const turnRadius = 7.0

func (catalogue) Inductor() symbol {
	return symbol{draw: drawInductor, box: box(-leadEnd, -turnRadius, leadEnd, 0)}
}

// drawInductor draws a row of four half circles.
func drawInductor(p *pen) {
	p.leads(4 * turnRadius)
	q := new(canvas.Path).MoveTo(-4*turnRadius, 0)
	for i := range 4 {
		turn := new(canvas.Path).Arc(canvas.Pt((float64(2*i)-3)*turnRadius, 0), turnRadius, math.Pi, 2*math.Pi)
		q.Segs = append(q.Segs, turn.Segs[1:]...) // one run: each turn begins where the last ended
	}
	p.curve(q, stroke)
}
