package newton

import (
	"context"
	"math"
	"testing"

	"copperglass/analysis/sparse"
)

// equations is a System given by a function that sets residuals, their largest
// terms and the dense derivative.
type equations struct {
	n        int
	set      func(x []float64, a Aid, f, terms []float64, slopes [][]float64) (limited bool)
	slots    [][]int
	slopes   [][]float64
	evaluate func() // called at each evaluation, if not nil
}

func (q *equations) Size() int         { return q.n }
func (q *equations) Floor(int) float64 { return 1e-3 }
func (q *equations) Reach(int) float64 { return 1e6 }
func (q *equations) Pattern(p *sparse.Pattern) {
	for i := range q.n {
		q.slots = append(q.slots, nil)
		q.slopes = append(q.slopes, make([]float64, q.n))
		for j := range q.n {
			q.slots[i] = append(q.slots[i], p.Entry(i, j))
		}
	}
}

func (q *equations) Evaluate(x Point, a Aid, e *Equations) {
	if q.evaluate != nil {
		q.evaluate()
	}
	at := make([]float64, q.n)
	for i := range at {
		at[i] = x.High[i] + x.Low[i]
	}
	clear(e.Residual)
	clear(e.Terms)
	e.Limited = q.set(at, a, e.Residual, e.Terms, q.slopes)
	for i, row := range q.slots {
		for j, s := range row {
			e.Slopes.Values[s] = q.slopes[i][j]
			if i == j {
				e.Slopes.Values[s] += a.Leak
			}
		}
		e.Residual[i] += a.Leak * at[i]
	}
}

var _ System = (*equations)(nil)

func point(x ...float64) Point { return Point{x, make([]float64, len(x))} }

// x² = 2 and x·y = 1 from (1, 1).
func TestTwoEquations(t *testing.T) {
	q := &equations{n: 2, set: func(x []float64, _ Aid, f, terms []float64, d [][]float64) bool {
		f[0], terms[0] = x[0]*x[0]-2, 2
		f[1], terms[1] = x[0]*x[1]-1, 1
		d[0][0], d[0][1], d[1][0], d[1][1] = 2*x[0], 0, x[1], x[0]
		return false
	}}
	x, stats := Solve(context.Background(), q, point(1, 1), Settings{})
	if stats.Status != Converged || len(stats.Open) > 0 {
		t.Fatalf("%+v", stats)
	}
	for i, want := range []float64{math.Sqrt2, 1 / math.Sqrt2} {
		if math.Abs(x.High[i]-want) > 1e-15 {
			t.Errorf("x[%d] = %.17g, want %.17g", i, x.High[i], want)
		}
	}
	if stats.Residual > 1e-15 || stats.Iterations < 4 || stats.Iterations > 8 {
		t.Errorf("%+v", stats)
	}
}

// From far off Newton's method runs away on arctan(x) = 0.1; sources, here the
// right-hand side, that are raised in steps do not.
func TestRampsHelp(t *testing.T) {
	q := &equations{n: 1, set: func(x []float64, a Aid, f, terms []float64, d [][]float64) bool {
		y := 200*x[0] - 300*(1-a.Slack)
		f[0], terms[0] = math.Atan(y)+1.2*(1-a.Slack), 1.2
		d[0][0] = 200 / (1 + y*y)
		return false
	}}
	x, stats := Solve(context.Background(), q, Point{}, Settings{})
	if stats.Status != Converged || stats.Method == "Newton's method" {
		t.Fatalf("%+v", stats)
	}
	if want := (300 + math.Tan(-1.2)) / 200; math.Abs(x.High[0]-want) > 1e-9 {
		t.Errorf("x = %g, want %g", x.High[0], want)
	}
}

// An equation without a solution ends after a bounded number of evaluations.
func TestNoSolution(t *testing.T) {
	count := 0
	q := &equations{n: 1, evaluate: func() { count++ }, set: func(x []float64, _ Aid, f, terms []float64, d [][]float64) bool {
		f[0], terms[0], d[0][0] = x[0]*x[0]+1, 1, 2*x[0]
		return false
	}}
	_, stats := Solve(context.Background(), q, point(0.7), Settings{})
	if stats.Status == Converged {
		t.Errorf("%+v", stats)
	}
	if most := 40_000; count > most {
		t.Errorf("%d evaluations, want at most %d", count, most)
	}
}

// Not a number anywhere is no solution.
func TestNotANumber(t *testing.T) {
	q := &equations{n: 1, set: func(x []float64, _ Aid, f, terms []float64, d [][]float64) bool {
		f[0], terms[0], d[0][0] = math.NaN(), math.NaN(), math.NaN()
		return false
	}}
	if _, stats := Solve(context.Background(), q, Point{}, Settings{}); stats.Status == Converged {
		t.Errorf("%+v", stats)
	}
}

// Where the third equation says nothing its unknown is left where it was, and
// named, together with the fourth, which follows it.
func TestOpenUnknowns(t *testing.T) {
	q := &equations{n: 4, set: func(x []float64, _ Aid, f, terms []float64, d [][]float64) bool {
		f[0], terms[0], d[0][0] = 2*x[0]-6, 6, 2
		f[1], terms[1], d[1][1], d[1][0] = x[1]-x[0], math.Abs(x[0]), 1, -1
		f[3], terms[3], d[3][3], d[3][2] = x[3]-x[2], math.Abs(x[2]), 1, -1
		return false
	}}
	x, stats := Solve(context.Background(), q, Point{}, Settings{})
	if stats.Status != Converged || len(stats.Open) != 2 || stats.Open[0] != 2 || stats.Open[1] != 3 {
		t.Fatalf("%+v", stats)
	}
	if x.High[0] != 3 || x.High[1] != 3 {
		t.Errorf("the rest is %v", x.High)
	}
}

// Two unknowns that agree to twelve digits: their difference keeps its own.
func TestDifferenceKeepsItsDigits(t *testing.T) {
	const small = 1.234567890123456e-12
	sum := &differences{small}
	x, stats := Solve(context.Background(), sum, Point{}, Settings{})
	if stats.Status != Converged {
		t.Fatalf("%+v", stats)
	}
	got := (x.High[0] - x.High[1]) + (x.Low[0] - x.Low[1])
	if math.Abs(got-small) > 1e-15*small {
		t.Errorf("the difference is %.17g, want %.17g", got, small)
	}
}

// differences is x₀ = 5, x₀ − x₁ = small.
type differences struct{ small float64 }

func (*differences) Size() int         { return 2 }
func (*differences) Floor(int) float64 { return 1e-3 }
func (*differences) Reach(int) float64 { return 10 }
func (*differences) Pattern(p *sparse.Pattern) {
	p.Entry(0, 0)
	p.Entry(1, 0)
	p.Entry(1, 1)
}
func (q *differences) Evaluate(x Point, _ Aid, e *Equations) {
	e.Residual[0], e.Terms[0] = x.High[0]-5+x.Low[0], 5
	e.Residual[1] = (x.High[0] - x.High[1]) + (x.Low[0] - x.Low[1]) - q.small
	e.Terms[1] = q.small
	copy(e.Slopes.Values, []float64{1, 1, -1})
}

// A context that ends on the way stops the work at the next evaluation.
func TestCancel(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	count := 0
	q := &equations{n: 1, evaluate: func() {
		if count++; count == 5 {
			cancel()
		}
	}, set: func(x []float64, _ Aid, f, terms []float64, d [][]float64) bool {
		f[0], terms[0], d[0][0] = x[0]*x[0]+1, 1, 2*x[0]
		return false
	}}
	if _, stats := Solve(ctx, q, point(0.7), Settings{}); stats.Status != Cancelled || count != 5 {
		t.Errorf("%+v after %d evaluations", stats, count)
	}
}

func TestMoveKeepsWhatIsSmall(t *testing.T) {
	p := point(1)
	for range 1000 {
		p.move([]float64{1e-20}, func(int) float64 { return 10 })
	}
	if got := p.Low[0]; p.High[0] != 1 || math.Abs(got-1e-17) > 1e-29 {
		t.Errorf("1 + 1000·1e-20 became %g + %g", p.High[0], got)
	}
	p.move([]float64{-20}, func(int) float64 { return 10 })
	if p.High[0] != -10 || p.Low[0] != 0 {
		t.Errorf("beyond reach: %g + %g", p.High[0], p.Low[0])
	}
}

func TestStatusInWords(t *testing.T) {
	for s, want := range map[Status]string{Converged: "converged", Exhausted: "not converged", Singular: "singular", Cancelled: "cancelled"} {
		if s.String() != want {
			t.Errorf("%d is %q, want %q", s, s, want)
		}
	}
}

// x² + 1 = 0: where the short ways end, the others follow, and none is gone twice.
func TestResume(t *testing.T) {
	t.Parallel()
	evaluations := 0
	series := func(set Settings) *Series {
		q := &equations{n: 1, evaluate: func() { evaluations++ }, set: func(x []float64, _ Aid, f, terms []float64, d [][]float64) bool {
			f[0], terms[0] = x[0]*x[0]+1, 1
			d[0][0] = 2 * x[0]
			return false
		}}
		return NewSeries(q, set)
	}
	count := func(do func() (Point, Stats)) int {
		evaluations = 0
		if _, stats := do(); stats.Status == Converged {
			t.Errorf("solved: %+v", stats)
		}
		return evaluations
	}
	ctx := t.Context()
	all := count(func() (Point, Stats) { return series(Settings{}).Solve(ctx, Point{}) })
	s := series(Settings{Brief: true})
	brief := count(func() (Point, Stats) { return s.Solve(ctx, Point{}) })
	rest := count(func() (Point, Stats) { return s.Resume(ctx, Settings{}) })
	if brief == 0 || rest == 0 || brief+rest != all {
		t.Errorf("%d evaluations and then %d, want %d together", brief, rest, all)
	}
	if again := count(func() (Point, Stats) { return s.Resume(ctx, Settings{}) }); again > 0 {
		t.Errorf("%d evaluations with no way left", again)
	}
}
