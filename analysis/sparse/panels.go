package sparse

import (
	"math"
	"slices"
)

// panels makes the factors column by column, from the columns before it. Those
// next to each other with the same rows below them form a panel: its columns
// are taken out together, several to a pass (J. W. Demmel, S. C. Eisenstat,
// J. R. Gilbert, X. S. Li and J. W. H. Liu, A supernodal approach to sparse
// partial pivoting, SIAM J. Matrix Anal. Appl. 20, 1999).
type panels struct {
	*factors
	panelEnd []int32 // by position: where its panel ends
	segments lists   // by column: what to take out of it, as pairs from, to
	x        []float64
}

func newPanels(m *Matrix, held []bool, s *structure) *panels {
	ends := make([]int32, s.n())
	for k := range ends {
		ends[k] = int32(k + 1)
	}
	p := &panels{factors: newFactors(m, held, s, s.stagesOf(ends)), panelEnd: s.panelEnds(), x: make([]float64, s.n())}
	for k := range s.n() {
		s.work.spend(1 + len(s.upper.of(k)))
		p.segments.index = append(p.segments.index, segments(s.upper.of(k), p.panelEnd, int32(k))...)
		p.segments.end = append(p.segments.end, int32(len(p.segments.index)))
	}
	return p
}

// panelEnds returns for each position where the panel it is in ends.
func (s *structure) panelEnds() []int32 {
	n := s.n()
	end := make([]int32, n)
	for k := n - 1; k >= 0; k-- {
		end[k] = int32(k + 1)
		s.work.spend(1 + len(s.lower.of(k)))
		if k+1 < n && joins(s.lower.of(k), s.lower.of(k+1), int32(k+1)) {
			end[k] = end[k+1]
		}
	}
	return end
}

// joins reports whether a column with rows a stands in one panel with the next,
// at position k with rows b.
func joins(a, b []int32, k int32) bool {
	return len(a) == len(b)+1 && a[0] == k && slices.Equal(a[1:], b)
}

// segments returns the runs of the rows of column k of U that lie in one panel,
// as pairs from, to. Such a run goes on to the end of the panel or to k.
func segments(rows, panelEnd []int32, k int32) []int32 {
	var pairs []int32
	for _, i := range rows {
		if len(pairs) > 0 && i < pairs[len(pairs)-1] {
			continue
		}
		pairs = append(pairs, i, min(panelEnd[i], k))
	}
	return pairs
}

func (p *panels) refactor(values []float64, limit float64, hold []bool) bool {
	ok := p.scaleRows(values, hold != nil)
	p.fixed, p.most = p.fixed[:0], 0
	units := p.units
	for k := range p.n() {
		p.loadColumn(k, values)
		for len(units) > 0 && int(units[0].column) == k {
			p.x[units[0].row] = 1
			units = units[1:]
		}
		pairs := p.segments.of(k)
		for i := 0; i < len(pairs); i += 2 {
			p.takeOut(int(pairs[i]), int(pairs[i+1]))
		}
		ok = p.finish(k, limit, hold) && ok
	}
	return ok
}

func (p *panels) loadColumn(k int, values []float64) {
	x, scale := p.x, p.scale
	for _, e := range p.entries[p.column[k]:p.column[k+1]] {
		x[e.row] += scale[e.row] * values[e.slot]
	}
}

// takeOut takes the columns from up to to, of one panel, out of the column at
// work: first of the rows inside the panel, which stand next to each other,
// then of those below.
func (p *panels) takeOut(from, to int) {
	end := int(p.panelEnd[from])
	p.takeOutInside(from, to, end)
	rows := p.lower.of(end - 1)
	p.work.spend((to - from) * (end - from + len(rows)))
	if len(rows) == 0 {
		return
	}
	for ; from+4 <= to; from += 4 {
		subtract4(p.x, rows, p.below(from, len(rows)), p.below(from+1, len(rows)), p.below(from+2, len(rows)), p.below(from+3, len(rows)), (*[4]float64)(p.x[from:]))
	}
	for ; from+2 <= to; from += 2 {
		subtract2(p.x, rows, p.below(from, len(rows)), p.below(from+1, len(rows)), p.x[from], p.x[from+1])
	}
	if from < to {
		subtract1(p.x, rows, p.below(from, len(rows)), p.x[from])
	}
}

// takeOutInside does so for the rows inside the panel, which ends at end.
func (p *panels) takeOutInside(from, to, end int) {
	for ; from+4 <= to; from += 4 {
		for t := from; t < from+3; t++ {
			start, _ := p.lower.span(t)
			subtract(p.x[t+1:from+4], p.l[start:], p.x[t])
		}
		subtractRun4(p.x[from+4:end], p.inside(from, 3), p.inside(from+1, 2), p.inside(from+2, 1), p.inside(from+3, 0), (*[4]float64)(p.x[from:]))
	}
	for ; from < to; from++ {
		subtract(p.x[from+1:end], p.inside(from, 0), p.x[from])
	}
}

// inside returns the values of column k of L but for the first few.
func (p *panels) inside(k, skipped int) []float64 {
	start, end := p.lower.span(k)
	return p.l[start+skipped : end]
}

// below returns the last n values of column k of L, those below its panel.
func (p *panels) below(k, n int) []float64 {
	end := int(p.lower.end[k])
	return p.l[end-n : end]
}

// subtract subtracts u times the first values of l from x.
func subtract(x, l []float64, u float64) {
	l = l[:len(x)]
	for i, v := range l {
		x[i] -= v * u
	}
}

// subtractRun4 subtracts the first values of four columns, w times, from x.
func subtractRun4(x, a, b, c, d []float64, w *[4]float64) {
	a, b, c, d = a[:len(x)], b[:len(x)], c[:len(x)], d[:len(x)]
	w0, w1, w2, w3 := w[0], w[1], w[2], w[3]
	for i := range x {
		x[i] -= (a[i]*w0 + b[i]*w1) + (c[i]*w2 + d[i]*w3)
	}
}

// subtract1 subtracts u·a from x, of which a holds the given rows.
func subtract1(x []float64, rows []int32, a []float64, u float64) {
	a = a[:len(rows)]
	for i, r := range rows {
		x[r] -= a[i] * u
	}
}

// subtract2 subtracts u·a + v·b in the same way.
func subtract2(x []float64, rows []int32, a, b []float64, u, v float64) {
	a, b = a[:len(rows)], b[:len(rows)]
	for i, r := range rows {
		x[r] -= a[i]*u + b[i]*v
	}
}

// subtract4 subtracts four columns in the same way.
func subtract4(x []float64, rows []int32, a, b, c, d []float64, w *[4]float64) {
	a, b, c, d = a[:len(rows)], b[:len(rows)], c[:len(rows)], d[:len(rows)]
	w0, w1, w2, w3 := w[0], w[1], w[2], w[3]
	for i, r := range rows {
		x[r] -= (a[i]*w0 + b[i]*w1) + (c[i]*w2 + d[i]*w3)
	}
}

// finish moves the column at work into the factors as column k, clears it and
// reports whether pivot and multipliers are sound.
func (p *panels) finish(k int, limit float64, hold []bool) bool {
	x := p.x
	from, to := p.upper.span(k)
	u := p.u[from:to]
	for e, i := range p.upper.index[from:to] {
		u[e], x[i] = x[i], 0
	}
	d := x[k]
	x[k] = 0
	ok := math.Abs(d) > soundPivot
	inverse := 1 / d
	p.d[k], p.inverse[k] = d, inverse
	from, to = p.lower.span(k)
	l := p.l[from:to]
	if !ok && hold != nil {
		for e, i := range p.lower.index[from:to] {
			l[e] = x[i]
		}
		if p.fix(k, hold) {
			ok, inverse, p.inverse[k] = true, 0, 1
		}
	}
	for e, i := range p.lower.index[from:to] {
		v := x[i] * inverse
		l[e], x[i] = v, 0
		if !(math.Abs(v) <= limit) {
			ok = false
		}
	}
	if hold != nil {
		for _, v := range l {
			p.most = max(p.most, math.Abs(v))
		}
	}
	return ok
}
