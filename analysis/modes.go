package analysis

import (
	"context"
	"maps"
	"math"
	"slices"

	"copperglass/model"
)

// ModeSummary is what a circuit does in one mode, in a few figures. All are
// NaN where the mode could not be solved.
type ModeSummary struct {
	Name          string // empty for a drawing without modes
	Result        *Result
	SupplyCurrent float64 // that all batteries and supplies that discharge send into the rest together, those in a row once, A
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
			m.SupplyPower -= q.Power
		}
		if q != nil && r.Solved {
			m.heats(p.Ref, heat(d, p, r)/float64(q.Count))
		}
		if p.Kind == "battery" {
			batteries = append(batteries, p)
		}
	}
	if r.Solved {
		m.SupplyCurrent = supplyCurrent(d, r)
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

// supplyCurrent is what all that discharges sends into the rest of the circuit,
// A: what the nets that join sources give more than they take back. What goes
// from one source into the next counts once, through switches, fuses and meters
// between them too.
func supplyCurrent(d *model.Diagram, r *Result) float64 {
	joined := joinedSources(d, r)
	out, sum := map[int]float64{}, 0.0
	for _, p := range d.Parts {
		if q := r.Parts[p.Ref]; q != nil && q.discharges() {
			for _, pin := range q.Pins {
				out[joined.root(pin.Net)] -= pin.Amps
			}
		}
	}
	for _, net := range slices.Sorted(maps.Keys(out)) {
		sum += max(out[net], 0)
	}
	return sum
}

// joinedSources takes nets for one that a switch, fuse or meter joins on the way
// from source to source, but not where that closes a ring of them: a short.
func joinedSources(d *model.Diagram, r *Result) forest {
	joined, reached := forest{}, forest{}
	each := func(wanted func(*model.Part, *PartResult) bool, do func(a, b int)) {
		for _, p := range d.Parts {
			if q := r.Parts[p.Ref]; q != nil && wanted(p, q) {
				do(q.Pins[0].Net, q.Pins[1].Net)
			}
		}
	}
	each(func(_ *model.Part, q *PartResult) bool { return q.discharges() }, func(a, b int) { reached.unite(a, b) })
	each(func(p *model.Part, q *PartResult) bool { return onlyJoins(p.Kind) && q.Pins[0].Amps != 0 }, func(a, b int) {
		if reached.unite(a, b) {
			joined.unite(a, b)
		}
	})
	return joined
}

// forest has the sets that numbers are united in: what each one points to.
type forest map[int]int

func (f forest) root(x int) int {
	for next, ok := f[x]; ok; next, ok = f[x] {
		x = next
	}
	return x
}

// unite reports whether a and b have not been in one set before.
func (f forest) unite(a, b int) bool {
	a, b = f.root(a), f.root(b)
	if a != b {
		f[a] = b
	}
	return a != b
}

// onlyJoins reports whether a kind is there to let current through.
func onlyJoins(kind string) bool {
	return slices.Contains([]string{"switch", "button", "fuse", "meter"}, kind)
}

// runTime returns how many hours the battery lasts at what it delivers now.
func runTime(d *model.Diagram, p *model.Part, r *Result) float64 {
	if !r.Solved {
		return math.NaN()
	}
	values, _ := d.Resolve(p, r.Set)
	if r.circuit != nil { // which a tracker moves
		values = r.circuit.byRef[p.Ref].values
	}
	amps := -r.Parts[p.Ref].Pins[0].Amps / float64(p.Multiple())
	seconds, ok := model.RunTime(values, amps)
	if !ok || amps <= 0 {
		return math.NaN()
	}
	return seconds / 3600
}
