// Package drain follows a circuit while its batteries run down: quasi-static
// steps along the cells' curves, each of them a solved operating point.
package drain

import (
	"context"
	"fmt"
	"math"

	"copperglass/analysis"
	"copperglass/model"
)

// Cell is what is known of one battery. Fractions are of its charge.
type Cell interface {
	// At returns the voltage at rest in volts and the resistance in ohms when
	// that fraction is used.
	At(used float64) (volts, ohms float64)
	// Coulombs returns the charge of the new battery at a steady current in
	// amperes.
	Coulombs(amps float64) float64
	// Heaviest is the heaviest current in amperes that Coulombs knows.
	Heaviest() float64
	// EndPoint is the voltage under load at which it counts as empty, NaN for
	// none.
	EndPoint() float64
}

// Phase is a part of each day that the circuit spends in one mode.
type Phase struct {
	Mode  string
	Hours float64 // of 24; what the phases leave of a day, no current flows
}

// Options say what discharge is wanted.
type Options struct {
	Mode  string          // one mode all the time, where there is no Day
	Day   []Phase         // a day's schedule; the points show its first phase
	Set   model.Setting   // quantities set over those of the drawing and the mode
	Cells map[string]Cell // by battery, in place of the handbook's
}

// Point is the circuit at one time. Volts and Amps are those of the battery
// that gives the most at the beginning.
type Point struct {
	Hours      float64
	ChargeLeft float64            // of that battery, 0 to 1
	Volts      float64            // at its poles
	Amps       float64            // out of it
	Light      float64            // current of all LEDs over that at the beginning; NaN without light
	Left       map[string]float64 // charge left in each battery, 0 to 1
}

// Ends are the hours at which something comes to its end, NaN where it does
// not before the run is over.
type Ends struct {
	HalfLight float64 // the LEDs take half the current they took at first
	BrownOut  float64 // a chip's supply falls below its brown_out_voltage
	EndPoint  float64 // the battery's voltage under load falls to its end point
}

// Books are kept over the whole run; they must balance.
type Books struct {
	Charge    map[string]float64 // given by each battery, C
	Energy    float64            // by the cells' voltage at rest, J
	Heat      float64            // in the cells' resistance, J
	Delivered float64            // at the batteries' poles, J
	Taken     float64            // by all other parts, J
}

// Stop says why a run is over.
type Stop string

// The reasons why a run is over.
const (
	Empty   Stop = "empty"   // every battery is
	Faint   Stop = "faint"   // hardly any current flows any more
	Horizon Stop = "horizon" // it would last for longer than ten years
)

const (
	horizon = 10 * 8766 * 3600 // s: ten years
	faint   = 0.01             // of the first current
	day     = 24               // h
)

// Discharge is one run.
type Discharge struct {
	Mode    string
	Battery string // the one that Points follow
	Points  []Point
	Ends    Ends
	Books   Books
	Stop    Stop
	Notes   []string         // what limits how far to believe it, in sentences
	Faults  []analysis.Fault // why there is no run; Points is empty then
}

// Run follows d until its batteries are empty. What is wrong with the circuit
// is in Faults; the error is of a mode that the drawing does not have, a
// schedule that makes no sense, a drawing without known cells, or the
// context's.
func Run(ctx context.Context, d *model.Diagram, o Options) (*Discharge, error) {
	r, err := newRunner(ctx, d, o)
	if err != nil {
		return nil, err
	}
	if err := r.begin(); err != nil || len(r.out.Faults) > 0 {
		return r.out, err
	}
	if err := r.follow(); err != nil {
		return nil, err
	}
	r.close()
	return r.out, nil
}

// phases checks the schedule and returns each phase with its share of the time.
func (o Options) phases() ([]Phase, error) {
	if len(o.Day) == 0 {
		return []Phase{{o.Mode, day}}, nil
	}
	sum := 0.0
	for _, p := range o.Day {
		if !(p.Hours > 0) {
			return nil, fmt.Errorf("%v hours of %s: a phase of the day must be longer than nothing", p.Hours, p.Mode)
		}
		sum += p.Hours
	}
	if sum > day*(1+1e-9) {
		return nil, fmt.Errorf("the phases make %.4g hours, and a day has 24", sum)
	}
	return o.Day, nil
}

// missing is NaN, for what does not happen.
var missing = math.NaN()
