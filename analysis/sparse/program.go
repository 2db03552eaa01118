package sparse

import "math"

// program makes the factors by a list of all operations of elimination, compiled
// beforehand, in the order of Markowitz's elimination form: each pivot is taken
// out of the rows and columns after it at once. The operations of all pivots of
// a stage stand together, so that no loop is short.
type program struct {
	*factors
	operations []operation
}

// operation is value[target] −= value[l]·value[u].
type operation struct{ target, l, u int32 }

func newProgram(m *Matrix, held []bool, s *structure) *program {
	s, ends := s.byLevel()
	p := &program{factors: newFactors(m, held, s, s.stagesOf(ends))}
	stageOf := owners(lists{end: ends, index: make([]int32, s.n())}, s.work)
	next := make([]int32, len(ends)+1) // by stage: where its next operation goes
	p.eachOperation(func(j int32, _ operation) { next[stageOf[j]+1]++ })
	for i := range p.stages {
		next[i+1] += next[i]
		p.stages[i].operation = next[i+1]
	}
	p.operations = make([]operation, next[len(ends)])
	p.eachOperation(func(j int32, o operation) {
		p.operations[next[stageOf[j]]] = o
		next[stageOf[j]]++
	})
	return p
}

// eachOperation calls f for each operation with the position of its pivot, in
// the order of the columns it changes.
func (p *program) eachOperation(f func(j int32, o operation)) {
	where := make([]int32, p.n())
	for k := range p.n() {
		p.locate(k, where)
		for _, j := range p.upper.of(k) {
			from, to := p.lower.span(int(j))
			p.work.spend(to - from)
			for e := from; e < to; e++ {
				f(j, operation{where[p.lower.index[e]], int32(e), where[j]})
			}
		}
	}
}

func (p *program) refactor(values []float64, limit float64, hold []bool) bool {
	ok := p.scaleRows(values, hold != nil)
	p.fixed, p.most = p.fixed[:0], 0
	p.load(values)
	v, from := p.value, stage{}
	for _, to := range p.stages {
		if !p.finish(from, to, limit, hold) {
			ok = false
		}
		for _, o := range p.operations[from.operation:to.operation] {
			v[o.target] -= v[o.l] * v[o.u]
		}
		from = to
	}
	return ok
}

// finish inverts the pivots of a stage, divides their columns of L by them, and
// reports whether that went well.
func (p *program) finish(from, to stage, limit float64, hold []bool) bool {
	ok := true
	inverse := p.inverse[from.position:to.position]
	d := p.d[from.position:to.position]
	for k := range inverse {
		inverse[k] = 1 / d[k]
		if !(math.Abs(d[k]) > soundPivot) {
			if p.fix(int(from.position)+k, hold) {
				inverse[k] = 0
			} else {
				ok = false
			}
		}
	}
	l, of := p.l[from.lower:to.lower], p.lowerOf[from.lower:to.lower]
	inverse = p.inverse
	for e, x := range l {
		x *= inverse[of[e]]
		l[e] = x
		if !(math.Abs(x) <= limit) {
			ok = false
		}
	}
	if hold != nil {
		for _, x := range l {
			p.most = max(p.most, math.Abs(x))
		}
	}
	for n := len(p.fixed) - 1; n >= 0 && p.fixed[n].position >= from.position; n-- {
		p.inverse[p.fixed[n].position] = 1
	}
	return ok
}
