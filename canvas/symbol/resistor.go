package symbol

import "copperglass/canvas"

// Half the sides of the rectangle of IEC 60617: three modules by one, a module
// being a little less than a step.
const (
	barrelX = 28.0
	barrelY = 9.0
)

func (catalogue) Resistor() symbol {
	return symbol{draw: drawResistor, box: box(-leadEnd, -barrelY, leadEnd, barrelY)}
}

func (catalogue) Potentiometer() symbol {
	return symbol{draw: drawPotentiometer, box: box(-leadEnd, -barrelY, leadEnd, leadEnd)}
}

func (catalogue) Fuse() symbol {
	return symbol{draw: drawFuse, box: box(-leadEnd, -swing, leadEnd, swing)}
}

func drawResistor(p *pen) {
	if p.Standard == IEEE {
		drawZigzag(p)
		return
	}
	p.leads(barrelX)
	p.body(barrel())
}

func barrel() *canvas.Path {
	return new(canvas.Path).Rectangle(box(-barrelX, -barrelY, barrelX, barrelY))
}

// drawZigzag draws six strokes of about 60° and half a stroke at either end.
func drawZigzag(p *pen) {
	const run = 9.0 // along the axis, of one stroke
	p.leads(3 * run)
	q := polyline(-3*run, 0)
	side := -barrelY
	for i := range 6 {
		q.LineTo((float64(i)-2.5)*run, side)
		side = -side
	}
	p.curve(q.LineTo(3*run, 0), stroke)
}

func drawPotentiometer(p *pen) {
	drawResistor(p)
	const tip = barrelY + 1.2
	p.lead(0, leadEnd, 0, tip+6)
	p.head(0, tip, up, 9, 8)
}

// swing is how far the handles of an IEEE fuse's wave are from its axis; the
// wave itself goes three quarters as far, as far as the rectangle.
const swing = barrelY * 4 / 3

func drawFuse(p *pen) {
	if p.Standard == IEEE {
		p.leads(20)
		p.curve(new(canvas.Path).MoveTo(-20, 0).CubicTo(-14, -swing, -6, -swing, 0, 0).CubicTo(6, swing, 14, swing, 20, 0), stroke)
		return
	}
	p.body(barrel())
	p.lead(-leadEnd, 0, leadEnd, 0)
}
