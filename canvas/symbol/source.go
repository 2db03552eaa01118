package symbol

func (catalogue) Supply() symbol { return symbol{draw: drawSupply, box: uprightCircle()} }

func (catalogue) CurrentSource() symbol {
	return symbol{draw: drawCurrentSource, box: uprightCircle()}
}

// drawSupply draws the ideal voltage source: in IEC 60617 the conductor runs
// through the circle, in IEEE 315 the signs of the poles stand in it.
func drawSupply(p *pen) {
	if p.Standard == IEC {
		drawUpright(p)
		p.lead(0, -radius, 0, radius)
		return
	}
	p.posts(radius)
	p.body(circle())
	p.plus(0, -9)
	p.level(p.at(0, 9), signArm)
}

// drawCurrentSource draws the ideal current source: in IEC 60617 a stroke
// across the circle, here with an arrow on the lead the current leaves by; in
// IEEE 315 an arrow in the circle.
func drawCurrentSource(p *pen) {
	p.posts(radius)
	p.body(circle())
	if p.Standard == IEC {
		p.lead(-radius, 0, radius, 0)
		p.head(0, -35, up, 10, 8)
		return
	}
	p.lead(0, 12, 0, -5)
	p.head(0, -13, up, 10, 8)
}
