package symbol

import (
	"math"

	"copperglass/canvas"
)

func (catalogue) Lamp() symbol {
	return symbol{draw: drawLamp, box: box(-leadEnd, -radius, leadEnd, radius)}
}

func (catalogue) Motor() symbol { return symbol{draw: drawMotor, box: uprightCircle()} }

// drawLamp draws a cross in the circle in IEC 60617, a filament in IEEE 315.
func drawLamp(p *pen) {
	p.leads(radius)
	p.shining(circle())
	if p.Standard == IEEE {
		p.solid(new(canvas.Path).MoveTo(-radius, 0).
			CubicTo(20, 0, 14, -14, 0, -14).CubicTo(-14, -14, -20, 0, radius, 0), stroke)
		return
	}
	const c = radius * math.Sqrt2 / 2
	p.lead(-c, -c, c, c)
	p.lead(-c, c, c, -c)
}

// drawMotor draws a motor for direct current, which the stroke under the
// letter says.
func drawMotor(p *pen) {
	drawUpright(p)
	p.letter("M", 18, 3)
	p.level(p.origin.Add(canvas.Pt(0, 9)), 6.5)
}
