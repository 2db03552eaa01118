package sparse

import "math"

// factors are the values of L and U, by columns, and what it takes to load A
// into them and to solve with them. Steps stand in stages: those of a stage do
// not depend on each other.
type factors struct {
	*structure
	stages  []stage
	value   []float64 // of L, of U, pivots
	l, u, d []float64 // parts of value: L, U, and the pivots by position
	inverse []float64 // of the pivots
	lowerOf []int32   // by entry of L: its column
	upperOf []int32   // by entry of U: its column
	entries []entry   // of A, by columns
	column  []int32   // by column: where its entries begin; and the end of the last
	units   []unit    // of held unknowns, by columns
	free    []float64 // by position: what sum starts from, 1 for held unknowns
	sum     []float64 // by position: of the magnitudes in the row
	scale   []float64 // by position of the row: R
	y       []float64 // workspace of the solves, by position
	fixed   []fixture // by position: what refactor had to hold
	most    float64   // the largest multiplier, where that was asked for
}

// fixture is a position whose unknown is held though its equation stands in the
// factors, and workspace for its value.
type fixture struct {
	position int32
	value    float64
}

// stage says where a stage ends: in positions and in the entries of L and U.
// A program counts its operations too.
type stage struct{ position, lower, upper, operation int32 }

// stagesOf returns stages that end at the given positions.
func (s *structure) stagesOf(ends []int32) []stage {
	list := make([]stage, len(ends))
	for i, to := range ends {
		list[i] = stage{position: to, lower: s.lower.end[to-1], upper: s.upper.end[to-1]}
	}
	return list
}

// entry says where a slot of A goes.
type entry struct{ slot, row, target int32 }

// unit says where the 1 of a held unknown goes.
type unit struct{ column, row, target int32 }

func newFactors(m *Matrix, held []bool, s *structure, stages []stage) *factors {
	n, nl, nu := s.n(), len(s.lower.index), len(s.upper.index)
	v := make([]float64, nl+nu+n)
	f := &factors{
		structure: s, stages: stages, value: v, l: v[:nl], u: v[nl : nl+nu], d: v[nl+nu:],
		inverse: make([]float64, n),
		lowerOf: owners(s.lower, s.work), upperOf: owners(s.upper, s.work),
		column: make([]int32, n+1),
		free:   make([]float64, n), sum: make([]float64, n),
		scale: make([]float64, n), y: make([]float64, n),
	}
	f.place(m, held)
	return f
}

// owners returns the list of each index.
func owners(l lists, work *meter) []int32 {
	of := make([]int32, len(l.index))
	for k := range l.end {
		from, to := l.span(k)
		work.spend(1 + to - from)
		for e := from; e < to; e++ {
			of[e] = int32(k)
		}
	}
	return of
}

// place finds where the entries of m go.
func (f *factors) place(m *Matrix, held []bool) {
	position := make([]int32, f.n())
	for k, i := range f.row {
		position[i] = int32(k)
		if held[i] {
			f.free[k] = 1
		}
	}
	where := make([]int32, f.n())
	for k, c := range f.col {
		f.locate(k, where)
		f.work.spend(1 + m.start[c+1] - m.start[c] + len(f.lower.of(k)) + len(f.upper.of(k)))
		for e := m.start[c]; e < m.start[c+1]; e++ {
			if i := m.row[e]; !held[i] {
				p := position[i]
				f.entries = append(f.entries, entry{int32(m.slot[e]), p, where[p]})
			}
		}
		if held[c] {
			p := position[c]
			f.units = append(f.units, unit{int32(k), p, where[p]})
		}
		f.column[k+1] = int32(len(f.entries))
	}
}

// locate sets where[i] to the index in value of row i of column k, for the rows
// the column has.
func (f *factors) locate(k int, where []int32) {
	from, to := f.lower.span(k)
	for e := from; e < to; e++ {
		where[f.lower.index[e]] = int32(e)
	}
	from, to = f.upper.span(k)
	for e := from; e < to; e++ {
		where[f.upper.index[e]] = int32(len(f.l) + e)
	}
	where[k] = int32(len(f.l) + len(f.u) + k)
}

// leastExponent and mostExponent bound the exponents, as float64 stores them,
// of what a row may hold in all: not as good as nothing, and finite.
const (
	leastExponent = 60 // about 1e-290
	mostExponent  = 2045
)

// scaleRows computes the row scaling for values, and reports whether every row
// has one. Where unknowns may be held, that of a row of zeros is 1.
func (f *factors) scaleRows(values []float64, mayHold bool) bool {
	sum := f.sum
	copy(sum, f.free)
	for _, e := range f.entries {
		sum[e.row] += math.Abs(values[e.slot])
	}
	ok := true
	scale := f.scale[:len(sum)]
	for k, s := range sum {
		exponent := math.Float64bits(s) >> 52 & 2047
		if exponent < leastExponent || exponent > mostExponent {
			ok = ok && mayHold && exponent < leastExponent
			exponent = 1023
		}
		scale[k] = math.Float64frombits((2*1023 - exponent) << 52)
	}
	return ok
}

// load puts R·A into value.
func (f *factors) load(values []float64) {
	v, scale := f.value, f.scale
	clear(v)
	for _, e := range f.entries {
		v[e.target] += scale[e.row] * values[e.slot]
	}
	for _, t := range f.units {
		v[t.target] = 1
	}
}

// soundPivot is the magnitude above which a pivot is more than what rounding
// leaves of a column: scaling leaves no entry of A above 2.
const soundPivot = 2 * cancelled

func (f *factors) largest() float64 { return f.most }

// fix holds the unknown at position k, whose pivot is rounding only, and reports
// whether that may be: it has its own equation there, and what it does to others,
// which stands in L, is as weak beside what it was.
func (f *factors) fix(k int, hold []bool) bool {
	if int(f.col[k]) >= len(hold) || f.row[k] != f.col[k] {
		return false
	}
	from, to := f.lower.span(k)
	for e, i := range f.lower.index[from:to] {
		if !(math.Abs(f.l[from+e])*f.scale[k] <= soundPivot*f.scale[i]) {
			return false
		}
	}
	hold[f.col[k]] = true
	f.fixed = append(f.fixed, fixture{position: int32(k)})
	return true
}

func (f *factors) solveTo(dst, b []float64) {
	y, scale := f.y, f.scale
	for k, i := range f.row {
		y[k] = scale[k] * b[i]
	}
	l, of := f.l, f.lowerOf
	for e, i := range f.lower.index {
		y[i] -= l[e] * y[of[e]]
	}
	fixed := f.fixed
	for s := len(f.stages) - 1; s >= 0; s-- {
		from := f.before(s)
		for n := len(fixed) - 1; n >= 0 && fixed[n].position >= from.position; n-- {
			k := fixed[n].position
			y[k], fixed = b[f.row[k]], fixed[:n]
		}
		f.solveStage(y, from, f.stages[s])
	}
	for k, c := range f.col {
		dst[c] = y[k]
	}
}

// before returns where the stage before s ends.
func (f *factors) before(s int) stage {
	if s == 0 {
		return stage{}
	}
	return f.stages[s-1]
}

// solveStage finishes the unknowns of a stage and takes them out of the rows
// above.
func (f *factors) solveStage(y []float64, from, to stage) {
	z := y[from.position:to.position]
	inverse := f.inverse[from.position:to.position]
	for k, d := range inverse {
		z[k] *= d
	}
	u := f.u[from.upper:to.upper]
	of, index := f.upperOf[from.upper:to.upper], f.upper.index[from.upper:to.upper]
	for e, v := range u {
		y[index[e]] -= v * y[of[e]]
	}
}

func (f *factors) solveTransposeTo(dst, b []float64) {
	y := f.y
	for k, c := range f.col {
		y[k] = b[c]
	}
	from, fixed := stage{}, f.fixed
	for _, to := range f.stages {
		for e := from.upper; e < to.upper; e++ {
			y[f.upperOf[e]] -= f.u[e] * y[f.upper.index[e]]
		}
		for k := from.position; k < to.position; k++ {
			y[k] *= f.inverse[k]
		}
		for len(fixed) > 0 && fixed[0].position < to.position {
			k := fixed[0].position
			fixed[0].value, y[k], fixed = y[k], 0, fixed[1:]
		}
		from = to
	}
	for e := len(f.l) - 1; e >= 0; e-- {
		y[f.lowerOf[e]] -= f.l[e] * y[f.lower.index[e]]
	}
	for k, i := range f.row {
		dst[i] = f.scale[k] * y[k]
	}
	for _, h := range f.fixed {
		dst[f.row[h.position]] = h.value
	}
}
