package symbol

func (catalogue) Meter() symbol { return symbol{draw: drawMeter, box: uprightCircle()} }

func drawMeter(p *pen) {
	drawUpright(p)
	unit := "V"
	if p.values.Text("measures") == "amps" {
		unit = "A"
	}
	p.letter(unit, 20, 0)
}
