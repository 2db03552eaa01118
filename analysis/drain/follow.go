package drain

import (
	"errors"
	"fmt"
	"math"

	"copperglass/analysis"
	"copperglass/model/quantity"
)

// pace is how small the steps are.
type pace struct {
	tolerance float64 // error of a fraction in one step
	stride    float64 // the most that a fraction may move in one step
	moment    float64 // part of a step to which an end is found
}

var (
	exact = pace{1e-10, 0.02, 1e-9}
	rough = pace{1e-6, 0.1, 1e-4}
)

const mostSteps = 20_000

// follow integrates until the run is over.
func (r *runner) follow() error {
	n := len(r.batteries)
	y := append(r.start(), make([]float64, n+4)...)
	slope, err := r.flow(y)
	if err != nil {
		return err
	}
	if err := r.record(0, y); err != nil {
		return err
	}
	seconds, h := 0.0, r.stride/largest(slope[:n])/100
	for range mostSteps {
		if over, err := r.over(seconds, y); over || err != nil {
			r.keepBooks(y)
			return err
		}
		h = min(h, r.stride/largest(slope[:n]), horizon-seconds)
		s, err := r.accepted(y, slope, h)
		if err != nil {
			return err
		}
		if err := r.events(seconds, s); err != nil {
			return err
		}
		seconds += s.seconds
		y, slope = s.to, s.after
		h = s.seconds * r.longer(s.deviation)
		if err := r.record(seconds, y); err != nil {
			return err
		}
		if r.markEmpty(y) && !r.allEmpty() {
			if slope, err = r.restart(seconds, y); err != nil {
				return err
			}
		}
	}
	return errors.New("the discharge takes too many steps; report this drawing")
}

// restart records the point behind the jump of a battery that has just become
// empty and returns the slope from there.
func (r *runner) restart(seconds float64, y []float64) ([]float64, error) {
	if err := r.record(seconds, y); err != nil {
		return nil, err
	}
	if err := r.noteReversed(seconds, y); err != nil {
		return nil, err
	}
	return r.flow(y)
}

// noteReversed says of each empty battery that others drive current on through
// it and turn its poles round.
func (r *runner) noteReversed(seconds float64, y []float64) error {
	const worthSaying = 0.01 // V
	result, err := r.solve(r.shown, y[:len(r.batteries)])
	if err != nil {
		return err
	}
	for _, b := range r.batteries {
		if volts := b.volts(result); b.empty && !b.reversed && volts < -worthSaying {
			b.reversed = true
			r.out.Notes = append(r.out.Notes, fmt.Sprintf("%s is empty after %.3g h; the others then drive %s on through it and turn its poles round, %s the wrong way; cells that this is done to leak",
				b.ref, seconds/3600, quantity.Short(b.amps(result), quantity.Ampere), quantity.Short(-volts, quantity.Volt)))
		}
	}
	return nil
}

// largest is the largest magnitude among x.
func largest(x []float64) float64 {
	most := 0.0
	for _, v := range x {
		most = max(most, math.Abs(v))
	}
	return most
}

// longer is the factor by which the next step may be longer or must be shorter.
func (p pace) longer(deviation float64) float64 {
	return min(5, max(0.1, 0.9*math.Pow(p.tolerance/max(deviation, 1e-30), 0.2)))
}

// accepted returns a step that is exact enough and takes no battery beyond its
// last charge.
func (r *runner) accepted(y, slope []float64, h float64) (step, error) {
	n := len(r.batteries)
	for {
		s, err := advance(r.flow, y, slope, h, n)
		if err != nil {
			return s, err
		}
		ratio := r.untilEmpty(s)
		switch {
		case s.deviation > r.tolerance && h > 1e-6:
			h *= r.longer(s.deviation)
		case ratio < 1-1e-12:
			h *= ratio
		default:
			return s, nil
		}
	}
}

// untilEmpty is the part of the step after which a battery is empty, at most 1.
func (r *runner) untilEmpty(s step) float64 {
	ratio := 1.0
	for i, b := range r.batteries {
		if over := s.to[i] - 1; !b.empty && over > 1e-13 {
			ratio = min(ratio, (1-s.from[i])/(s.to[i]-s.from[i]))
		}
	}
	return ratio
}

// markEmpty marks the batteries that have just become empty, and reports
// whether there are any.
func (r *runner) markEmpty(y []float64) bool {
	any := false
	for i, b := range r.batteries {
		if !b.empty && y[i] >= 1-1e-12 {
			b.empty, any, y[i] = true, true, 1
		}
	}
	return any
}

// over reports whether the run is over: no battery is of use any more. It notes
// how long each one was, and why what is followed came to its end.
func (r *runner) over(seconds float64, y []float64) (bool, error) {
	over := true
	for _, b := range r.batteries {
		if b.ends.Until != "" || !b.gives() {
			continue
		}
		stop, err := r.stops(b, seconds, y)
		if err != nil {
			return true, err
		}
		if stop != "" {
			b.ends.Hours, b.ends.Until = seconds/3600, End(stop)
		}
		over = over && stop != ""
	}
	r.stopFollowing(seconds)
	return over && r.out.Stop != "", nil
}

// stops says why a battery is of no use any more, "" where it is.
func (r *runner) stops(b *battery, seconds float64, y []float64) (Stop, error) {
	if b.empty {
		return Empty, nil
	}
	if seconds >= horizon {
		return Horizon, nil
	}
	result, err := r.solve(b.heaviest, y[:len(r.batteries)])
	if err == nil && b.amps(result) <= faint*b.first {
		return Faint, nil
	}
	return "", err
}

// stopFollowing notes why what is followed came to its end: not before all
// batteries in its row are empty, as the others drive on what the first leaves.
func (r *runner) stopFollowing(seconds float64) {
	p := r.out.Points[len(r.out.Points)-1]
	switch {
	case r.out.Stop != "":
	case r.rowEmpty():
		r.out.Stop = Empty
	case seconds >= horizon:
		r.out.Stop = Horizon
	case p.Amps < 0 || r.firstAmps > 0 && p.Amps <= faint*r.firstAmps:
		r.out.Stop = Faint
	}
}

func (r *runner) rowEmpty() bool {
	for _, b := range r.batteries {
		if b.row && !b.empty {
			return false
		}
	}
	return true
}

func (r *runner) allEmpty() bool {
	for _, b := range r.batteries {
		if !b.empty {
			return false
		}
	}
	return true
}

// record adds the point at that time, until what is followed has come to its
// end.
func (r *runner) record(seconds float64, y []float64) error {
	if r.out.Stop != "" {
		return nil
	}
	result, err := r.solve(r.shown, y[:len(r.batteries)])
	if err != nil {
		return err
	}
	b := r.batteries[r.main]
	p := Point{Hours: seconds / 3600, ChargeLeft: left(y[r.main]), Volts: b.volts(result), Amps: b.amps(result), Light: r.lightOf(result), Left: map[string]float64{}}
	for i, b := range r.batteries {
		p.Left[b.ref] = left(y[i])
	}
	r.out.Points = append(r.out.Points, p)
	return nil
}

func left(used float64) float64 { return max(0, 1-used) }

// volts is the voltage at the battery's poles.
func (b *battery) volts(result *analysis.Result) float64 {
	pins := result.Parts[b.ref].Pins
	return result.Volts[pins[0].Net] - result.Volts[pins[1].Net]
}

func (r *runner) keepBooks(y []float64) {
	n := len(r.batteries)
	books := Books{Charge: map[string]float64{}, Energy: y[2*n], Heat: y[2*n+1], Delivered: y[2*n+2], Taken: y[2*n+3]}
	for i, b := range r.batteries {
		books.Charge[b.ref] = y[n+i]
	}
	r.out.Books = books
}
