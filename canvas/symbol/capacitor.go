package symbol

import (
	"math"

	"copperglass/canvas"
)

const (
	plateGap  = 3.5  // from the middle to a capacitor's plate
	plateHalf = 13.0 // half a plate
)

func (catalogue) Capacitor() symbol {
	return symbol{draw: drawCapacitor, box: box(-leadEnd, -plateHalf, leadEnd, plateHalf)}
}

func drawCapacitor(p *pen) {
	p.leads(plateGap)
	p.line(plate, -plateGap, -plateHalf, -plateGap, plateHalf)
	if !polarised(p) {
		p.line(plate, plateGap, -plateHalf, plateGap, plateHalf)
		return
	}
	p.plus(-11.5, -8)
	p.curve(negativePlate(p.Standard), plate)
}

// negativePlate is a straight stroke in IEC 60617; in IEEE 315 the plate is
// bent away from the positive one.
func negativePlate(s Standard) *canvas.Path {
	if s == IEC {
		return polyline(plateGap, -plateHalf, plateGap, plateHalf)
	}
	const radius = 20
	half := math.Asin(plateHalf / radius)
	return new(canvas.Path).Arc(canvas.Pt(plateGap+radius, 0), radius, math.Pi-half, math.Pi+half)
}

func polarised(p *pen) bool {
	pins := p.part.PlacedPins()
	return len(pins) > 0 && pins[0].Name == "+"
}
