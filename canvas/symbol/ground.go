package symbol

func (catalogue) Ground() symbol { return symbol{draw: drawGround, box: box(-14, 0, 14, 20)} }

// drawGround draws three shortening strokes.
func drawGround(p *pen) {
	p.lead(0, 0, 0, 10)
	for i, half := range []float64{14, 9, 4} {
		y := 10 + 5*float64(i)
		p.line(1.9, -half, y, half, y)
	}
}
