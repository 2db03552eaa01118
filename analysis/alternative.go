package analysis

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"

	"copperglass/analysis/newton"
	"copperglass/model"
)

const (
	// forcing is the conductance in siemens that forces a transistor.
	forcing = 10
	// mostWork bounds the search for other states, in iterations times unknowns, so
	// that it takes some tenths of a second at most, mostWorkOfOne a part of
	// a try.
	mostWork, mostWorkOfOne = 250e3, 100e3
	// leastOfOne is how many iterations it may take all the same.
	leastOfOne = 150
	// apart is by how many volts some net must differ between two operating
	// points, beside a thousandth of its voltage.
	apart = 0.01
	// mostTries bounds how often the circuit is forced and left to settle;
	// fewTries where there are more transistors than are forced, and with them
	// more states than could be shown.
	mostTries, fewTries = 96, 8
)

// survey looks for the stable states of a circuit whose transistors may hold
// each other: a latch or a trigger stays in the one it was last in.
//
// Each transistor in turn is forced into the opposite of what it does, by a
// short circuit of its control or of its switched path, and the circuit is left
// to settle from there; then the same is done with what was found. That is a
// search, not a proof that there are no more.
type survey struct {
	ctx  context.Context
	base *Result // for mode, settings, nets and notes
	held []*part // of circuit
	*circuit
	series      *newton.Series // solves the circuit with the forces in it
	forces      []*forces      // by transistor that may be forced
	disturbance *disturbance   // of the same equations
	tries       int
	work        float64 // iterations times unknowns so far
	stopped     bool    // whether the search ended before it was through
}

// forces are what may force a part's transistor to do otherwise than it does. They
// are in the circuit only while it is being solved.
type forces struct {
	part              *part
	switched, control *conductor
	own, all          []element // of the part, without these and with them
}

// latch returns r, if it is stable, or else a stable state near it. Without a
// start, or where a survey is wanted, it finds the other stable states too, and
// returns the one asked for. The error is of a state that there is not, or the
// context's.
func (r *Result) latch(ctx context.Context, d *model.Diagram, o Options) (*Result, error) {
	r.latches = len(r.circuit.feedbackUntil(ctx)) > 0
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	if !r.latches {
		return r, noState(o.State, 1)
	}
	s := newSurvey(ctx, d, r)
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	one := s.stable(r)
	all := []*Result{one}
	if o.Start == nil && !o.Alone || o.State > 0 || o.Survey {
		all = s.search(one)
		enumerate(all, s.stopped)
		if err := noState(o.State, len(all)); err != nil && ctx.Err() == nil {
			return nil, err
		}
		switch {
		case o.State > 0 && ctx.Err() == nil:
			one = all[o.State-1]
		case o.Start == nil:
			one = all[0]
		}
	}
	for _, r := range all {
		s.noteSwing(r)
	}
	return one, ctx.Err()
}

func noState(wanted, count int) error {
	switch {
	case wanted < 0:
		return fmt.Errorf("stable states are numbered from 1, and %d is none of them", wanted)
	case wanted <= count:
		return nil
	case count == 1:
		return fmt.Errorf("there is no stable state %d: one was found and no more", wanted)
	}
	return fmt.Errorf("there is no stable state %d: those from 1 to %d were found", wanted, count)
}

// newSurvey builds the circuit of a drawing again that has been solved before; nil
// where the context ends.
func newSurvey(ctx context.Context, d *model.Diagram, r *Result) *survey {
	c, _ := compileUntil(ctx, d, r.Nets, r.Set, &stock{})
	if ctx.Err() != nil {
		return nil
	}
	fixed, _ := c.reference()
	c.strandedSources(ctx)
	c.keepGates(r.circuit)
	s := &survey{ctx: ctx, base: r, circuit: c, held: c.feedbackUntil(ctx)}
	for _, p := range s.held {
		s.forces = append(s.forces, newForces(p))
	}
	s.attach()
	defer s.detach()
	system := newSystemUntil(ctx, c, fixed)
	s.series = newton.NewSeries(system, newton.Settings{})
	s.disturbance = newDisturbance(system)
	s.release()
	return s
}

// attach puts the forces into the circuit, detach takes them out.
func (s *survey) attach() {
	for _, f := range s.forces {
		f.part.elements = f.all
	}
}

func (s *survey) detach() {
	for _, f := range s.forces {
		f.part.elements = f.own
	}
}

// release makes all forces carry nothing.
func (s *survey) release() {
	for _, f := range s.forces {
		f.switched.siemens, f.control.siemens = 0, 0
	}
}

// isSpent reports whether the search has had its share of work.
func (s *survey) isSpent() bool { return s.work >= mostWork }

// stable returns r if it is stable, or else a stable state that the circuit
// falls into from there; r where none is found, which then swings.
func (s *survey) stable(r *Result) *Result {
	x := s.startAt(r)
	push := s.growth(x)
	if push == nil {
		return r
	}
	if other := s.fall(s.beside(r, x, push)); other != nil {
		return other.after(r)
	}
	for _, p := range s.held {
		if s.ctx.Err() != nil {
			return r
		}
		if other := s.fall(s.force(r, p)); other != nil {
			return other.after(r)
		}
	}
	r.swings = true
	return r
}

// fall returns the stable state that r leads to, or r if it is one: where there
// are several latches, one after the other may have to fall, and one that goes back
// into its balance is forced out of it. It returns nil where that comes to no end.
func (s *survey) fall(r *Result) *Result {
	for range len(s.held) + 1 {
		if r == nil {
			return nil
		}
		push := s.growth(r.point)
		if push == nil {
			return r
		}
		r = s.leave(r, push)
	}
	return nil
}

// leave returns where the circuit goes from r when it is pushed along v, nil where
// it comes back.
func (s *survey) leave(r *Result, v []float64) *Result {
	if other := s.beside(r, r.point, v); other != nil {
		return other
	}
	if other := s.force(r, s.mostDriven(v)); other != nil && !isAmong(other, []*Result{r}) {
		return other
	}
	return nil
}

// beside returns where the circuit settles from beside r, whose unknowns stand
// at x, when it is pushed along v; nil where that leads nowhere else.
func (s *survey) beside(r *Result, x newton.Point, v []float64) *Result {
	for _, volts := range []float64{0.01, -0.01, 0.1, -0.1, 1, -1} {
		if s.ctx.Err() != nil {
			return nil
		}
		if other := s.settle(pushed(x, v, volts)); other != nil && !isAmong(other, []*Result{r}) {
			return other
		}
	}
	return nil
}

// after says that r was found from an operating point that cannot last.
func (r *Result) after(balance *Result) *Result {
	r.Method = balance.Method + ", which led to a balance that cannot last, then " + r.Method
	r.Iterations += balance.Iterations
	return r
}

func refs(parts []*part) []string {
	names := make([]string, len(parts))
	for i, p := range parts {
		names[i] = p.Ref
	}
	return names
}

// search returns the stable states that are found from one, which is the first
// of them.
func (s *survey) search(one *Result) []*Result {
	all := []*Result{one}
	most := mostTries
	if s.stopped = len(s.held) > mostForced; s.stopped {
		most = fewTries
	}
	for i := 0; i < len(all); i++ {
		for _, p := range s.held[:min(len(s.held), mostForced)] {
			if s.tries++; s.tries > most || s.isSpent() || s.ctx.Err() != nil {
				s.stopped = true
				return all
			}
			if other := s.force(all[i], p); other != nil && !isAmong(other, all) {
				if other = s.fall(other); other == nil || isAmong(other, all) {
					continue
				}
				all = append(all, other)
			}
		}
	}
	return all
}

// newForces returns the conductors that make the part's transistor carry what it
// does not, or nothing, once they conduct.
func newForces(p *part) *forces {
	between := func(a, b terminal) *conductor { return &conductor{ends: ends{a: a, b: b}, siemens: forcing} }
	f := &forces{part: p, own: p.elements}
	for _, e := range p.elements {
		switch q := e.(type) {
		case *bipolar:
			f.switched, f.control = between(q.collector, q.emitter), between(q.base, q.emitter)
		case *fieldEffect:
			f.switched, f.control = between(q.drain, q.source), between(q.gate, q.source)
		}
	}
	f.all = append(slices.Clip(p.elements), f.switched, f.control)
	return f
}

// force returns where the circuit settles once p is no longer forced out of
// what it does in r; nil where it does not.
func (s *survey) force(r *Result, p *part) *Result {
	f := s.forces[slices.Index(s.held, p)]
	if r.Parts[p.Ref].State == CutOff {
		f.switched.siemens = forcing
	} else {
		f.control.siemens = forcing
	}
	x, stats := s.solve(s.startAt(r), newton.Settings{Near: true, Direct: 40}) // other latches stay as they are
	s.release()
	if stats.Status != newton.Converged {
		return nil
	}
	other := s.settle(x)
	if other != nil {
		other.Method = p.Ref + " forced to do otherwise, then let go, and " + other.Method
		other.Iterations += stats.Iterations
	}
	return other
}

// solve solves the circuit with the forces as they are. One order serves for all.
func (s *survey) solve(start newton.Point, set newton.Settings) (newton.Point, newton.Stats) {
	s.attach()
	defer s.detach()
	set.Most = max(leastOfOne, int(mostWorkOfOne/float64(s.unknowns)))
	s.series.Adopt(set)
	x, stats := s.series.Solve(s.ctx, start)
	s.work += float64(stats.Iterations * s.unknowns)
	return x.Clone(), stats
}

// settle returns where the circuit settles from x, nil where it does not.
func (s *survey) settle(x newton.Point) *Result {
	settled, stats := s.solve(x, newton.Settings{Settle: true})
	if stats.Status != newton.Converged {
		return nil
	}
	b := s.base
	r := &Result{Mode: b.Mode, Set: b.Set, Nets: b.Nets, Method: stats.Method, Iterations: stats.Iterations, notes: b.notes, latches: true}
	r.blank(s.ctx, s.circuit)
	if within := r.report(s.ctx, s.circuit, settled, stats.Open); s.ctx.Err() != nil || r.verify(within).stop() {
		return nil
	}
	r.Solved, r.Faults = true, append(slices.Clone(b.notes), s.openFaults(stats.Open)...).sorted()
	return r
}

// isAmong reports whether r is one of the results, as far as voltages tell.
func isAmong(r *Result, results []*Result) bool {
	return slices.ContainsFunc(results, func(q *Result) bool { return mostApart(r, q) < 0 })
}

// mostApart returns the net whose voltage differs most between two operating
// points, −1 where none does to speak of.
func mostApart(r, q *Result) int {
	most, at := 0.0, -1
	for n, v := range r.Volts {
		if d := math.Abs(v - q.Volts[n]); d > apart+1e-3*math.Abs(v) && d > most {
			most, at = d, n
		}
	}
	return at
}

// enumerate numbers the states and makes each know the others. State 1 is that in
// which the first transistor that tells them apart, in natural order of names,
// conducts best: saturated before active before reverse before cut off. Where
// no transistor tells, the voltages do, higher before lower. There may be more
// where the search was stopped.
func enumerate(all []*Result, stopped bool) {
	for _, r := range all {
		r.MayBeMore = stopped
	}
	if len(all) < 2 {
		return
	}
	names := transistors(all[0])
	slices.SortStableFunc(all, func(a, b *Result) int {
		for _, ref := range names {
			if c := cmp.Compare(rank(a.Parts[ref].State), rank(b.Parts[ref].State)); c != 0 {
				return c
			}
		}
		if n := mostApart(a, b); n >= 0 {
			return cmp.Compare(b.Volts[n], a.Volts[n])
		}
		return 0
	})
	for i, r := range all {
		r.Number = i + 1
		r.Others = slices.Delete(slices.Clone(all), i, i+1)
	}
}

func rank(s State) int { return slices.Index([]State{Saturated, Active, Reverse, CutOff}, s) }

// transistors returns the names of the parts with a state, in natural order.
func transistors(r *Result) []string {
	var names []string
	for ref, p := range r.Parts {
		if p.State != "" {
			names = append(names, ref)
		}
	}
	return sortedNames(names)
}

// States returns all stable states that were found, r among them, in the order
// of their numbers; nil where there is no other.
func (r *Result) States() []*Result {
	if len(r.Others) == 0 {
		return nil
	}
	return slices.Insert(slices.Clone(r.Others), r.Number-1, r)
}

// TellApart returns the transistors that do not do the same in all the states,
// in natural order.
func TellApart(all []*Result) []string {
	return slices.DeleteFunc(transistors(all[0]), func(ref string) bool {
		return !slices.ContainsFunc(all, func(r *Result) bool { return r.Parts[ref].State != all[0].Parts[ref].State })
	})
}
