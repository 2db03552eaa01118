package newton

import (
	"context"
	"errors"
	"math"
	"slices"

	"copperglass/analysis/sparse"
)

// Solve finds an x with F(x) = 0. It begins at start, unless that is empty,
// and falls back to the origin and then to ramps that lead from an easier
// system to the wanted one; whatever the way, the equations that x satisfies in
// the end are the system's own, without aid.
//
// Status says whether x is a solution; an x that is none is the last iterate.
func Solve(ctx context.Context, sys System, start Point, set Settings) (Point, Stats) {
	return NewSeries(sys, set).Solve(ctx, start)
}

// Series solves one system again and again, as the constants in it change. It
// keeps its workspace and the analysis of the matrix.
type Series struct {
	ctx    context.Context
	sys    System
	reach  func(i int) float64 // the system's
	set    Settings
	stats  Stats
	tried  []string // the ways from the origin that have been gone
	eq     Equations
	lu     *sparse.LU // nil until it is needed first
	solver solver     // lu, or its like of twice the precision
	fine   *sparse.Doubled
	x      Point
	start  Point // where a warm solution begins
	kept   Point // the best point while polishing
	good   Point // the last solved stage of a ramp
	begin  Point // where a stage begins
	from   Point // where a line search begins
	step   []float64
	next   []float64 // the step that would follow a trial of a line search
	pushed []float64 // the last push of each unknown in this attempt
	held   []bool
	isOpen []bool
	trifle float64 // the residual that is small enough on this way
	least  float64 // what an equation may be missed by, whatever adds up there
	strict bool    // whether pivots are chosen anew for each set of held unknowns
	fresh  bool    // whether equations and step are those at x, without aid
	// factored tells whether the factors are good for a step while polishing.
	factored bool
	settled  bool // whether equations are those at the solution last found
	revised  bool // whether they are those where the next solution begins
	// over is what the equations of held unknowns leave over.
	over    []float64
	anyOver bool // whether that is too much for a solution
}

// solver makes factors of a matrix and solves with them.
type solver interface {
	Factor(m *sparse.Matrix, held []bool) error
	SolveTo(dst, b []float64)
}

// NewSeries sets up for the system, whose pattern it asks for.
func NewSeries(sys System, set Settings) *Series {
	n := sys.Size()
	pattern := sparse.NewPattern(n)
	sys.Pattern(pattern)
	slopes := pattern.Matrix()
	vector := func() []float64 { return make([]float64, n) }
	return &Series{
		sys:    sys,
		reach:  sys.Reach,
		set:    set.withDefaults(),
		eq:     Equations{Residual: vector(), Terms: vector(), Slopes: slopes, rest: vector()},
		x:      NewPoint(n),
		start:  NewPoint(n),
		kept:   NewPoint(n),
		good:   NewPoint(n),
		begin:  NewPoint(n),
		from:   NewPoint(n),
		step:   vector(),
		next:   vector(),
		pushed: vector(),
		over:   vector(),
		held:   make([]bool, n),
		isOpen: make([]bool, n),
	}
}

// Adopt makes the series go by other settings from here on.
func (s *Series) Adopt(set Settings) { s.set = set.withDefaults() }

// Revise returns the equations at the solution last found, for the caller to
// bring up to date with what has changed in the system since. The next Solve,
// which then has to begin there, goes by them instead of evaluating them all. It
// returns nil where there was no solution.
func (s *Series) Revise() *Equations {
	s.revised = s.settled
	if !s.settled {
		return nil
	}
	return &s.eq
}

// Solve does what the function of that name does. The point is the series'
// own and holds until its next solution.
func (s *Series) Solve(ctx context.Context, start Point) (Point, Stats) {
	defer func() { s.settled, s.revised = s.stats.Status == Converged, false }()
	s.tried = s.tried[:0]
	if !s.begun(ctx) {
		return s.x, s.stats
	}
	if len(start.High) > 0 {
		s.start.CopyFrom(start)
		way := method{"Newton's method from the former solution", (*Series).warm, false}
		if s.set.Settle {
			way = method{"a charge at every node that settles from there", (*Series).settleFromStart, false}
		}
		if s.try(way) || s.set.Settle {
			return s.x, s.stats
		}
		if s.set.Near {
			s.try(method{"a charge at every node that settles from there", (*Series).settleFromStart, false})
			return s.x, s.stats
		}
	}
	s.tryAll()
	return s.x, s.stats
}

// Resume goes on where Solve, or a Resume after it, ended without a solution, or
// with one that does not serve: it goes those ways of other settings that have not
// been gone. The equations have to be the same yet.
func (s *Series) Resume(ctx context.Context, set Settings) (Point, Stats) {
	defer func() { s.settled, s.revised = s.stats.Status == Converged, false }()
	s.Adopt(set)
	if s.begun(ctx) {
		s.tryAll()
	}
	return s.x, s.stats
}

// begun makes ready to solve and reports whether the context leaves time for it.
func (s *Series) begun(ctx context.Context) bool {
	s.ctx, s.stats = ctx, Stats{Status: Exhausted, Method: s.stats.Method}
	if !s.order() {
		s.stats.Status = Cancelled
	}
	return s.stats.Status != Cancelled
}

// tryAll goes the ways from the origin that have not been gone, up to a solution.
// Where each leads does not depend on what has been factored before.
func (s *Series) tryAll() {
	for _, way := range s.ways() {
		if slices.Contains(s.tried, way.name) {
			continue
		}
		s.tried = append(s.tried, way.name)
		s.lu.Forget()
		if s.try(way) {
			return
		}
	}
}

// ways returns the ways from the origin, those that most systems need first.
// Ordinary arithmetic loses what leaks from a group of nodes beside the
// conductances within it, and Newton's method goes astray there; that is why twice
// the precision comes before the long ways.
func (s *Series) ways() []method {
	first := []method{
		{"Newton's method from stage to stage", (*Series).guessed, false},
		{"Newton's method", (*Series).direct, false},
	}
	fades := method{"a slight leak at every node that fades", (*Series).fadingLeak, false}
	settle := method{"a charge at every node that settles", (*Series).settle, false}
	search := method{"Newton's method with a line search", (*Series).searchFromOrigin, false}
	leak := method{"a leak at every node that is taken away in steps", (*Series).leakRamp, false}
	direct := method{"Newton's method in twice the precision", (*Series).direct, true}
	switch {
	case s.isHuge(): // where twice the precision takes too long
		first = append(first, fades)
	case s.isLarge():
		first = append(first, fades, direct)
	}
	switch {
	case s.set.Brief && s.isLarge():
		return append(first, settle, leak)
	case s.set.Brief:
		return append(first, search, leak)
	case s.set.Quick:
		return append(first, settle)
	}
	first = append(first, settle)
	if !s.isLarge() {
		first = append(first, direct)
	}
	if !s.isHuge() {
		first = append(first, method{fades.name + ", in twice the precision", (*Series).fadingLeak, true})
	}
	return append(first, search, leak,
		method{"sources that are raised in steps", (*Series).sourceRamp, false},
		method{"sources that are raised in steps, then a leak that is taken away", (*Series).bothRamps, false},
		method{"a charge at every node that settles slowly", (*Series).settleSlowly, false},
		method{"Newton's method from where polishing ended", (*Series).fromPolished, false})
}

// order chooses the order of elimination, unless that has been done, and reports
// whether it came to an end. Work on large matrices looks at the context on the
// way.
func (s *Series) order() bool {
	if s.lu == nil {
		s.lu, _ = sparse.NewInterruptible(s.eq.Slopes, func() error { return s.ctx.Err() })
		if s.lu != nil {
			s.lu.Holdable = s.nodes()
		}
	}
	return s.lu != nil
}

// nodes returns how many unknowns are voltages of nodes.
func (s *Series) nodes() int {
	if sys, ok := s.sys.(noded); ok {
		return sys.Nodes()
	}
	return 0
}

// method is one way to a solution.
type method struct {
	name string
	run  func(*Series) Status
	fine bool // whether it factors in twice the precision
}

// beginWay makes ready for a way from the origin.
func (s *Series) beginWay(way method) {
	s.stats.Method, s.solver, s.trifle = way.name, s.lu, s.set.Least
	if s.strict = !s.isLarge(); way.fine {
		s.refine()
		s.trifle /= float64(s.nodes() + 1) // all may meet at the reference
	}
	clear(s.x.High)
	clear(s.x.Low)
}

// refine goes on in twice the precision.
func (s *Series) refine() {
	if s.fine == nil {
		s.fine = s.lu.Doubled()
	}
	s.solver, s.strict = s.fine, true
}

// isStrict reports whether an attempt begins with pivots chosen anew for each set
// of held unknowns.
func (s *Series) isStrict() bool { return !s.isLarge() || s.solver != s.lu }

func (s *Series) direct() Status {
	return s.attemptTo(Aid{}, goal{share: nearby, iterations: s.set.Direct, wary: true})
}

// guessed begins where the system says, if it does.
func (s *Series) guessed() Status {
	g, ok := s.sys.(Guesser)
	if !ok || !g.Guess(s.ctx, s.x, &s.eq) {
		return Exhausted
	}
	return s.direct()
}

func (s *Series) warm() Status {
	s.x.CopyFrom(s.start)
	return s.direct()
}

// fromPolished goes on from the last point that looked like a solution.
func (s *Series) fromPolished() Status {
	s.x.CopyFrom(s.kept)
	return s.direct()
}

func (s *Series) searchFromOrigin() Status { return s.search(Aid{}, s.set.Direct) }

// try goes one way from the origin, or where it puts x itself, polishes what it
// finds and reports whether that is the end of it.
func (s *Series) try(way method) bool {
	s.beginWay(way)
	s.stats.Status = way.run(s)
	if s.stats.Status == Converged {
		s.stats.Status = s.polish()
	}
	return s.stats.Status == Converged || s.stats.Status == Cancelled
}

// nearby is the relative step below which an iterate is close enough for
// Newton's method to go on without safeguards.
const nearby = 1e-5

const (
	// boldSteps is how many full steps an attempt takes. It takes half steps
	// after that, which end most cycles, until they are tame.
	boldSteps = 11
	// tame is the relative step below which full steps are taken again.
	tame = 1e-2
	// sparsePivots is the share that keeps the factors sparse on the way.
	sparsePivots = 1e-6
)

// goal says when an attempt ends: with steps below a relative share, or after so
// many iterations; a wary one, after the bold steps, where unknowns are held yet,
// and any but a patient one where they have to be pushed.
type goal struct {
	share         float64
	iterations    int
	wary, patient bool
}

// large is from how many unknowns on a system is large: where many are held,
// choosing pivots for each set of them, and pushing them, takes too long.
const large = 300

// IsLarge reports whether a system is solved in the ways of the large, of which
// those for Settings.Brief include those for Settings.Quick.
func IsLarge(sys System) bool { return sys.Size() >= large }

func (s *Series) isLarge() bool { return IsLarge(s.sys) }

// huge is from how many unknowns on not even the last stage of a ramp can wait
// for unknowns that are pushed.
const huge = 3000

func (s *Series) isHuge() bool { return s.sys.Size() >= huge }

// attemptTo iterates from x under an aid. In a large system it gives up where
// after the bold steps unknowns are pushed yet.
func (s *Series) attemptTo(a Aid, g goal) Status {
	s.beBold()
	clear(s.pushed)
	for i := range g.iterations {
		switch {
		case s.ctx.Err() != nil:
			return Cancelled
		case s.isSpent():
			return Exhausted
		}
		s.stats.Iterations++
		if !s.revised {
			s.sys.Evaluate(s.x, a, &s.eq)
		}
		s.revised = false
		a.Devices = Limited
		if status := s.findPush(); status != Converged {
			return status
		}
		if i >= boldSteps && s.isLarge() && !g.patient && (s.anyOver || g.wary && slices.Contains(s.held, true)) {
			return Exhausted
		}
		if i >= boldSteps && (s.eq.Limited || !s.smallStep(tame)) {
			s.halveStep()
		}
		isRough := g.share > nearby || i >= boldSteps
		solved := !s.eq.Limited && !s.anyOver && (s.smallStep(g.share) || isRough && s.eq.beyond(s.set.Residual, s.trifle) <= 1)
		s.stay()
		s.x.move(s.step, s.reach)
		if solved {
			return Converged
		}
	}
	return Exhausted
}

// beBold makes ready for steps on the way to a solution. In a large system pivots
// are kept whatever is held, until that misleads; in a huge one from there to the
// end of that way.
func (s *Series) beBold() {
	s.lu.DiagonalShare, s.least = sparsePivots, s.trifle
	if !s.isHuge() {
		s.strict = s.isStrict()
	}
}

// isSpent reports whether there have been as many iterations as are allowed.
func (s *Series) isSpent() bool { return s.set.Most > 0 && s.stats.Iterations >= s.set.Most }

// findStep solves F'(x)·step = −F(x). Unknowns that nothing determines at x
// are held where they are; what their equations then leave over is in s.over.
func (s *Series) findStep() Status {
	if status := s.factor(); status != Converged {
		return status
	}
	return s.findFactoredStep()
}

// credible is how far a step may miss an equation that it is to solve, beside
// what adds up there.
const credible = 1e-2

// findFactoredStep finds the step by the factors that are there.
func (s *Series) findFactoredStep() Status {
	s.solve(func(int) float64 { return 0 })
	if !s.strict && s.lu.Steep() && !s.eq.fulfilled(s.step, s.least, s.held) {
		s.strict = true
		return s.findStep()
	}
	s.anyOver = false
	if !slices.Contains(s.held, true) {
		return Converged
	}
	s.eq.Slopes.MulTo(s.over, s.step)
	for i, held := range s.held {
		s.over[i] += s.eq.Residual[i]
		s.anyOver = s.anyOver || held && math.Abs(s.over[i]) > s.trifle
	}
	return Converged
}

// findPush does the same, but moves the unknowns that are held the way that
// what is left over pulls.
func (s *Series) findPush() Status {
	if status := s.findStep(); status != Converged || !s.anyOver {
		return status
	}
	s.solve(s.push)
	return Converged
}

// solve solves for the step with the held unknowns moved by what push says.
func (s *Series) solve(push func(i int) float64) {
	for i, f := range s.eq.Residual {
		s.step[i] = -f
		if s.held[i] {
			s.step[i] = push(i)
		}
	}
	s.solver.SolveTo(s.step, s.step)
}

// factor factors F'(x), with the unknowns held that nothing determines: at once
// where each has an equation of its own to give up, unless steps by such factors
// have missed the equations.
func (s *Series) factor() Status {
	if !s.strict {
		err := s.lu.FactorHolding(s.eq.Slopes, s.held)
		if _, isOpen := err.(*sparse.Singular); !isOpen {
			return ended(err)
		}
		s.strict = true
	}
	for clear(s.held); ; {
		err := s.solver.Factor(s.eq.Slopes, s.held)
		if err == nil {
			return Converged
		}
		var open *sparse.Singular
		switch isOpen := errors.As(err, &open); {
		case !isOpen:
			return Cancelled
		case !s.hold(open.Unknowns):
			return Singular
		}
	}
}

// ended is the status of factors that were made, or not made to the end.
func ended(err error) Status {
	if err != nil {
		return Cancelled
	}
	return Converged
}

const (
	// firstPush and farthestPush bound a push, in floors of the unknown.
	firstPush, farthestPush = 250, 1e6
)

// push moves an unknown that nothing determines at x, though its equation is
// not satisfied, the way the residual pulls: a node between junctions that are
// all reversed drifts until one of them takes the current. It goes twice as
// far each time, and half as far when it has to turn round.
func (s *Series) push(i int) float64 {
	f := s.over[i]
	switch last := s.pushed[i]; {
	case math.Abs(f) <= s.trifle:
		return 0
	case last == 0:
		s.pushed[i] = -math.Copysign(firstPush*s.sys.Floor(i), f)
	case last*f < 0:
		s.pushed[i] = math.Copysign(min(2*math.Abs(last), farthestPush*s.sys.Floor(i)), last)
	default:
		s.pushed[i] = -last / 2
	}
	return s.pushed[i]
}

// hold holds the unknowns and reports whether that was new of all of them.
func (s *Series) hold(unknowns []int) bool {
	for _, i := range unknowns {
		if s.held[i] {
			return false
		}
		s.held[i] = true
	}
	return true
}

// stay keeps unknowns where they are that would go beyond reach for the sake
// of a residual that is small enough: nothing but leakage determines them.
func (s *Series) stay() {
	for i, f := range s.eq.Residual {
		if math.Abs(f) <= s.trifle && math.Abs(s.x.High[i]+s.step[i]) > s.reach(i) {
			s.step[i] = 0
		}
	}
}

func (s *Series) halveStep() {
	for i := range s.step {
		s.step[i] /= 2
	}
}

func (s *Series) smallStep(share float64) bool {
	for i := range s.step {
		if !s.small(i, share) {
			return false
		}
	}
	return true
}

// small reports whether the step of unknown i is below a share of it.
func (s *Series) small(i int, share float64) bool {
	return math.Abs(s.step[i]) <= share*max(math.Abs(s.x.High[i]), s.sys.Floor(i))
}
