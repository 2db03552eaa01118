package sparse

import (
	"math"
	"slices"
)

// pivoting factors a matrix and chooses its pivots on the way. Columns are
// computed one after the other, each by a sparse triangular solve with the
// columns before it (J. R. Gilbert and T. Peierls, Sparse partial pivoting in
// time proportional to arithmetic operations, SIAM J. Sci. Stat. Comput. 9,
// 1988). Of the possible pivots of a column the foreseen one is taken where it
// is not much smaller than the largest: it keeps to the order that was chosen
// for sparsity. Entries that come out as zero by chance are kept: they need
// not be zero for other values.
type pivoting struct {
	preorder
	meter *meter
	pivot []int // row by step
	step  []int // step by row, −1 while the row has not served
	held  []bool
	scale []float64 // R: by row, powers of two
	lower columns   // row numbers of A; the pivot's 1 left out
	upper columns   // step numbers; the diagonal left out
	prune []int     // by step: where the search of its column of L may end, −1 for the end
	work  []float64 // the column at work, by row
	reach reach
	holds int // below which number unknowns are held that have no pivot
}

// columns are sparse columns, one after the other.
type columns struct {
	end   []int // by column
	index []int
	value []float64
}

func (c *columns) reset() { c.end, c.index, c.value = c.end[:0], c.index[:0], c.value[:0] }
func (c *columns) add(i int, v float64) {
	c.index = append(c.index, i)
	c.value = append(c.value, v)
}
func (c *columns) close() { c.end = append(c.end, len(c.index)) }

func (c *columns) swap(i, j int) {
	c.index[i], c.index[j] = c.index[j], c.index[i]
	c.value[i], c.value[j] = c.value[j], c.value[i]
}

// span returns where column k begins and ends.
func (c *columns) span(k int) (from, to int) {
	if k > 0 {
		from = c.end[k-1]
	}
	return from, c.end[k]
}

func newPivoting(m *Matrix, t *meter) *pivoting {
	return &pivoting{
		preorder: analyse(m, t),
		meter:    t,
		pivot:    make([]int, m.n),
		step:     make([]int, m.n),
		held:     make([]bool, m.n),
		scale:    make([]float64, m.n),
		prune:    make([]int, m.n),
		work:     make([]float64, m.n),
		reach:    newReach(m.n),
	}
}

const (
	// cancelled is the share of what a column held below which what remains of
	// it after elimination is rounding and no value.
	cancelled = 1e-15
	// vanishing is the magnitude below which an entry counts as zero.
	vanishing = 1e-290
)

// runHolding chooses pivots for the values of m, of unknowns below a number on
// the diagonal, and holds those that have none there by an infinitely stiff
// equation.
func (p *pivoting) runHolding(m *Matrix, share float64, below int) error {
	p.holds = below
	defer func() { p.holds = 0 }()
	return p.run(m, nil, share)
}

// run chooses pivots for the values of m.
func (p *pivoting) run(m *Matrix, held []bool, share float64) error {
	if err := p.scaleRows(m, held); err != nil {
		return err
	}
	p.begin(held)
	var open []int
	for k, c := range p.column {
		i := p.next(m, c, share)
		if i < 0 && c < p.holds && p.step[c] < 0 {
			i = p.stiffen(c)
		}
		if i < 0 {
			open = p.follow(c, open)
			i = p.hold(c)
		}
		p.store(k, i)
		p.meter.spend(len(p.reach.found))
		if i >= 0 {
			p.shorten(k)
		}
	}
	if open != nil {
		slices.Sort(open)
		return &Singular{Unknowns: open}
	}
	return nil
}

func (p *pivoting) begin(held []bool) {
	p.lower.reset()
	p.upper.reset()
	for i := range p.step {
		p.step[i], p.prune[i] = -1, -1
	}
	clear(p.work)
	clear(p.held)
	copy(p.held, held)
}

// next computes column c and returns the row of its pivot, −1 where it has none.
func (p *pivoting) next(m *Matrix, c int, share float64) int {
	p.load(m, c)
	floor := cancelled * p.largest()
	p.eliminate()
	if c < p.holds && p.row[c] == c && p.step[c] < 0 {
		return p.chooseOrHold(c, share, floor)
	}
	return p.choose(p.row[c], share, floor)
}

// hold makes column c, which is at work and has no pivot, that of a held
// unknown, so that the others that are left open are found in the same run. It
// returns the row of the pivot; −1 where that has served already, and the column
// is left out.
func (p *pivoting) hold(c int) int {
	for _, i := range p.reach.found {
		p.work[i] = 0
	}
	p.reach.reset()
	if p.step[c] >= 0 {
		return -1
	}
	p.held[c] = true
	p.work[c] = 1
	p.reach.visit(c, p)
	return c
}

// stiffen gives column c, which is at work and has no pivot, an infinite one in
// the row of the same number, and returns that.
func (p *pivoting) stiffen(c int) int {
	p.work[c] = math.Inf(1)
	p.reach.visit(c, p)
	return c
}

// follow adds to open the unknown c and, as its equation falls away with it, the
// one that this equation determined and no other could, and so on.
func (p *pivoting) follow(c int, open []int) []int {
	open = append(open, c)
	for p.step[c] >= 0 && !p.held[c] {
		k := p.step[c]
		from, to := p.lower.span(k)
		if slices.ContainsFunc(p.lower.value[from:to], func(x float64) bool { return x != 0 }) {
			break
		}
		if c = p.column[k]; slices.Contains(open, c) {
			break
		}
		open = append(open, c)
	}
	return open
}

// scaleRows sets the row scaling: a power of two, so that it rounds nothing,
// that brings the sum of the row's magnitudes to between 1 and 2.
func (p *pivoting) scaleRows(m *Matrix, held []bool) error {
	m.sumRows(p.scale)
	var open []int
	for i, s := range p.scale {
		switch {
		case held != nil && held[i]:
			p.scale[i] = 1
		case s < vanishing && i < p.holds:
			p.scale[i] = 1
		case s < vanishing || math.IsNaN(s) || math.IsInf(s, 0):
			open = append(open, i)
		default:
			p.scale[i] = math.Ldexp(1, -math.Ilogb(s))
		}
	}
	if open != nil {
		return &Singular{Unknowns: open}
	}
	return nil
}

// load puts column c of R·A into the work column and finds the rows that
// elimination will reach from there.
func (p *pivoting) load(m *Matrix, c int) {
	p.reach.reset()
	for k := m.start[c]; k < m.start[c+1]; k++ {
		if i := m.row[k]; !p.held[i] {
			p.work[i] += p.scale[i] * m.Values[m.slot[k]]
			p.reach.visit(i, p)
		}
	}
	if p.held[c] {
		p.work[c] = 1
		p.reach.visit(c, p)
	}
}

// largest returns the largest magnitude of the work column.
func (p *pivoting) largest() float64 {
	a := 0.0
	for _, i := range p.reach.found {
		a = max(a, math.Abs(p.work[i]))
	}
	return a
}

// eliminate solves L·x = work in place, over the rows found.
func (p *pivoting) eliminate() {
	for j := len(p.reach.found) - 1; j >= 0; j-- {
		i := p.reach.found[j]
		k := p.step[i]
		x := p.work[i]
		if k < 0 || x == 0 {
			continue
		}
		from, to := p.lower.span(k)
		p.meter.spend(to - from)
		for e := from; e < to; e++ {
			p.work[p.lower.index[e]] -= p.lower.value[e] * x
		}
	}
}

// choose returns the row that serves as pivot of the work column: the foreseen
// one if its entry is at least the given share of the largest, or else that of
// the largest; −1 where none is above floor.
func (p *pivoting) choose(foreseen int, share, floor float64) int {
	best, row := floor, -1
	for _, i := range p.reach.found {
		if a := math.Abs(p.work[i]); p.step[i] < 0 && a > best {
			best, row = a, i
		}
	}
	if row >= 0 && p.step[foreseen] < 0 && math.Abs(p.work[foreseen]) >= share*best {
		return foreseen
	}
	return row
}

// chooseOrHold does the same for the column of an unknown that may be held. Its
// own row serves also where it is small beside others by scaling only, as a node
// that hangs on weaker ones by next to nothing. Where it is not above floor and
// the others are as weak beside what it was, the unknown is to be held: −1.
func (p *pivoting) chooseOrHold(c int, share, floor float64) int {
	strongest := 0.0
	for _, i := range p.reach.found {
		if p.step[i] < 0 && i != c {
			strongest = max(strongest, math.Abs(p.work[i])/p.scale[i])
		}
	}
	own := math.Abs(p.work[c])
	switch {
	case own > floor && own/p.scale[c] >= share*strongest:
		return c
	case own <= floor && strongest <= floor/p.scale[c]:
		return -1
	}
	return p.choose(c, share, floor)
}

// store moves the work column into the factors as step k with pivot row i, and
// clears it; a row of −1 leaves it out.
func (p *pivoting) store(k, i int) {
	d := 1.0
	if i >= 0 {
		d = p.work[i]
		p.pivot[k], p.step[i] = i, k
	}
	for _, r := range p.reach.found {
		x := p.work[r]
		p.work[r] = 0
		switch {
		case r == i:
		case p.held[r]: // reached by way of columns before it was held
		case p.step[r] >= 0:
			p.upper.add(p.step[r], x)
		default:
			p.lower.add(r, x/d)
		}
	}
	p.lower.close()
	p.upper.close()
}

// shorten shortens the search of columns before k: a column of L with the pivot
// of k, which takes part in column k, leads to its other rows through column k
// too (S. C. Eisenstat and J. W. H. Liu, Exploiting structural symmetry in
// unsymmetric sparse symbolic factorization, SIAM J. Matrix Anal. Appl. 13,
// 1992). The rows that have served come to stand first, and the search ends
// behind them.
func (p *pivoting) shorten(k int) {
	first, last := p.upper.span(k)
	for _, j := range p.upper.index[first:last] {
		from, to := p.lower.span(j)
		if p.prune[j] >= 0 || !slices.Contains(p.lower.index[from:to], p.pivot[k]) {
			continue
		}
		end := from
		for e := from; e < to; e++ {
			if p.step[p.lower.index[e]] >= 0 {
				p.lower.swap(e, end)
				end++
			}
		}
		p.prune[j] = end
	}
}

// searched returns the part of the column of L of step k that leads to all rows
// the column leads to.
func (p *pivoting) searched(k int) (from, to int) {
	from, to = p.lower.span(k)
	if p.prune[k] >= 0 {
		to = p.prune[k]
	}
	return from, to
}
