package symbol

import "copperglass/canvas"

// Half the height and half the base of a diode's triangle, all but equilateral.
const (
	diodeX = 11.0
	diodeY = 13.0
)

// rayEnd is how far an LED's arrows reach from its axis.
const rayEnd = 26.5

func (catalogue) Diode() symbol {
	return symbol{draw: drawDiode, box: box(-leadEnd, -diodeY, leadEnd, diodeY)}
}

func (catalogue) LED() symbol {
	return symbol{draw: drawLED, box: box(-leadEnd, -rayEnd, leadEnd, diodeY)}
}

func (catalogue) Zener() symbol {
	return symbol{draw: drawZener, box: box(-leadEnd, -diodeY-bend, leadEnd, diodeY+bend)}
}

func triangle() *canvas.Path {
	return polyline(-diodeX, -diodeY, diodeX, 0, -diodeX, diodeY).Close()
}

func drawDiode(p *pen) {
	p.leads(diodeX)
	p.body(triangle())
	drawBar(p)
}

func drawBar(p *pen) { p.line(plate, diodeX, -diodeY, diodeX, diodeY) }

func drawLED(p *pen) {
	p.leads(diodeX)
	p.shining(triangle())
	drawBar(p)
	drawRay(p, 3.5)
	drawRay(p, -5)
}

// drawRay draws light that leaves an LED from beside x on its axis. It goes
// with the current or against it, whichever points up the sheet.
func drawRay(p *pen, x float64) {
	along := 1.0
	if p.frame.x.Y > 0 {
		along = -1
	}
	const reach = 9.5
	tip := along * (x + reach)
	p.solid(polyline(along*x, reach-rayEnd, tip, -rayEnd), fine)
	p.solid(polyline(tip-along*5.2, 1.2-rayEnd, tip, -rayEnd, tip-along*1.2, 5.2-rayEnd), fine)
}

// bend is the length across the axis of a zener bar's slanting ends.
const bend = 3.0

// drawZener draws a diode whose bar has one bent end in IEC 60617 and two in
// IEEE 315.
func drawZener(p *pen) {
	p.leads(diodeX)
	p.body(triangle())
	if p.Standard == IEC {
		p.line(plate, diodeX-7, -diodeY, diodeX, -diodeY, diodeX, diodeY)
		return
	}
	p.line(plate, diodeX+5, -diodeY-bend, diodeX, -diodeY, diodeX, diodeY, diodeX-5, diodeY+bend)
}
