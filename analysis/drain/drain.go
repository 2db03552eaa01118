// Package drain follows a circuit while its batteries run down: quasi-static
// steps along the cells' curves, each of them a solved operating point.
package drain

import (
	"context"
	"fmt"
	"math"
	"slices"

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

// Phase is a part of each day that the circuit spends in one mode. What the
// phases leave of a day, no current flows.
type Phase = model.Phase

// Options say what discharge is wanted.
type Options struct {
	Mode  string          // one mode all the time, where there is no Day
	Day   []Phase         // a day's schedule; the points show the phase that takes the most
	Set   model.Setting   // quantities set over those of the drawing and the mode
	New   bool            // from new cells, not from the charge that the drawing says is left
	Cells map[string]Cell // by battery, in place of the handbook's
	Rough bool            // times to a thousandth for a sixth of the work, and books that balance less exactly
}

// Point is the circuit at one time. Volts and Amps are those of the battery
// that gives the most at the beginning; of several in a row, of the one that is
// empty first.
type Point struct {
	Hours      float64
	ChargeLeft float64            // of that battery, 0 to 1
	Volts      float64            // at its poles
	Amps       float64            // out of it
	Light      float64            // current of all LEDs over FirstLight; NaN without light
	Left       map[string]float64 // charge left in each battery, 0 to 1
}

// Ends are the hours at which something comes to its end, NaN where it does
// not before the run is over.
type Ends struct {
	HalfLight float64 // the LEDs take half the current they took at first, or none as a chip stops
	BrownOut  float64 // a chip's supply falls below its brown_out_voltage in any phase
	EndPoint  float64 // a battery's voltage under load falls to its end point in any phase: the one followed, or one that gives the same current
	WithChip  bool    // HalfLight is where a chip stops on which the light hangs
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
	horizon = 10 * 8766 * 3600 // s: ten years, by which cells have leaked away their charge
	faint   = 0.01             // of the first current
	day     = 24               // h
)

// Discharge is one run.
type Discharge struct {
	Mode       string  // that Points show
	Day        []Phase // the schedule; nil for one mode all the time
	Battery    string  // the one that Points follow
	ChargeLeft float64 // of that battery at the beginning, 0 to 1
	FirstLight float64 // current of all LEDs at the beginning, A; 0 without light
	Points     []Point
	Ends       Ends
	Batteries  []Lasting // how long each of them lasts, as the drawing lists them
	Books      Books
	Stop       Stop
	Notes      []string         // what limits how far to believe it, in sentences
	Faults     []analysis.Fault // why there is no run; Points is empty then
}

// Lasting is how long one of the batteries lasts.
type Lasting struct {
	Battery    string
	ChargeLeft float64 // at the beginning, 0 to 1
	Hours      float64 // of use; NaN where it gives no current
	Until      End     // what ends that
	EndPoint   float64 // hours after which it is at its end point, NaN for never
	Empty      float64 // hours after which it is empty, NaN for never
	Lights     bool    // the LEDs' light hangs on it
	InRow      bool    // it gives the same current as the one that Points follow, or is that
}

// End says what ends the use of a battery.
type End string

// What ends the use of a battery. The others are the reasons of Stop.
const (
	ChipStops   End = "brown_out"
	AtEndPoint  End = "end_point"
	UsedUp          = End(Empty)
	HardlyFlows     = End(Faint)
	TenYears        = End(Horizon) // it lasts for longer
)

// Lasts returns how many hours the battery is of use and what ends that: a chip
// that stops, the cells' end point, or the end of the run, whichever comes
// first. It is NaN where there is no run.
func (x *Discharge) Lasts() (hours float64, end End) {
	if len(x.Points) == 0 {
		return missing, ""
	}
	hours, end = x.Points[len(x.Points)-1].Hours, End(x.Stop)
	if empty := x.UsedUp(); empty <= hours {
		hours, end = empty, UsedUp
	}
	if x.Ends.EndPoint <= hours {
		hours, end = x.Ends.EndPoint, AtEndPoint
	}
	if x.Ends.BrownOut <= hours {
		hours, end = x.Ends.BrownOut, ChipStops
	}
	return hours, end
}

// UsedUp is how many hours it takes until the battery that is followed, or the
// first of several that give the same current, is empty; NaN where none is.
func (x *Discharge) UsedUp() float64 {
	first := missing
	for _, b := range x.Batteries {
		if b.InRow && !math.IsNaN(b.Empty) && !(first <= b.Empty) {
			first = b.Empty
		}
	}
	return first
}

// LastsOf returns how many hours the battery of that reference is of use: of the
// one that is followed as Lasts has it. It is false where there is none.
func (x *Discharge) LastsOf(ref string) (hours float64, ok bool) {
	if ref == x.Battery {
		hours, _ = x.Lasts()
		return hours, true
	}
	for _, b := range x.Batteries {
		if b.Battery == ref {
			return b.Hours, true
		}
	}
	return missing, false
}

// LightOn are the batteries that the light hangs on; none without light, or where
// another source gives it.
func (x *Discharge) LightOn() []string {
	var refs []string
	for _, b := range x.Batteries {
		if b.Lights {
			refs = append(refs, b.Battery)
		}
	}
	return refs
}

// LitByOthers reports whether the light hangs on other sources than the battery
// that Points follow.
func (x *Discharge) LitByOthers() bool {
	return x.FirstLight > 0 && len(x.Batteries) > 0 && !slices.Contains(x.LightOn(), x.Battery)
}

// Apart are the batteries that give another current than the one that Points
// follow, so that how long they last is their own.
func (x *Discharge) Apart() []Lasting {
	return slices.DeleteFunc(slices.Clone(x.Batteries), func(b Lasting) bool { return b.InRow || b.Until == "" })
}

// InMode is how many of so many hours by the day are in the mode that the points
// show. It is false where the circuit is in one mode all the time.
func (x *Discharge) InMode(hours float64) (inMode float64, ok bool) {
	for _, p := range x.Day {
		if p.Mode == x.Mode {
			inMode += hours * p.Hours / day
		}
	}
	return inMode, len(x.Day) > 0
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
	return r.out, r.close()
}

// phases checks the schedule and returns each phase with its share of the time.
func (o Options) phases() ([]Phase, error) {
	if len(o.Day) == 0 {
		return []Phase{{Mode: o.Mode, Hours: day}}, nil
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
