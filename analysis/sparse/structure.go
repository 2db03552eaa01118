package sparse

// structure says where L and U may hold something else than zero, for one
// sequence of pivots. Positions count from 0 in the order of elimination.
type structure struct {
	work         *meter
	row, col     []int32 // by position: the pivot's row and column in A
	lower, upper lists   // by column: positions of rows, ascending; diagonals left out
}

// lists are lists of positions, one after the other.
type lists struct {
	end   []int32 // by list
	index []int32
}

// span returns where list k begins and ends.
func (l *lists) span(k int) (from, to int) {
	if k > 0 {
		from = int(l.end[k-1])
	}
	return from, int(l.end[k])
}

func (l *lists) of(k int) []int32 {
	from, to := l.span(k)
	return l.index[from:to]
}

func (s *structure) n() int { return len(s.row) }

// structure returns that of the factors just computed.
func (p *pivoting) structure() *structure {
	n := len(p.pivot)
	s := &structure{work: p.meter, row: make([]int32, n), col: make([]int32, n)}
	for k := range n {
		s.row[k], s.col[k] = int32(p.pivot[k]), int32(p.column[k])
	}
	lower := lists{end: make([]int32, n), index: make([]int32, len(p.lower.index))}
	upper := lists{end: make([]int32, n), index: make([]int32, len(p.upper.index))}
	for k := range n {
		lower.end[k], upper.end[k] = int32(p.lower.end[k]), int32(p.upper.end[k])
	}
	for e, i := range p.lower.index {
		lower.index[e] = int32(p.step[i])
	}
	for e, k := range p.upper.index {
		upper.index[e] = int32(k)
	}
	s.lower, s.upper = sorted(lower, s.work), sorted(upper, s.work)
	return s
}

// transpose returns, for each position, the lists that hold it, ascending.
func transpose(l lists, work *meter) lists {
	n := len(l.end)
	t := lists{end: make([]int32, n), index: make([]int32, len(l.index))}
	count := make([]int32, n+1)
	for _, i := range l.index {
		count[i+1]++
	}
	for i := range n {
		count[i+1] += count[i]
		t.end[i] = count[i+1]
	}
	for k := range n {
		work.spend(1 + len(l.of(k)))
		for _, i := range l.of(k) {
			t.index[count[i]] = int32(k)
			count[i]++
		}
	}
	return t
}

// sorted returns l with each list in ascending order, in linear time.
func sorted(l lists, work *meter) lists { return transpose(transpose(l, work), work) }

// operations returns how many multiplications elimination takes.
func (s *structure) operations() int {
	inRow := make([]int, s.n())
	for _, i := range s.upper.index {
		inRow[i]++
	}
	sum := 0
	for k, u := range inRow {
		from, to := s.lower.span(k)
		sum += (to - from) * u
	}
	return sum
}

// byLevel returns s with its steps in another order, and where each level ends:
// the steps of a level do not depend on each other, only on those of levels
// before.
func (s *structure) byLevel() (*structure, []int32) {
	n := s.n()
	level := make([]int32, n)
	levels := int32(0)
	for k := range n {
		s.work.spend(1 + len(s.lower.of(k)) + len(s.upper.of(k)))
		for _, i := range s.upper.of(k) {
			level[k] = max(level[k], level[i]+1)
		}
		for _, i := range s.lower.of(k) {
			level[i] = max(level[i], level[k]+1)
		}
		levels = max(levels, level[k]+1)
	}
	end := make([]int32, levels+1)
	for _, l := range level {
		end[l+1]++
	}
	for l := range levels {
		end[l+1] += end[l]
	}
	next := append([]int32(nil), end[:levels]...)
	position := make([]int32, n)
	for k, l := range level {
		position[k] = next[l]
		next[l]++
	}
	return s.renumbered(position), end[1:]
}

// renumbered returns s with the steps in other positions.
func (s *structure) renumbered(position []int32) *structure {
	n := s.n()
	t := &structure{work: s.work, row: make([]int32, n), col: make([]int32, n)}
	former := make([]int32, n)
	for k, p := range position {
		former[p] = int32(k)
		t.row[p], t.col[p] = s.row[k], s.col[k]
	}
	move := func(l lists) lists {
		to := lists{end: make([]int32, n), index: make([]int32, 0, len(l.index))}
		for p, k := range former {
			s.work.spend(1 + len(l.of(int(k))))
			for _, i := range l.of(int(k)) {
				to.index = append(to.index, position[i])
			}
			to.end[p] = int32(len(to.index))
		}
		return sorted(to, s.work)
	}
	t.lower, t.upper = move(s.lower), move(s.upper)
	return t
}
