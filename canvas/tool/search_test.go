package tool

import (
	"math"
	"math/rand/v2"
	"testing"

	"copperglass/model/geom"
)

// least is the plain twin of search: it lets the costs of all states settle.
func (c *chart) least(t trip) int32 {
	cost := map[[2]int]int32{}
	s := &finder{}
	s.begin(c, t)
	cost[[2]int{c.cell(t.start), s.first()}] = 0
	for settled := false; !settled; {
		settled = true
		for at, sofar := range cost {
			p := c.point(at[0])
			for next, step := range directions[:4] {
				q := p.Add(step)
				if !c.room.Contains(q) || p != t.start && next == (at[1]+2)%4 {
					continue
				}
				v := sofar + c.bend(p, directions[at[1]], step, t) + c.step(q, step, t)
				to := [2]int{c.cell(q), next}
				if old, known := cost[to]; !known || v < old {
					cost[to], settled = v, false
				}
			}
		}
	}
	best := int32(math.MaxInt32)
	for at, v := range cost {
		if at[0] == c.cell(t.goal) {
			best = min(best, v)
		}
	}
	return best
}

func TestSearchFindsTheCheapestWay(t *testing.T) {
	t.Parallel()
	r := rand.New(rand.NewPCG(5, 5))
	var kept finder // the same memory for all
	for i := range 150 {
		room := geom.Rect{Min: geom.Pt(-3, 2), Max: geom.Pt(5+r.IntN(4), 9+r.IntN(4))}
		c := (&terrain{}).chart(room)
		somewhere := func() geom.Point { return c.point(r.IntN(len(c.toll))) }
		for range r.IntN(30) {
			c.toll[r.IntN(len(c.toll))] = []int32{alongCost, bodyCost, joinCost}[r.IntN(3)]
			c.mark(geom.Around(somewhere(), somewhere()), []uint8{level, steep}[r.IntN(2)])
		}
		job := trip{somewhere(), somewhere(), directions[r.IntN(5)], directions[r.IntN(5)], bendCost}
		if job.start == job.goal {
			continue
		}
		way := kept.search(c, job)
		if got, want := c.price(way, job), c.least(job); got != want {
			t.Fatalf("drawing %d: the way %v costs %d, the cheapest %d", i, way, got, want)
		}
	}
}

func TestFrontierGivesTheLeast(t *testing.T) {
	t.Parallel()
	r := rand.New(rand.NewPCG(6, 6))
	var f frontier
	waiting := map[int32]int{}
	for range 5000 {
		if r.IntN(3) > 0 {
			bound := int32(r.IntN(2 * cheapBounds))
			f.push(candidate{bound: bound})
			waiting[bound]++
			continue
		}
		c, ok := f.pop()
		if ok != (len(waiting) > 0) {
			t.Fatalf("pop gave %t with %d bounds waiting", ok, len(waiting))
		}
		for bound := range waiting {
			if bound < c.bound {
				t.Fatalf("pop gave %d before %d", c.bound, bound)
			}
		}
		if waiting[c.bound]--; waiting[c.bound] <= 0 {
			delete(waiting, c.bound)
		}
	}
}

func TestSimplify(t *testing.T) {
	t.Parallel()
	tests := []struct{ way, want []geom.Point }{
		{pts(0, 0, 4, 0), pts(0, 0, 4, 0)},
		{pts(0, 0, 0, 0), pts(0, 0, 0, 0)},
		{pts(0, 0, 2, 0, 4, 0, 4, 3), pts(0, 0, 4, 0, 4, 3)},
		{pts(0, 0, 2, 0, 2, 0, 2, 3), pts(0, 0, 2, 0, 2, 3)},
		{pts(0, 0, 6, 0, 4, 0, 4, 3), pts(0, 0, 4, 0, 4, 3)}, // out and back
		{pts(0, 0, 4, 0, 4, 5, 4, 0, 8, 0), pts(0, 0, 8, 0)}, // aside and back
		{pts(0, 0, 4, 0, 0, 0), pts(0, 0, 0, 0)},             // and all the way back
		{pts(0, 0, 2, 0, 2, 3, 2, 3, 2, 5, 6, 5), pts(0, 0, 2, 0, 2, 5, 6, 5)},
	}
	for _, test := range tests {
		got := simplify(test.way)
		if len(got) != len(test.want) {
			t.Errorf("%v becomes %v, want %v", test.way, got, test.want)
			continue
		}
		for i := range got {
			if got[i] != test.want[i] {
				t.Errorf("%v becomes %v, want %v", test.way, got, test.want)
				break
			}
		}
	}
}

func pts(xy ...int) []geom.Point {
	var out []geom.Point
	for i := 0; i < len(xy); i += 2 {
		out = append(out, geom.Pt(xy[i], xy[i+1]))
	}
	return out
}
