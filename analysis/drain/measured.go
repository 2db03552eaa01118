package drain

import (
	"fmt"
	"math"

	"copperglass/model"
)

// measuredCell is cells whose voltage or resistance somebody has measured: it
// keeps the course of their curve, shifted so that it begins with what was
// measured.
type measuredCell struct {
	Cell
	volts, ohms float64 // above the curve
}

func (c measuredCell) At(used float64) (volts, ohms float64) {
	volts, ohms = c.Cell.At(used)
	return volts + c.volts, max(0, ohms+c.ohms)
}

// measured reports whether somebody said the battery's own voltage or
// resistance, and not only which cells it is made of.
func measured(p *model.Part, set model.Setting) bool {
	return stated(p, set, "voltage") || stated(p, set, "resistance")
}

// Gauged reports whether the charge left in a battery follows from its measured
// voltage.
func Gauged(p *model.Part, set model.Setting) bool {
	return stated(p, set, "voltage") && !stated(p, set, "charge_left")
}

func stated(p *model.Part, set model.Setting, name string) bool {
	return p.Params[name].IsSet() || set[p.Ref][name].IsSet()
}

// measure lets the battery begin with its measured voltage and resistance. The
// voltage tells the charge left, unless somebody said that too.
func (b *battery) measure(p *model.Part, set model.Setting, v model.Values) {
	if !measured(p, set) {
		return
	}
	if Gauged(p, set) {
		b.left = 1 - usedAt(b.cell, v.Num("voltage"))
	}
	volts, ohms := b.cell.At(1 - b.left)
	shifted := measuredCell{b.cell, v.Num("voltage") - volts, v.Num("resistance") - ohms}
	if math.Abs(shifted.volts) <= same*math.Abs(volts) && math.Abs(shifted.ohms) <= same*ohms {
		return // what the curve has there
	}
	b.cell = shifted
	b.note = fmt.Sprintf("%s begins with its own %.3g V and %.3g Ω and is taken to have %.0f %% of its charge; from there it follows the course of its cells’ curve", b.ref, v.Num("voltage"), v.Num("resistance"), 100*b.left)
}

// usedAt is the fraction used at which cells have that voltage at rest, by
// halving: none above what new ones have, all below what empty ones have.
func usedAt(c Cell, volts float64) float64 {
	low, high := 0.0, 1.0
	if v, _ := c.At(low); volts >= v {
		return low
	}
	if v, _ := c.At(high); volts <= v {
		return high
	}
	for range 60 {
		middle := (low + high) / 2
		if v, _ := c.At(middle); v > volts {
			low = middle
		} else {
			high = middle
		}
	}
	return (low + high) / 2
}

// unmeasured returns what puts the battery's cells, with that charge left, in
// the place of what was measured at others: nothing where nothing was.
func unmeasured(d *model.Diagram, p *model.Part, set model.Setting, left float64) model.Params {
	to := model.Params{"charge_left": model.Number(left)}
	v, _ := d.Resolve(p, set)
	cells, known := model.CellsOf(v)
	if !known || !measured(p, set) {
		return to
	}
	volts, ohms := cells.At(1 - left)
	to["voltage"], to["resistance"] = model.Number(volts), model.Number(ohms)
	return to
}

// Renewed returns what makes all cells new that the drawing, or what is set, has
// otherwise: by battery.
func Renewed(d *model.Diagram, set model.Setting) model.Setting {
	fresh := model.Setting{}
	for _, p := range d.Parts {
		if p.Kind != "battery" {
			continue
		}
		v, _ := d.Resolve(p, set)
		if _, known := model.CellsOf(v); known && (v.Num("charge_left") < 1 || measured(p, set)) {
			fresh[p.Ref] = unmeasured(d, p, set, 1)
		}
	}
	return fresh
}
