package sparse

import (
	"math"
	"slices"
)

// Doubled factors the matrices of an LU in twice the precision of a float64:
// some 32 digits. It takes ten times as long and more, and is for matrices whose
// entries are so far apart that what matters is lost among the others: a group of
// nodes that good conductors join and that hangs on a leakage current. It keeps
// the order of the LU and chooses pivots each time.
type Doubled struct {
	preorder
	meter *meter
	pivot []int // row by step
	step  []int // step by row, −1 while the row has not served
	held  []bool
	scale []float64
	lower pairs // row numbers; the pivot's 1 left out
	upper pairs // step numbers; the diagonal left out
	diag  []pair
	work  []pair // the column at work, by row
	reach reach
	x     []pair // the solution, by step
}

// pairs are sparse columns of pairs, one after the other.
type pairs struct {
	end   []int // by column
	index []int
	value []pair
}

func (p *pairs) reset() { p.end, p.index, p.value = p.end[:0], p.index[:0], p.value[:0] }

func (p *pairs) add(i int, v pair) {
	p.index = append(p.index, i)
	p.value = append(p.value, v)
}

func (p *pairs) close() { p.end = append(p.end, len(p.index)) }

func (p *pairs) span(k int) (from, to int) {
	if k > 0 {
		from = p.end[k-1]
	}
	return from, p.end[k]
}

// Doubled returns a factorisation of the same matrices in twice the precision.
func (f *LU) Doubled() *Doubled {
	n := len(f.held)
	return &Doubled{
		preorder: f.pivoting.preorder,
		meter:    f.meter,
		pivot:    make([]int, n),
		step:     make([]int, n),
		held:     make([]bool, n),
		scale:    make([]float64, n),
		diag:     make([]pair, n),
		work:     make([]pair, n),
		reach:    newReach(n),
		x:        make([]pair, n),
	}
}

const (
	// pivotShare is how small a foreseen pivot may be beside the largest: it
	// costs six of the digits at worst.
	pivotShare = 1e-6
	// lost is the share of what a column held below which what remains of it
	// after elimination is rounding and no value.
	lost = 1e-29
)

// Factor does what LU.Factor does.
func (d *Doubled) Factor(m *Matrix, held []bool) (err error) {
	defer rescue(&err)
	d.begin(m, held)
	var open []int
	for k, c := range d.column {
		floor := d.load(m, c)
		d.eliminate()
		i := d.choose(c, floor)
		if i < 0 {
			open = append(open, c)
			if i = d.hold(c); i < 0 {
				i = slices.Index(d.step, -1)
				d.put(i, pair{1, 0})
			}
		}
		d.store(k, i)
	}
	if open != nil {
		slices.Sort(open)
		return &Singular{Unknowns: open}
	}
	return nil
}

func (d *Doubled) begin(m *Matrix, held []bool) {
	d.lower.reset()
	d.upper.reset()
	clear(d.work) // where an interruption left it
	clear(d.held)
	copy(d.held, held)
	m.sumRows(d.scale)
	for i := range d.step {
		d.step[i] = -1
		if d.scale[i] = 1 / d.scale[i]; d.held[i] || math.IsInf(d.scale[i], 0) || math.IsNaN(d.scale[i]) {
			d.scale[i] = 1
		}
	}
}

// load puts column c to work and returns below what its remains are lost.
func (d *Doubled) load(m *Matrix, c int) (floor float64) {
	d.reach.reset()
	for k := m.start[c]; k < m.start[c+1]; k++ {
		if i := m.row[k]; !d.held[i] {
			v := m.Values[m.slot[k]]
			d.put(i, d.work[i].plus(v))
			floor = max(floor, d.scale[i]*math.Abs(v))
		}
	}
	if d.held[c] {
		d.put(c, pair{1, 0})
	}
	return lost * floor
}

// put sets what the column at work has in row i.
func (d *Doubled) put(i int, v pair) {
	d.work[i] = v
	d.reach.visit(i, d)
}

// leads returns the column of L of the step in which row i served.
func (d *Doubled) leads(i int) []int {
	k := d.step[i]
	if k < 0 {
		return nil
	}
	from, to := d.lower.span(k)
	return d.lower.index[from:to]
}

// eliminate takes the columns of the steps before out of the column at work.
func (d *Doubled) eliminate() {
	d.meter.spend(len(d.reach.found))
	for n := len(d.reach.found) - 1; n >= 0; n-- {
		row := d.reach.found[n]
		j, x := d.step[row], d.work[row]
		if j < 0 || x.high == 0 {
			continue
		}
		d.work[row] = pair{}
		d.upper.add(j, x)
		from, to := d.lower.span(j)
		d.meter.spend(4 * (to - from))
		for e := from; e < to; e++ {
			w := &d.work[d.lower.index[e]]
			*w = w.less(d.lower.value[e], x)
		}
	}
	d.upper.close()
}

// choose returns the row that serves as pivot of column c: the foreseen one
// unless it is very small beside others, as the rows stand or as they are
// scaled; −1 where all is lost.
func (d *Doubled) choose(c int, floor float64) int {
	if d.held[c] {
		return c
	}
	row, best, strongest := -1, floor, 0.0
	for _, i := range d.reach.found {
		a := math.Abs(d.work[i].high)
		if d.step[i] >= 0 || a == 0 {
			continue
		}
		strongest = max(strongest, a)
		if a*d.scale[i] > best {
			row, best = i, a*d.scale[i]
		}
	}
	own := d.row[c]
	a := math.Abs(d.work[own].high)
	if d.step[own] < 0 && a*d.scale[own] > floor && (a >= pivotShare*strongest || a*d.scale[own] >= pivotShare*best) {
		return own
	}
	return row
}

// hold makes column c that of a held unknown and returns the row of its pivot;
// −1 where that has served already.
func (d *Doubled) hold(c int) int {
	for _, i := range d.reach.found {
		d.work[i] = pair{}
	}
	if d.step[c] >= 0 {
		return -1
	}
	d.held[c] = true
	d.put(c, pair{1, 0})
	return c
}

// store moves the work column into the factors as step k with pivot row i.
func (d *Doubled) store(k, i int) {
	d.pivot[k], d.step[i], d.diag[k] = i, k, d.work[i]
	d.work[i] = pair{}
	for _, r := range d.reach.found {
		x := d.work[r]
		d.work[r] = pair{}
		if x.high != 0 && !d.held[r] {
			d.lower.add(r, x.over(d.diag[k]))
		}
	}
	d.lower.close()
}

// SolveTo sets dst to the x of A·x = b. The two may be the same slice.
func (d *Doubled) SolveTo(dst, b []float64) {
	x := d.x
	for i, v := range b {
		d.work[i] = pair{v, 0}
	}
	for k, row := range d.pivot {
		x[k] = d.work[row]
		from, to := d.lower.span(k)
		for e := from; e < to; e++ {
			w := &d.work[d.lower.index[e]]
			*w = w.less(d.lower.value[e], x[k])
		}
	}
	for k := len(x) - 1; k >= 0; k-- {
		x[k] = x[k].over(d.diag[k])
		from, to := d.upper.span(k)
		for e := from; e < to; e++ {
			x[d.upper.index[e]] = x[d.upper.index[e]].less(d.upper.value[e], x[k])
		}
	}
	for k, c := range d.column {
		dst[c] = x[k].high + x[k].low
	}
	clear(d.work)
}

// pair is the sum of two floats, the second too small to be seen beside the first
// (T. J. Dekker, A floating-point technique for extending the available
// precision, Numerische Mathematik 18, 1971).
type pair struct{ high, low float64 }

// plus returns p + v.
func (p pair) plus(v float64) pair {
	s := p.high + v
	t := s - p.high
	return settled(s, (p.high-(s-t))+(v-t)+p.low)
}

// less returns p − a·b.
func (p pair) less(a, b pair) pair {
	product := a.high * b.high
	rest := math.FMA(a.high, b.high, -product) + (a.high*b.low + a.low*b.high)
	s := p.high - product
	t := s - p.high
	return settled(s, (p.high-(s-t))-(product+t)+(p.low-rest))
}

// over returns p / q.
func (p pair) over(q pair) pair {
	first := p.high / q.high
	r := p.less(pair{first, 0}, q)
	return settled(first, (r.high+r.low)/q.high)
}

// settled returns high + low as a pair.
func settled(high, low float64) pair {
	s := high + low
	return pair{s, low - (s - high)}
}
