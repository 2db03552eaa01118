package model

import "math"

// Cells is what the handbook knows of the cells in one battery: how their
// voltage and resistance move as they are used up.
type Cells struct {
	cell     *cell
	inSeries float64
	kelvin   float64
}

// CellsOf returns the cells that a battery with the quantities v is made of.
// It is false where only its voltage is known.
func CellsOf(v Values) (Cells, bool) {
	c := cellOf(v)
	if c == nil {
		return Cells{}, false
	}
	return Cells{c, v.Num("cells"), v.Num("temperature")}, true
}

// At returns the battery's voltage at rest in volts and its resistance under a
// steady load in ohms when that fraction of its charge is used.
func (c Cells) At(used float64) (volts, ohms float64) {
	left := 1 - min(max(used, 0), 1)
	return c.inSeries * c.cell.openVolts(left), c.inSeries * c.cell.sustainedOhms(left, c.kelvin)
}

// Coulombs returns the charge in coulombs that a new battery gives at a constant
// current in amperes. Outside the currents that the handbook has it is the charge at
// the nearest of them.
func (c Cells) Coulombs(amps float64) float64 {
	heaviest := c.Heaviest()
	return 3600 * c.cell.capacity.atPower(min(max(amps, math.SmallestNonzeroFloat64), heaviest))
}

// Heaviest is the heaviest current in amperes that the handbook's capacity
// holds for.
func (c Cells) Heaviest() float64 { return c.cell.capacity[len(c.cell.capacity)-1].x }

// EndPoint is the voltage under load at which the battery counts as empty.
func (c Cells) EndPoint() float64 {
	return c.inSeries * c.cell.inside * chemistryNamed(c.cell.chemistry).endPoint
}

// OtherCells returns the parameters, size and chemistry, that turn a battery with
// the quantities v into one of each other cell of the same everyday size.
func OtherCells(v Values) []Params {
	own := cellOf(v)
	if own == nil {
		return nil
	}
	var others []Params
	for _, c := range cells {
		if c.common == own.common && c.chemistry != own.chemistry {
			others = append(others, Params{"size": Word(c.size), "chemistry": Word(c.chemistry)})
		}
	}
	return others
}

// charge returns the charge in coulombs that a new battery with the quantities
// v gives at a constant current in amperes. It is false where the handbook does
// not know the cells, or not at so heavy a current.
func charge(v Values, amps float64) (coulombs float64, ok bool) {
	c := cellOf(v)
	if c == nil {
		return 0, false
	}
	return c.coulombs(amps)
}

// RunTime returns how long in seconds a battery with the quantities v gives a
// constant current in amperes from the charge left in it. It is false where
// the handbook does not know the cells, or not at so heavy a current.
func RunTime(v Values, amps float64) (seconds float64, ok bool) {
	coulombs, ok := charge(v, amps)
	if !ok {
		return 0, false
	}
	return v.Num("charge_left") * coulombs / amps, true
}
