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
	meter    *meter
	pivot    []int // row by step
	step     []int // step by row, −1 while the row has not served
	held     []bool
	scale    []float64 // R: by row, powers of two
	lower    columns   // row numbers of A; the pivot's 1 left out
	upper    columns   // step numbers; the diagonal left out
	prune    []int     // by step: where the search of its column of L may end, −1 for the end
	prunedBy []int     // by step: the one that shortened the search
	work     []float64 // the column at work, by row
	reach    reach
	holds    int // below which number unknowns are held that have no pivot

	valid  bool      // whether factors are there, with those in held held
	share  float64   // by which their pivots were chosen
	values []float64 // that they are of, where unknowns turned out to be open
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

// cut leaves only the first columns.
func (c *columns) cut(columns int) {
	from := 0
	if columns > 0 {
		from = c.end[columns-1]
	}
	c.end, c.index, c.value = c.end[:columns], c.index[:from], c.value[:from]
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
		prunedBy: make([]int, m.n),
		work:     make([]float64, m.n),
		reach:    newReach(m.n),
	}
}

const (
	// cancelled is the share of what a column held below which what remains of
	// it after elimination is rounding and no value.
	cancelled = 1e-15
	// many is from how many columns on it matters that columns find their rows.
	many = 300
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

// run chooses pivots for the values of m with the unknowns in held held. Where
// nothing determines others it returns a *Singular of them, and what it has
// made are the factors with those held, too.
func (p *pivoting) run(m *Matrix, held []bool, share float64) error {
	p.begin(held, share)
	open := p.scaleRows(m)
	if p.holds > 0 && open != nil {
		return &Singular{Unknowns: open}
	}
	for k := 0; k < m.n; {
		c := p.column[k]
		i := p.next(m, c, share)
		switch isOwn := p.step[c] < 0; {
		case i >= 0:
		case c < p.holds && isOwn:
			i = p.stiffen(c)
		case p.holds > 0:
			return &Singular{Unknowns: []int{c}}
		default:
			open = append(open, c)
			k = p.hold(c, k)
			continue
		}
		p.store(k, i)
		p.meter.spend(len(p.reach.found))
		p.shorten(k)
		k++
	}
	return p.conclude(m, open)
}

// conclude notes what the factors are good for. Those of a matrix that leaves
// unknowns open are good for the same with these held, which is asked for next.
func (p *pivoting) conclude(m *Matrix, open []int) error {
	p.valid = true
	if open == nil {
		return nil
	}
	p.values = append(p.values[:0], m.Values...)
	p.dropHeld()
	slices.Sort(open)
	return &Singular{Unknowns: open}
}

// serves reports whether the last run made the factors of m with those held.
func (p *pivoting) serves(m *Matrix, held []bool, share float64) bool {
	return p.valid && p.share == share && slices.Equal(p.held, held) && slices.Equal(p.values, m.Values)
}

func (p *pivoting) begin(held []bool, share float64) {
	p.valid, p.share, p.values = false, share, p.values[:0]
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
	if p.held[c] {
		p.work[c] = 1
		return c
	}
	if c < p.holds && p.row[c] == c && p.step[c] < 0 {
		return p.chooseOrHold(c, share, floor)
	}
	return p.choose(p.row[c], share, floor)
}

// hold holds unknown c, whose column is at work at step k and has no pivot, and
// returns the step to go on from: the same, or, if the equation that falls away
// with c has served, that in which it did.
func (p *pivoting) hold(c, k int) int {
	for _, i := range p.reach.found {
		p.work[i] = 0
	}
	p.held[c], p.scale[c] = true, 1
	if s := p.step[c]; s >= 0 {
		p.goBack(k, s)
		return s
	}
	return k
}

// goBack takes back the steps from to on, of which there are those before k.
func (p *pivoting) goBack(k, to int) {
	for _, i := range p.pivot[to:k] {
		p.step[i] = -1
	}
	p.lower.cut(to)
	p.upper.cut(to)
	for j := range p.prune[:k] {
		if j >= to || p.prunedBy[j] >= to {
			p.prune[j] = -1
		}
	}
}

// dropHeld takes the rows of held unknowns out of L: columns that came before
// they were held have them yet.
func (p *pivoting) dropHeld() {
	n, e := 0, 0
	for k, end := range p.lower.end {
		for ; e < end; e++ {
			if i := p.lower.index[e]; !p.held[i] {
				p.lower.index[n], p.lower.value[n] = i, p.lower.value[e]
				n++
			}
		}
		p.lower.end[k] = n
	}
	p.lower.index, p.lower.value = p.lower.index[:n], p.lower.value[:n]
}

// stiffen gives column c, which is at work and has no pivot, an infinite one in
// the row of the same number, and returns that.
func (p *pivoting) stiffen(c int) int {
	p.work[c] = math.Inf(1)
	p.reach.visit(c, p)
	return c
}

// scaleRows sets the row scaling: a power of two, so that it rounds nothing,
// that brings the sum of the row's magnitudes to between 1 and 2. It holds the
// unknowns whose equations say nothing, and returns those.
func (p *pivoting) scaleRows(m *Matrix) (open []int) {
	m.sumRows(p.scale)
	for i, s := range p.scale {
		switch {
		case p.held[i], s < vanishing && i < p.holds:
			p.scale[i] = 1
		case s < vanishing || math.IsNaN(s) || math.IsInf(s, 0):
			p.held[i], p.scale[i] = true, 1
			open = append(open, i)
		default:
			p.scale[i] = math.Ldexp(1, -math.Ilogb(s))
		}
	}
	return open
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
		if k < 0 || x == 0 || p.held[i] {
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
// the largest; −1 where none is above floor. Where the foreseen row has served
// another column and sparsity comes before digits, as in a matrix of many columns
// it may, the one that was foreseen there stands in for it, so that the columns to
// come find theirs.
func (p *pivoting) choose(foreseen int, share, floor float64) int {
	best, row := floor, -1
	for _, i := range p.reach.found {
		if a := math.Abs(p.work[i]); p.step[i] < 0 && !p.held[i] && a > best {
			best, row = a, i
		}
	}
	for spare := share < defaultShare && len(p.row) >= many; spare && p.step[foreseen] >= 0; {
		foreseen = p.row[p.column[p.step[foreseen]]]
	}
	if row >= 0 && p.step[foreseen] < 0 && !p.held[foreseen] && math.Abs(p.work[foreseen]) >= share*best {
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
		if p.step[i] < 0 && i != c && !p.held[i] {
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
// clears it.
func (p *pivoting) store(k, i int) {
	d := p.work[i]
	p.pivot[k], p.step[i] = i, k
	for _, r := range p.reach.found {
		x := p.work[r]
		p.work[r] = 0
		switch {
		case r == i:
		case p.held[r]: // reached by way of columns from before it was held
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
	if p.held[p.pivot[k]] {
		return // nothing leads on from there
	}
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
		p.prune[j], p.prunedBy[j] = end, k
	}
}

// leads returns the part of the column of L of the step in which row i served
// that leads to all rows the column leads to.
func (p *pivoting) leads(i int) []int {
	k := p.step[i]
	if k < 0 || p.held[i] {
		return nil
	}
	from, to := p.lower.span(k)
	if p.prune[k] >= 0 {
		to = p.prune[k]
	}
	return p.lower.index[from:to]
}
