package sparse

import (
	"fmt"
	"math"
	"slices"
)

// LU holds the factors of a matrix A with rows scaled by R:
//
//	P·(R·A)·Q = L·U
//
// with permutations P and Q, L unit lower triangular and U upper triangular.
//
// The order Q is chosen once, from the pattern. The pivots P are chosen when
// values come for the first time, as pivoting does, and are kept for the values
// that follow: a kernel compiled for them makes the factors again without any
// search, and without allocation. When values have moved so far that a kept
// pivot is much smaller than others of its column, pivots are chosen anew.
type LU struct {
	// DiagonalShare is how small the pivot that the order foresees for a column
	// may be beside the largest before that is taken; 0 means 0.1. A smaller
	// share keeps the factors of badly scaled matrices sparse, at the price of
	// digits that an iteration must make good.
	DiagonalShare float64

	// Holdable is below which number FactorHolding may hold unknowns.
	Holdable int

	meter    *meter
	pivoting *pivoting
	kernel   kernel  // nil before the first factors
	share    float64 // that the pivots of kernel satisfied
	held     []bool  // unknowns held in kernel
	holds    bool    // whether there are any
	pivot    []int   // of kernel: row by step
	steep    bool
}

// kernel makes factors of one sequence of pivots and solves with them.
type kernel interface {
	// refactor computes the factors from values by slot. It reports whether all
	// pivots are sound and no multiplier is larger than limit; the factors may
	// be used if not, but have lost digits. With hold, an unknown whose own
	// equation leaves no pivot is held in its place, marked in hold, and sound, if
	// hold is that long.
	refactor(values []float64, limit float64, hold []bool) bool
	largest() float64 // multiplier of the last refactor with hold
	solveTo(dst, b []float64)
	solveTransposeTo(dst, b []float64)
}

// Singular is the error of a matrix that has no inverse to working precision.
type Singular struct {
	Unknowns []int // unknowns that the equations leave open, in order; one or more
}

func (s *Singular) Error() string {
	return fmt.Sprintf("sparse: singular matrix: nothing determines unknown %d", s.Unknowns[0])
}

// New chooses the order of elimination for matrices of m's pattern.
func New(m *Matrix) *LU {
	f, _ := NewInterruptible(m, nil) // without a question there is no error
	return f
}

// NewInterruptible does the same, and asks every some thousand operations, then
// and later while factors are made, whether to go on. The first error that ask
// returns ends the work and is returned. Factors that are made again by a list
// of operations, as those of small circuits are, are made without a question.
func NewInterruptible(m *Matrix, ask func() error) (f *LU, err error) {
	defer rescue(&err)
	t := &meter{ask: ask, left: interval}
	return &LU{meter: t, pivoting: newPivoting(m, t), held: make([]bool, m.n)}, nil
}

const (
	defaultShare = 0.1
	// drift is how many times further than DiagonalShare allows a kept pivot
	// may fall behind the largest of its column before pivots are chosen anew.
	drift = 100
)

// Factor computes the factors of m. The equation of an unknown i with held[i]
// is replaced by x[i] = b[i]; held may be nil. It returns a *Singular if rows are
// all zeros or not finite, or if columns leave no pivot; the factors are
// unusable then, as they are after an interruption, whose error it returns too.
// To call it again with those unknowns held as well costs no further search for
// pivots.
func (f *LU) Factor(m *Matrix, held []bool) (err error) {
	defer f.drop(&err)
	defer rescue(&err)
	return f.factor(m, held)
}

// drop gives up a kernel that was interrupted. One that has met a singular
// matrix is as good as before.
func (f *LU) drop(err *error) {
	if _, isSingular := (*err).(*Singular); *err != nil && !isSingular {
		f.kernel = nil
	}
}

// Forget makes the next factors be those that the first would be.
func (f *LU) Forget() { f.kernel = nil }

func (f *LU) factor(m *Matrix, held []bool) error {
	share := f.shareWanted()
	if f.keeps(share, held) && f.kernel.refactor(m.Values, drift/share, nil) {
		return nil
	}
	if !f.pivoting.serves(m, held, share) {
		if err := f.pivoting.run(m, held, share); err != nil {
			return err
		}
	}
	f.adopt(m, held, share)
	f.kernel.refactor(m.Values, math.Inf(1), nil)
	return nil
}

// FactorHolding computes the factors of m with those unknowns held whose own
// equations leave no pivot, as Factor holds them, and marks them in held, all of
// which it sets. Pivots of unknowns that may be held are those on the diagonal
// for as long as these are more than rounding, so that the pivots of the others
// remain whichever are left open, and no unknown has given its equation to
// another. Where unknowns hang on others by next to nothing, that loses no digits;
// where it may, Steep tells. A *Singular is of unknowns that cannot be held.
func (f *LU) FactorHolding(m *Matrix, held []bool) (err error) {
	defer f.drop(&err)
	defer rescue(&err)
	share := f.shareWanted()
	clear(held)
	if f.keeps(share, nil) && f.kernel.refactor(m.Values, math.Inf(1), f.mayHold(held)) {
		f.steep = f.kernel.largest() > drift/share
		return nil
	}
	clear(held)
	if err := f.pivoting.runHolding(m, share, f.Holdable); err != nil {
		return err
	}
	f.adopt(m, nil, share)
	f.kernel.refactor(m.Values, math.Inf(1), f.mayHold(held))
	f.steep = f.kernel.largest() > drift/share
	return nil
}

func (f *LU) mayHold(held []bool) []bool { return held[:min(f.Holdable, len(held))] }

// Steep reports whether the last FactorHolding met a multiplier as large as
// Factor would not keep a pivot for, so that solutions should be checked.
func (f *LU) Steep() bool { return f.steep }

func (f *LU) shareWanted() float64 {
	if f.DiagonalShare <= 0 {
		return defaultShare
	}
	return f.DiagonalShare
}

// adopt makes sure of a kernel for the pivots just chosen.
func (f *LU) adopt(m *Matrix, held []bool, share float64) {
	f.share = share
	if f.kernel == nil || !f.sameHeld(held) || !slices.Equal(f.pivot, f.pivoting.pivot) {
		f.compile(m, held)
	}
}

// keeps reports whether the pivots of the kernel may serve.
func (f *LU) keeps(share float64, held []bool) bool {
	return f.kernel != nil && share <= f.share && f.sameHeld(held)
}

func (f *LU) sameHeld(held []bool) bool {
	if held == nil {
		return !f.holds
	}
	return slices.Equal(held, f.held)
}

// compile makes a kernel for the pivots just chosen.
func (f *LU) compile(m *Matrix, held []bool) {
	f.pivot = append(f.pivot[:0], f.pivoting.pivot...)
	clear(f.held)
	copy(f.held, held)
	f.holds = slices.Contains(held, true)
	s := f.pivoting.structure()
	if s.operations() <= listed*(len(s.lower.index)+len(s.upper.index)+s.n()) {
		f.kernel = newProgram(m, f.held, s)
	} else {
		f.kernel = newPanels(m, f.held, s)
	}
}

// listed is up to how many operations to an entry of the factors are listed one
// by one; beyond that, panels of columns are faster.
const listed = 10

// SolveTo sets dst to the x of A·x = b. The two may be the same slice.
func (f *LU) SolveTo(dst, b []float64) { f.kernel.solveTo(dst, b) }

// SolveTransposeTo sets dst to the x of Aᵀ·x = b. The two may be the same
// slice.
func (f *LU) SolveTransposeTo(dst, b []float64) { f.kernel.solveTransposeTo(dst, b) }
