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

// eliminated is a matrix of which some columns of L are known.
type eliminated interface {
	// leads returns rows from which all are found that row i brings into a column.
	leads(i int) []int
}

// visit is a row under way and those it leads to that have not been looked at.
type visit struct {
	row  int
	rest []int
}

func newReach(n int) reach { return reach{seen: make([]int, n)} }

func (r *reach) reset() {
	r.round++
	r.found = r.found[:0]
}

// visit finds i and what it leads to in m.
func (r *reach) visit(i int, m eliminated) {
	if r.seen[i] == r.round {
		return
	}
	r.push(i, m)
	for len(r.stack) > 0 {
		top := &r.stack[len(r.stack)-1]
		if len(top.rest) == 0 {
			r.found = append(r.found, top.row)
			r.stack = r.stack[:len(r.stack)-1]
			continue
		}
		next := top.rest[0]
		top.rest = top.rest[1:]
		if r.seen[next] != r.round {
			r.push(next, m)
		}
	}
}

func (r *reach) push(i int, m eliminated) {
	r.seen[i] = r.round
	r.stack = append(r.stack, visit{i, m.leads(i)})
}
