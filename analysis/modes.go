package analysis

import (
	"context"
	"math"

	"copperglass/model"
)

// ModeSummary is what a circuit does in one mode, in a few figures. All are
// NaN where the mode could not be solved.
type ModeSummary struct {
	Name          string // empty for a drawing without modes
	Result        *Result
	SupplyCurrent float64 // out of all batteries and supplies that discharge, A
	SupplyPower   float64 // that they deliver at their poles, W
	RunTime       float64 // hours that a single battery lasts so; NaN where that is not known
	Loads         map[string]Load
	Hottest       string  // the part of which one turns the most power into heat; empty where none does
	HottestPower  float64 // that it does, W
}

// Load is what a part that the circuit is for takes. Of a stack it is the
// whole stack's.
type Load struct {
	Current float64 // into its first pin, A
	Power   float64 // W
}

// Modes solves the drawing in each of its modes, in their order, or once if it
// has none.
func Modes(ctx context.Context, d *model.Diagram) ([]ModeSummary, error) {
	names := []string{""}
	if len(d.Modes) > 0 {
		names = names[:0]
		for _, m := range d.Modes {
			names = append(names, m.Name)
		}
	}
	var all []ModeSummary
	for _, name := range names {
		o := Options{Mode: name}
		if len(all) > 0 && !all[len(all)-1].Result.latches { // which would stay in the state of another mode
			o.Start = all[len(all)-1].Result
		}
		r, err := Solve(ctx, d, o)
		if err != nil {
			return nil, err
		}
		all = append(all, Summarise(d, r))
	}
	return all, nil
}

// Summarise returns what the circuit d does in the mode of r.
func Summarise(d *model.Diagram, r *Result) ModeSummary {
	m := ModeSummary{Name: r.Mode, Result: r, Loads: map[string]Load{}, RunTime: math.NaN()}
	if !r.Solved {
		m.SupplyCurrent, m.SupplyPower = math.NaN(), math.NaN()
	}
	var batteries []*model.Part
	for _, p := range d.Parts {
		q := r.Parts[p.Ref]
		switch {
		case q == nil:
		case p.LookupKind().Load:
			m.Loads[p.Ref] = Load{q.Pins[0].Amps, q.Power}
		case q.discharges():
			m.SupplyCurrent += math.Abs(q.Pins[0].Amps)
			m.SupplyPower -= q.Power
		}
		if q != nil && r.Solved {
			m.heats(p.Ref, heat(d, p, r)/float64(q.Count))
		}
		if p.Kind == "battery" {
			batteries = append(batteries, p)
		}
	}
	if len(batteries) == 1 && r.Solved {
		m.RunTime = runTime(d, batteries[0], r)
	}
	return m
}

// heat is what a part turns into heat: what it takes, less what a motor makes of
// it by turning.
func heat(d *model.Diagram, p *model.Part, r *Result) float64 {
	q := r.Parts[p.Ref]
	if p.Kind != "motor" {
		return q.Power
	}
	v, _ := d.Resolve(p, r.Set)
	return q.Power - v.Num("back_voltage")*q.Pins[0].Amps
}

// heats makes the part the hottest if it is.
func (m *ModeSummary) heats(ref string, watts float64) {
	if watts > m.HottestPower {
		m.Hottest, m.HottestPower = ref, watts
	}
}

// discharges reports whether the part is a battery or supply whose current
// leaves it at the pole that its voltage without load makes positive. One that
// is shorted discharges, though it delivers no power.
func (p *PartResult) discharges() bool {
	return -p.Pins[0].Amps*p.Figure("open_circuit_voltage") > 0
}

// runTime returns how many hours the battery lasts at what it delivers now.
func runTime(d *model.Diagram, p *model.Part, r *Result) float64 {
	values, _ := d.Resolve(p, r.Set)
	amps := -r.Parts[p.Ref].Pins[0].Amps / float64(p.Multiple())
	seconds, ok := model.RunTime(values, amps)
	if !ok || amps <= 0 {
		return math.NaN()
	}
	return seconds / 3600
}
