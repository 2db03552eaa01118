package sparse

// matching pairs columns with rows.
type matching struct {
	m      *Matrix
	work   *meter
	row    []int // by column, −1 while free
	column []int // by row, −1 while free
	seen   []int // by row: last round in which it was looked at
	round  int
}

// transversal returns a row for each column, no row twice, with an entry of the
// matrix in as many of these places as can be (I. S. Duff, On algorithms for
// obtaining a maximum transversal, ACM Trans. Math. Software 7, 1981). It keeps
// to the diagonal where that has entries. Columns that find no row get one of
// those left over: the matrix is singular then whatever its values.
func transversal(m *Matrix, work *meter) []int {
	t := &matching{m: m, work: work, row: make([]int, m.n), column: make([]int, m.n), seen: make([]int, m.n), round: 1}
	for c := range m.n {
		t.row[c], t.column[c] = -1, -1
	}
	for c := range m.n {
		work.spend(len(t.rows(c)))
		for _, i := range t.rows(c) {
			if i == c {
				t.pair(c, c)
			}
		}
	}
	for c := range m.n {
		// What a search without success has seen will be in vain for others.
		if t.row[c] < 0 && t.augment(c) {
			t.round++
		}
	}
	t.pairLeftOver()
	return t.row
}

func (t *matching) rows(c int) []int { return t.m.row[t.m.start[c]:t.m.start[c+1]] }

func (t *matching) pair(i, c int) { t.row[c], t.column[i] = i, c }

// augment finds a row for c, moving others to other rows if it must.
func (t *matching) augment(c int) bool {
	t.work.spend(len(t.rows(c)))
	for _, i := range t.rows(c) {
		if t.column[i] < 0 {
			t.pair(i, c)
			return true
		}
	}
	for _, i := range t.rows(c) {
		if t.seen[i] == t.round {
			continue
		}
		t.seen[i] = t.round
		if t.augment(t.column[i]) {
			t.pair(i, c)
			return true
		}
	}
	return false
}

// pairLeftOver pairs the columns and rows that are still free: with each other
// where both have the same number.
func (t *matching) pairLeftOver() {
	for c, i := range t.row {
		if i < 0 && t.column[c] < 0 {
			t.pair(c, c)
		}
	}
	i := 0
	for c := range t.row {
		if t.row[c] >= 0 {
			continue
		}
		for t.column[i] >= 0 {
			i++
		}
		t.pair(i, c)
	}
}
