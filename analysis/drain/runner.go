package drain

import (
	"context"
	"errors"
	"fmt"
	"math"
	"strings"

	"copperglass/analysis"
	"copperglass/model"
	"copperglass/model/quantity"
)

// battery is one that runs down.
type battery struct {
	ref      string
	cell     Cell
	parallel float64 // how many of it share the current
	left     float64 // fraction of its charge at the beginning
	kelvin   float64 // its temperature
	empty    bool    // from then on it is a resistance without voltage
	row      bool    // it gives the same current as the one that is followed
	note     string  // on its beginning, where it was measured
	first    float64 // heaviest current of any phase at the beginning, A
	heaviest int     // the phase that has it
	reversed bool    // that others turn its poles round has been said
	ends     Lasting // what is known of it so far
}

// runner is a discharge under way.
type runner struct {
	ctx    context.Context
	d      *model.Diagram
	set    model.Setting
	phases []Phase
	pace
	batteries []*battery
	main      int                 // the battery that the points follow
	shown     int                 // the phase that they show
	trackers  []*analysis.Tracker // by phase; nil before it has been solved
	moves     []analysis.Move     // of the last point
	firstAmps float64             // of the main battery
	light     float64             // current of all LEDs at the beginning, A
	out       *Discharge
}

func newRunner(ctx context.Context, d *model.Diagram, o Options) (*runner, error) {
	phases, err := o.phases()
	if err != nil {
		return nil, err
	}
	r := &runner{ctx: ctx, d: d, set: o.Set.With(nil), phases: phases, trackers: make([]*analysis.Tracker, len(phases)), pace: exact}
	if o.Rough {
		r.pace = rough
	}
	r.out = &Discharge{Mode: o.Mode, Day: o.Day, Ends: Ends{HalfLight: missing, BrownOut: missing, EndPoint: missing}}
	o.Set = modeOf(d, phases[0].Mode).Setting().With(o.Set) // a mode may set the cells
	r.batteries, err = batteriesOf(d, o)
	return r, err
}

// modeOf is the mode of that name, or the one that a drawing is in where none is
// said: the first; nil without modes.
func modeOf(d *model.Diagram, name string) *model.Mode {
	if name == "" && len(d.Modes) > 0 {
		return d.Modes[0]
	}
	return d.Mode(name)
}

func batteriesOf(d *model.Diagram, o Options) ([]*battery, error) {
	var all []*battery
	var unknown []string
	for _, p := range d.Parts {
		if p.Kind != "battery" {
			continue
		}
		v, _ := d.Resolve(p, o.Set)
		b := &battery{ref: p.Ref, cell: o.Cells[p.Ref], parallel: float64(p.Multiple()), left: v.Num("charge_left"), kelvin: v.Num("temperature")}
		if o.New {
			b.left = 1
		}
		b.ends = Lasting{Battery: p.Ref, Hours: missing, EndPoint: missing, Empty: missing}
		if b.cell == nil {
			cells, known := model.CellsOf(v)
			if !known {
				unknown = append(unknown, p.Ref)
			}
			b.cell = cells
			if known && !o.New {
				b.measure(p, o.Set, v)
			}
		}
		all = append(all, b)
	}
	switch {
	case len(unknown) > 0:
		return nil, fmt.Errorf("only the voltage of %s is known; write its cells, as in 3 × LR6", strings.Join(unknown, " and "))
	case len(all) == 0:
		return nil, errors.New("there is no battery that could run down; draw one, as in 3 × LR6")
	}
	return all, nil
}

// move sets what the fractions used make of the batteries: each one's voltage
// and resistance.
func (r *runner) move(used []float64) {
	r.moves = r.moves[:0]
	for i, b := range r.batteries {
		volts, ohms := b.at(used[i])
		r.moves = append(r.moves,
			analysis.Move{Ref: b.ref, Name: "voltage", Value: model.Number(volts)},
			analysis.Move{Ref: b.ref, Name: "resistance", Value: model.Number(ohms)})
	}
}

// at returns the voltage at rest and the resistance. An empty cell in a row
// with others is driven to zero and beyond by them: it is taken to have no
// voltage of its own left.
func (b *battery) at(used float64) (volts, ohms float64) {
	volts, ohms = b.cell.At(min(used, 1))
	if b.empty {
		volts = 0
	}
	return volts, ohms
}

// solve returns the operating point of one phase. It is good until the phase is
// solved again.
func (r *runner) solve(phase int, used []float64) (*analysis.Result, error) {
	r.move(used)
	if k := r.trackers[phase]; k != nil {
		err := k.Move(r.ctx, r.moves...)
		return k.Result(), err
	}
	set := r.set.With(nil)
	for _, m := range r.moves {
		set.Set(m.Ref, m.Name, m.Value)
	}
	k, err := analysis.Track(r.ctx, r.d, analysis.Options{Mode: r.phases[phase].Mode, Set: set})
	if err != nil {
		return nil, err
	}
	r.trackers[phase] = k
	return k.Result(), nil
}

// amps is the current out of one of the batteries that b stands for.
func (b *battery) amps(result *analysis.Result) float64 {
	return -result.Parts[b.ref].Pins[0].Amps / b.parallel
}

// begin solves the first operating point of each phase and chooses what to
// follow: the phase with the heaviest current, and of the batteries that give it
// the one that will be empty first.
func (r *runner) begin() error {
	soonest := math.Inf(1)
	for phase := range r.phases {
		result, err := r.solve(phase, r.start())
		if err != nil {
			return err
		}
		if phase == 0 {
			r.out.Mode = result.Mode
		}
		if !result.Solved {
			r.out.Faults = result.Faults
			return nil
		}
		for i, b := range r.batteries {
			amps, until := b.amps(result), b.steadySeconds(result)
			if amps > b.first {
				b.first, b.heaviest = amps, phase
			}
			if alike := math.Abs(amps-r.firstAmps) <= same*amps; amps > r.firstAmps && !alike || alike && until < soonest {
				r.main, r.shown, r.firstAmps, r.out.Mode, soonest = i, phase, amps, result.Mode, until
			}
		}
	}
	return r.beginShown()
}

// same is the part by which currents may differ that are the same current.
const same = 1e-6

// steadySeconds is how long the battery would last at the current of a result.
func (b *battery) steadySeconds(result *analysis.Result) float64 {
	amps := b.amps(result)
	return b.left * b.cell.Coulombs(amps) / amps
}

// beginShown notes where what is followed begins.
func (r *runner) beginShown() error {
	first, err := r.solve(r.shown, r.start())
	if err != nil {
		return err
	}
	b := r.batteries[r.main]
	r.out.Battery, r.out.ChargeLeft = b.ref, b.left
	if r.light = r.litAmps(first); r.light < dark {
		r.light = 0
	}
	r.out.FirstLight = r.light
	for i, b := range r.batteries {
		b.ends.ChargeLeft = b.left
		b.row = i == r.main || r.firstAmps > 0 && math.Abs(b.amps(first)-r.firstAmps) <= same*r.firstAmps
	}
	r.remarks(first)
	return r.findLights()
}

func (r *runner) start() []float64 {
	used := make([]float64, len(r.batteries))
	for i, b := range r.batteries {
		used[i] = 1 - b.left
	}
	return used
}

// dark is a current in amperes that makes no LED shine: common practice, no
// source.
const dark = 10e-6

// litAmps is the current of all LEDs, the measure of their light.
func (r *runner) litAmps(result *analysis.Result) float64 {
	sum := 0.0
	for _, p := range r.d.Parts {
		if q := result.Parts[p.Ref]; p.Kind == "led" && q != nil {
			sum += max(q.Pins[0].Amps, 0)
		}
	}
	return sum
}

// lightOf is the light over that at the beginning, NaN without any.
func (r *runner) lightOf(result *analysis.Result) float64 {
	if r.light == 0 {
		return missing
	}
	return r.litAmps(result) / r.light
}

// remarks says where the handbook's data end.
func (r *runner) remarks(first *analysis.Result) {
	for _, b := range r.batteries {
		if amps := b.amps(first); amps > b.cell.Heaviest() {
			r.out.Notes = append(r.out.Notes, fmt.Sprintf("%s gives more than the %s that the handbook's capacity goes to; at such a load it is taken as there", b.ref, quantity.Short(b.cell.Heaviest(), quantity.Ampere)))
		}
	}
	for _, b := range r.batteries {
		if b.note != "" {
			r.out.Notes = append(r.out.Notes, b.note)
		}
		if note := b.tempered(); note != "" {
			r.out.Notes = append(r.out.Notes, note)
		}
	}
	if len(r.phases) > 1 {
		r.out.Notes = append(r.out.Notes, "the schedule's phases are taken together as a mean; that the cells recover in the breaks is not counted")
	}
}

// tempered says what the curves leave out away from room temperature, or "".
func (b *battery) tempered() string {
	const freezing, cold, warm = 273.15, 10, 35 // K, °C, °C
	celsius := b.kelvin - freezing
	degrees := strings.Replace(fmt.Sprintf("%.0f °C", celsius), "-", "−", 1)
	switch {
	case celsius < cold:
		return fmt.Sprintf("%s is at %s: its resistance is that of the cold, but its charge is that at room temperature; real cells give less in the cold and last shorter, in frost much shorter", b.ref, degrees)
	case celsius > warm:
		return fmt.Sprintf("%s is at %s: that cells lose charge by themselves faster in the heat is not counted", b.ref, degrees)
	}
	return ""
}

// flow is what changes each second: fractions of charge first, then the books.
// The order is used, coulombs given (both for each battery), energy, heat,
// delivered, taken.
func (r *runner) flow(y []float64) ([]float64, error) {
	n := len(r.batteries)
	dy := make([]float64, 2*n+4)
	for phase, p := range r.phases {
		result, err := r.solve(phase, y[:n])
		if err != nil {
			return nil, err
		}
		if !result.Solved {
			return nil, errors.New("the circuit cannot be solved on the way: " + firstStop(result.Faults))
		}
		r.addFlow(dy, y[:n], result, p.Hours/day)
	}
	return dy, nil
}

func firstStop(faults []analysis.Fault) string {
	for _, f := range faults {
		if f.Stops {
			return f.Text
		}
	}
	return "no reason is known"
}

// addFlow adds what one phase does in its share of the time.
func (r *runner) addFlow(dy, used []float64, result *analysis.Result, share float64) {
	n := len(r.batteries)
	books := dy[2*n:]
	for _, p := range r.d.Parts {
		if q := result.Parts[p.Ref]; q != nil {
			books[3] += share * q.Power
		}
	}
	for i, b := range r.batteries {
		amps := b.amps(result)
		volts, ohms := b.at(used[i])
		if charge := b.cell.Coulombs(math.Abs(amps)); charge > 0 && !b.empty {
			dy[i] += share * amps / charge
		}
		dy[n+i] += share * amps * b.parallel
		books[0] += share * volts * amps * b.parallel
		books[1] += share * ohms * amps * amps * b.parallel
		books[2] -= share * result.Parts[b.ref].Power
		books[3] -= share * result.Parts[b.ref].Power
	}
}
