package net_test

import (
	"math"
	"math/rand/v2"
	"reflect"
	"slices"
	"testing"

	"gonum.org/v1/gonum/mat"

	"copperglass/model"
	"copperglass/model/geom"
	"copperglass/model/net"
)

func TestPieces(t *testing.T) {
	t.Parallel()
	d := &model.Diagram{
		Parts: []*model.Part{resistor("R1", 4, 2)}, // pins at (4, 0) and (4, 4)
		Wires: []*model.Wire{wire(0, 0, 8, 0, 8, 4), wire(6, -4, 6, 0), wire(2, -4, 2, 4)},
	}
	n := net.Build(d)
	pieces, joints := n.Pieces(d)
	type ends struct{ wire, ax, ay, bx, by int }
	var got []ends
	for _, p := range pieces {
		got = append(got, ends{p.Wire, p.A.X, p.A.Y, p.B.X, p.B.Y})
	}
	want := []ends{{0, 0, 0, 4, 0}, {0, 4, 0, 6, 0}, {0, 6, 0, 8, 0}, {0, 8, 0, 8, 4}, {1, 6, -4, 6, 0}, {2, 2, -4, 2, 4}}
	if !reflect.DeepEqual(got, want) {
		t.Errorf("pieces are %v, want %v", got, want)
	}
	for _, j := range joints {
		if j.At == geom.Pt(6, 0) && (j.Pieces != 3 || j.Pins != 0) || j.At == geom.Pt(4, 0) && (j.Pieces != 2 || j.Pins != 1) {
			t.Errorf("joint %+v", j)
		}
	}
	if !slices.IsSortedFunc(joints, func(a, b net.Joint) int { return (a.At.Y-b.At.Y)*1000 + a.At.X - b.At.X }) {
		t.Error("the joints are not sorted")
	}
}

// The pieces of a wire, put end to end, are the wire, and nothing joins between
// the ends of a piece.
func TestPiecesOfRandomSheets(t *testing.T) {
	t.Parallel()
	r := rand.New(rand.NewPCG(5, 6))
	for range 1000 {
		d := sheet(r)
		pieces, _ := net.Build(d).Pieces(d)
		at := map[int]geom.Point{}
		for i, w := range d.Wires {
			at[i] = w.Points[0]
		}
		for _, p := range pieces {
			if p.A != at[p.Wire] || p.A == p.B {
				t.Fatalf("wire %d is at %v, and its next piece goes from %v to %v", p.Wire, at[p.Wire], p.A, p.B)
			}
			at[p.Wire] = p.B
			for _, it := range items(d) {
				for _, end := range it.ends() {
					if end != p.A && end != p.B && end.OnSegment(p.A, p.B) {
						t.Fatalf("%s joins between %v and %v", it.name, p.A, p.B)
					}
				}
			}
		}
		for i, w := range d.Wires {
			if w.Ends()[1] != at[i] {
				t.Fatalf("the pieces of wire %v end at %v", w.Points, at[i])
			}
		}
	}
}

// graph is a random graph with currents that leave it, which add up to zero
// over each connected bit.
func graph(r *rand.Rand) (n int, edges [][2]int, out []float64) {
	n = 2 + r.IntN(8)
	out = make([]float64, n)
	for range r.IntN(2 * n) {
		e := [2]int{r.IntN(n), r.IntN(n)}
		edges = append(edges, e)
		x := r.Float64()*2 - 1
		out[e[0]] += x
		out[e[1]] -= x
	}
	return n, edges, out
}

// share is the twin of Distribute: the potentials come from a dense solve of
// the graph's Laplacian, made regular by a small conductance to ground.
func share(t *testing.T, n int, edges [][2]int, out []float64) []float64 {
	const small = 1e-9
	a, b, v := mat.NewDense(n, n, nil), mat.NewVecDense(n, nil), mat.NewVecDense(n, nil)
	for i := range n {
		a.Set(i, i, small)
		b.SetVec(i, -out[i])
	}
	for _, e := range edges {
		for k := range 2 {
			a.Set(e[k], e[k], a.At(e[k], e[k])+1)
			a.Set(e[k], e[1-k], a.At(e[k], e[1-k])-1)
		}
	}
	if err := v.SolveVec(a, b); err != nil {
		if _, badly := err.(mat.Condition); !badly {
			t.Fatal(err)
		}
	}
	current := make([]float64, len(edges))
	for i, e := range edges {
		current[i] = v.AtVec(e[0]) - v.AtVec(e[1])
	}
	return current
}

func TestDistribute(t *testing.T) {
	t.Parallel()
	r := rand.New(rand.NewPCG(7, 8))
	for range 2000 {
		n, edges, out := graph(r)
		given := slices.Clone(out)
		got, want := net.Distribute(n, edges, out), share(t, n, edges, out)
		for i := range edges {
			if math.Abs(got[i]-want[i]) > 1e-6 {
				t.Fatalf("edges %v, out %v:\ncurrents %v, want %v", edges, out, got, want)
			}
		}
		if !slices.Equal(out, given) {
			t.Fatal("the currents given were changed")
		}
	}
}

// Two ways round a loop share a current in inverse proportion to their length
// in edges: of 3 A over one edge and over two, 2 A and 1 A.
func TestDistributeRoundALoop(t *testing.T) {
	t.Parallel()
	got := net.Distribute(3, [][2]int{{0, 1}, {1, 2}, {0, 2}}, []float64{-3, 0, 3})
	for i, want := range []float64{1, 1, 2} {
		if math.Abs(got[i]-want) > 1e-12 {
			t.Errorf("edge %d carries %v A, want %v A", i, got[i], want)
		}
	}
}

func TestFlow(t *testing.T) {
	t.Parallel()
	d := &model.Diagram{
		Parts: []*model.Part{resistor("R1", 0, 2), resistor("R2", 4, 2), resistor("R3", 8, 2)}, // pins 1 at y = 0, pins 2 at y = 4
		Wires: []*model.Wire{wire(0, 0, 8, 0), wire(8, 4, 0, 4)},
	}
	n := net.Build(d)
	pieces, _ := n.Pieces(d)
	into := map[string]float64{"R1.1": -3, "R2.1": 2, "R3.1": 1, "R1.2": 3, "R2.2": -2, "R3.2": -1}
	got := n.Flow(d, pieces, func(p net.PinID) float64 { return into[p.String()] })
	want := []float64{3, 1, 1, 3} // along the top from R1; back along the bottom from R3
	for i := range want {
		if math.Abs(got[i]-want[i]) > 1e-12 {
			t.Errorf("piece %+v carries %v A, want %v A", pieces[i], got[i], want[i])
		}
	}
}

// A current that goes into one tag comes out of its like.
func TestFlowThroughTags(t *testing.T) {
	t.Parallel()
	left, right := wire(0, 0, 5, 0), wire(20, 0, 25, 0)
	far := withTags(&model.Part{Ref: "R3", Kind: "resistor"}, "1", "rail")
	d := &model.Diagram{
		Parts: []*model.Part{
			resistor("R1", 0, 2), symbol("TAG1", "tag", "rail", 5, 0),
			resistor("R2", 25, 2), symbol("TAG2", "tag", "rail", 20, 0), far,
		},
		Wires: []*model.Wire{left, right},
	}
	n := net.Build(d)
	pieces, _ := n.Pieces(d)
	into := map[string]float64{"R1.1": -3, "R2.1": 2, "R3.1": 1}
	got := n.Flow(d, pieces, func(p net.PinID) float64 { return into[p.String()] })
	for i, want := range []float64{3, 2} {
		if math.Abs(got[i]-want) > 1e-12 {
			t.Errorf("piece %+v carries %v A, want %v A", pieces[i], got[i], want)
		}
	}
}

// Kirchhoff's current law holds at every place where pieces meet, whatever the
// wires are like.
func TestFlowOfRandomSheets(t *testing.T) {
	t.Parallel()
	r := rand.New(rand.NewPCG(9, 10))
	for range 500 {
		d := sheet(r)
		for _, p := range d.Parts {
			p.Tags, p.Placed = nil, true
		}
		for _, w := range d.Wires {
			w.Tag = ""
		}
		n := net.Build(d)
		pieces, joints := n.Pieces(d)
		into := balanced(r, n)
		balance := map[geom.Point]float64{}
		for _, p := range d.Parts {
			for _, pin := range p.PlacedPins() {
				balance[pin.At] -= into[net.PinID{Ref: p.Ref, Pin: pin.Name}]
			}
		}
		for i, amps := range n.Flow(d, pieces, func(p net.PinID) float64 { return into[p] }) {
			balance[pieces[i].A] -= amps
			balance[pieces[i].B] += amps
		}
		for _, j := range joints {
			if math.Abs(balance[j.At]) > 1e-9 {
				t.Fatalf("at %v %v A are left over", j.At, balance[j.At])
			}
		}
	}
}

// balanced returns a current into every pin, adding up to zero over each net.
func balanced(r *rand.Rand, n *net.Netlist) map[net.PinID]float64 {
	into := map[net.PinID]float64{}
	for _, m := range n.Nets {
		for i := 1; i < len(m.Pins); i++ {
			x := r.Float64()*2 - 1
			into[m.Pins[i-1]] += x
			into[m.Pins[i]] -= x
		}
	}
	return into
}
