package symbol

const (
	cellLong  = 19.0 // half the positive stroke
	cellShort = 12.0 // half the negative stroke
	cellGap   = 12.0 // between the strokes of one cell
)

func (catalogue) Battery() symbol {
	return symbol{draw: drawBattery, box: box(-30, -leadEnd, cellLong, leadEnd)}
}

// drawBattery draws every cell up to three. Of more it draws the first and the
// last, with dashes between.
func drawBattery(p *pen) {
	number := p.values.Num("cells")
	shown, pitch := 1, 28.0
	switch {
	case number > 3:
		shown, pitch = 2, 42
	case number > 1:
		shown = int(number)
	}
	top := -(float64(shown-1)*pitch + cellGap) / 2
	p.posts(-top)
	p.plus(-25.5, max(top-5, signArm-leadEnd))
	for i := range shown {
		y := top + float64(i)*pitch
		p.line(stroke, -cellLong, y, cellLong, y)
		p.line(slab, -cellShort, y+cellGap, cellShort, y+cellGap)
		switch {
		case i > 0 && number > 3:
			p.dashed(0, y-pitch+cellGap, 0, y)
		case i > 0:
			p.lead(0, y-pitch+cellGap, 0, y)
		}
	}
}
