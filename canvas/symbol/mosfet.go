package symbol

const (
	gateX       = -26.0
	channelX    = -19.0
	contactY    = 14.0 // of drain and source, from the middle
	channelHalf = 5.0  // half of each of the channel's three pieces
)

func (catalogue) NMOS() symbol { return transistor(drawNMOS) }

func (catalogue) PMOS() symbol { return transistor(drawPMOS) }

// drawNMOS draws the source below and the substrate's arrow inwards.
func drawNMOS(p *pen) {
	drawFieldEffect(p)
	p.lead(channelX, 0, 0, 0, 0, contactY)
	p.head(channelX+2, 0, left, 9, 8)
}

// drawPMOS draws the source above and the substrate's arrow outwards.
func drawPMOS(p *pen) {
	drawFieldEffect(p)
	p.lead(channelX, 0, 0, 0, 0, -contactY)
	p.head(-4, 0, right, 9, 8)
}

// drawFieldEffect draws an enhancement type: its channel is in pieces.
func drawFieldEffect(p *pen) {
	drawEnvelope(p)
	p.lead(-leadEnd, 0, gateX, 0)
	p.line(plate, gateX, -contactY, gateX, contactY)
	for _, y := range []float64{-contactY, 0, contactY} {
		p.solid(polyline(channelX, y-channelHalf, channelX, y+channelHalf), plate)
	}
	p.posts(contactY)
	p.line(stroke, channelX, -contactY, 0, -contactY)
	p.line(stroke, channelX, contactY, 0, contactY)
}
