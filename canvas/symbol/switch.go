package symbol

import "copperglass/canvas"

const (
	contactX      = 17.0 // from the middle to a contact
	contactRadius = 2.6
)

func (catalogue) Switch() symbol {
	return symbol{draw: drawSwitch, box: box(-leadEnd, -16, leadEnd, contactRadius)}
}

func (catalogue) Button() symbol {
	return symbol{draw: drawButton, box: box(-leadEnd, -28, leadEnd, contactRadius)}
}

func (p *pen) closed() bool { return p.values.Text("state") == "closed" }

// drawSwitch draws a make contact between terminals: the blade joins them
// straight, on the axis that a current takes, or leaves the left one at 27°.
func drawSwitch(p *pen) {
	if p.closed() {
		p.line(stroke, -contactX, 0, contactX, 0)
	} else {
		p.line(stroke, -contactX, 0, contactX-3, -16)
	}
	drawContacts(p)
}

func drawContacts(p *pen) {
	p.leads(contactX)
	for _, x := range []float64{-contactX, contactX} {
		q := new(canvas.Path).Circle(canvas.Pt(x, 0), contactRadius)
		q.Style = canvas.Style{Fill: p.Theme.Body, Stroke: p.Theme.Ink, Width: stroke, Round: true}
		p.add(p.path(q))
	}
}

// drawButton draws the blade with an actuator that is pushed in IEC 60617, a
// bridge with a stem in IEEE 315.
func drawButton(p *pen) {
	if p.Standard == IEEE {
		drawBridge(p)
		return
	}
	drawSwitch(p)
	top, blade := -27.0, -8.4
	if p.closed() {
		top, blade = -21, 0
	}
	p.dashed(0, blade, 0, top)
	p.lead(-6, top+4.5, -6, top, 6, top, 6, top+4.5)
}

func drawBridge(p *pen) {
	y := -10.0
	if p.closed() {
		y = 0
	}
	p.line(plate, -contactX-3, y, contactX+3, y)
	p.lead(0, y, 0, y-14)
	p.line(stroke, -6, y-14, 6, y-14)
	drawContacts(p)
}
