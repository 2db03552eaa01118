package tool

import (
	"math"
	"slices"

	"copperglass/model/geom"
)

// directions are the steps a way is made of, each opposite to the one two
// further on. Its state at a place is the direction in which it came, or
// undirected where it begins.
var directions = [states]geom.Point{{X: 1}, {Y: 1}, {X: -1}, {Y: -1}, undirected: {}}

const (
	undirected = 4
	states     = 5 // at each place
)

// search finds the cheapest way in the chart by the method of P. E. Hart, N. J.
// Nilsson and B. Raphael, IEEE Trans. Systems Science and Cybernetics 4 (1968),
// over places and directions.
func (s *finder) search(c *chart, t trip) []geom.Point {
	s.begin(c, t)
	s.visit(t.start, s.first(), undirected, 0)
	for {
		at, ok := s.open.pop()
		if !ok {
			return nil
		}
		if at.cost > s.cost[at.state] {
			continue
		}
		p, dir := c.point(int(at.state)/states), int(at.state)%states
		if p == t.goal {
			return s.trace(dir)
		}
		s.leave(p, dir, at.cost)
	}
}

// finder is a search under way. It keeps its memory for the next.
type finder struct {
	*chart
	trip trip
	cost []int32 // by state: of the best way known
	from []int8  // by state: direction in which that way came to the place before
	open frontier
}

func (s *finder) begin(c *chart, t trip) {
	n := len(c.toll) * states
	s.chart, s.trip, s.cost, s.from = c, t, grown(s.cost, n), grown(s.from, n)
	for i := range s.cost {
		s.cost[i] = math.MaxInt32
	}
	s.open.begin()
}

// first returns the direction to start in.
func (s *finder) first() int {
	if i := slices.Index(directions[:4], s.trip.out); i >= 0 {
		return i
	}
	return undirected
}

// leave goes on from p to its neighbours, but not back: only from the start
// may a way leave against the direction in which it should.
func (s *finder) leave(p geom.Point, dir int, cost int32) {
	for next, step := range directions[:4] {
		q := p.Add(step)
		if s.room.Contains(q) && (p == s.trip.start || next != (dir+2)%4) {
			s.visit(q, next, dir, cost+s.bend(p, directions[dir], step, s.trip)+s.step(q, step, s.trip))
		}
	}
}

// visit notes a way to p that came in direction dir, and before that in from.
func (s *finder) visit(p geom.Point, dir, from int, cost int32) {
	state := s.cell(p)*states + dir
	if s.cost[state] <= cost {
		return
	}
	s.cost[state], s.from[state] = cost, int8(from)
	s.open.push(candidate{cost + s.left(p, dir), cost, int32(state)})
}

// left returns the least that it can cost to go on from p, reached in that
// direction, to the goal: the steps, and the bends without which it cannot be
// come to.
func (s *finder) left(p geom.Point, dir int) int32 {
	way, d := towards(p, s.trip.goal), directions[dir]
	bends := abs(way.X * way.Y) // 1 where the goal lies aslant
	switch ahead := d.X*way.X + d.Y*way.Y; {
	case way == geom.Point{} || dir == undirected || ahead > 0:
	case ahead < 0:
		bends = 2
	default:
		bends = 1
	}
	return int32(gap(p, s.trip.goal) + bends*bendCost)
}

// trace returns the way that came to the goal in direction dir.
func (s *finder) trace(dir int) []geom.Point {
	p := s.trip.goal
	way := []geom.Point{p}
	for p != s.trip.start {
		from := int(s.from[s.cell(p)*states+dir])
		p = p.Sub(directions[dir])
		way = append(way, p)
		dir = from
	}
	return simplify(reversed(way))
}
