package sparse

// reach finds the rows that a column comes to hold during elimination: those
// it starts with and, from each that has served as pivot, the rows of that
// step's column of L. They are found depth first; a row stands behind all
// those it leads to, so that backwards through found is an order in which
// elimination may go.
type reach struct {
	found []int
	seen  []int // last round in which a row was found
	round int
	stack []visit
}

// visit is a row under way and the next entry of its column of L to look at.
type visit struct{ row, entry, end int }

func newReach(n int) reach { return reach{seen: make([]int, n)} }

func (r *reach) reset() {
	r.round++
	r.found = r.found[:0]
}

// visit finds i and what it leads to in p.
func (r *reach) visit(i int, p *pivoting) {
	if r.seen[i] == r.round {
		return
	}
	r.push(i, p)
	for len(r.stack) > 0 {
		top := &r.stack[len(r.stack)-1]
		if top.entry == top.end {
			r.found = append(r.found, top.row)
			r.stack = r.stack[:len(r.stack)-1]
			continue
		}
		next := p.lower.index[top.entry]
		top.entry++
		if r.seen[next] != r.round {
			r.push(next, p)
		}
	}
}

func (r *reach) push(i int, p *pivoting) {
	r.seen[i] = r.round
	v := visit{row: i}
	if k := p.step[i]; k >= 0 && !p.held[i] {
		v.entry, v.end = p.searched(k)
	}
	r.stack = append(r.stack, v)
}
