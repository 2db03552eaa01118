package sparse

// matching pairs columns with rows.
type matching struct {
	m      *Matrix
	work   *meter
	row    []int // by column, −1 while free
	column []int // by row, −1 while free
	path   []hop
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

// augment finds a row for c, moving others to other rows if it must: it follows
// rows to the columns they are taken by, depth first, until one of these has a
// free row.
func (t *matching) augment(c int) bool {
	t.path = append(t.path[:0], hop{column: c})
	for len(t.path) > 0 {
		top := &t.path[len(t.path)-1]
		rows := t.rows(top.column)
		t.work.spend(cacheMiss + len(rows))
		if top.next == 0 {
			top.row = t.freeRow(rows)
		}
		if top.row >= 0 && t.column[top.row] < 0 {
			for _, h := range t.path {
				t.pair(h.row, h.column)
			}
			return true
		}
		for top.next < len(rows) && t.seen[rows[top.next]] == t.round {
			top.next++
		}
		if top.next == len(rows) {
			t.path = t.path[:len(t.path)-1]
			continue
		}
		top.row = rows[top.next]
		t.seen[top.row] = t.round
		t.path = append(t.path, hop{column: t.column[top.row]})
	}
	return false
}

// cacheMiss is how many operations finding one column's rows amounts to.
const cacheMiss = 30

// hop is a column on the way, the row that it would move to, and how many of its
// rows have been followed.
type hop struct{ column, row, next int }

// freeRow returns a row that no column has taken, −1 where there is none.
func (t *matching) freeRow(rows []int) int {
	for _, i := range rows {
		if t.column[i] < 0 {
			return i
		}
	}
	return -1
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
