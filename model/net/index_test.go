package net

import (
	"math/bits"
	"math/rand/v2"
	"slices"
	"testing"

	"copperglass/model"
	"copperglass/model/geom"
)

// scrawl is a tangle of wires in all directions, some of no length, on few
// places so that they meet and lie upon each other.
func scrawl(r *rand.Rand) []*model.Wire {
	wires := make([]*model.Wire, r.IntN(30))
	for i := range wires {
		wires[i] = &model.Wire{}
		at := place(r)
		for range 2 + r.IntN(3) {
			wires[i].Points = append(wires[i].Points, at)
			switch next := place(r); r.IntN(3) {
			case 0:
				at.X = next.X
			case 1:
				at.Y = next.Y
			default:
				at = next
			}
		}
	}
	return wires
}

func place(r *rand.Rand) geom.Point { return geom.Pt(r.IntN(9)-4, r.IntN(9)-4) }

// touching is the plain definition.
func touching(wires []*model.Wire, p geom.Point) []int {
	var found []int
	for i, w := range wires {
		if w.Touches(p) {
			found = append(found, i)
		}
	}
	return found
}

// The index finds what comparing with every wire finds, when it is used again
// for other wires too.
func TestIndexFindsWhatTouches(t *testing.T) {
	t.Parallel()
	r := rand.New(rand.NewPCG(5, 6))
	var used WireIndex
	hits := 0
	for range 1000 {
		wires := scrawl(r)
		used.index(wires, nil)
		fresh := IndexWires(wires)
		for range 20 {
			p := place(r)
			want := touching(wires, p)
			hits += len(want)
			if got := fresh.At(p); !slices.Equal(got, want) {
				t.Fatalf("at %v there are wires %v, but %v were found", p, want, got)
			}
			if got := used.At(p); !slices.Equal(got, want) {
				t.Fatalf("at %v there are wires %v, but an index used again found %v", p, want, got)
			}
		}
	}
	if hits < 10_000 {
		t.Errorf("only %d wires were met", hits)
	}
}

// rail is a long line drawn twice: once as a whole and once from tap to tap.
func rail(taps int, to func(along int) geom.Point) []*model.Wire {
	wires := []*model.Wire{{Points: []geom.Point{to(0), to(taps)}}}
	for i := range taps {
		wires = append(wires, &model.Wire{Points: []geom.Point{to(i), to(i + 1)}})
	}
	return wires
}

// A search looks at few pieces for each level of the tree and each wire found,
// however many lie on the same line.
func TestIndexLooksAtFewPieces(t *testing.T) {
	t.Parallel()
	for name, to := range map[string]func(int) geom.Point{
		"level":   func(i int) geom.Point { return geom.Pt(i, 7) },
		"upright": func(i int) geom.Point { return geom.Pt(7, -i) },
		"oblique": func(i int) geom.Point { return geom.Pt(3*i, 2*i) },
		"a comb":  func(i int) geom.Point { return geom.Pt(i, i%2) },
	} {
		for _, taps := range []int{100, 10_000} {
			x := IndexWires(rail(taps, to))
			found := 0
			for i := range taps + 1 {
				found += len(x.At(to(i)))
			}
			if found < 2*taps {
				t.Fatalf("%s: %d found at %d taps", name, found, taps)
			}
			most := 2 * len(x.runs) * (taps + 1 + found) * bits.Len(uint(taps))
			if x.looked > most {
				t.Errorf("%s: looked at %d pieces for %d taps, more than %d", name, x.looked, taps, most)
			}
		}
	}
}

// The ends that are loose and the pins that stand alone are those that comparing
// everything with everything finds.
func TestWhatIsJoinedToNothing(t *testing.T) {
	t.Parallel()
	r := rand.New(rand.NewPCG(7, 8))
	loose, alone := 0, 0
	for range 1000 {
		d := &model.Diagram{Wires: scrawl(r)}
		for i := range r.IntN(4) {
			d.Parts = append(d.Parts, &model.Part{Ref: "R" + string(rune('1'+i)), Kind: "resistor", Placed: true, At: place(r)})
		}
		n := Build(d)
		if want := looseTwin(d); !slices.Equal(n.Loose(), want) {
			t.Fatalf("loose ends are %v, want %v", n.Loose(), want)
		}
		loose += len(n.Loose())
		for _, p := range d.Parts {
			for _, pin := range p.PlacedPins() {
				want := len(touching(d.Wires, pin.At)) == 0 && pinsAt(d, pin.At) == 1
				if n.Alone(p.Ref, pin.Name) != want {
					t.Fatalf("%s.%s stands alone: %v, want %v", p.Ref, pin.Name, !want, want)
				}
				if want {
					alone++
				}
			}
		}
	}
	if loose < 1000 || alone < 100 {
		t.Errorf("only %d loose ends and %d pins alone were met", loose, alone)
	}
}

func looseTwin(d *model.Diagram) []Loose {
	var loose []Loose
	for i, w := range d.Wires {
		for _, end := range w.Ends() {
			if w.Tag == "" && pinsAt(d, end) == 0 && len(touching(d.Wires, end)) < 2 {
				loose = append(loose, Loose{i, end})
			}
		}
	}
	return loose
}

func pinsAt(d *model.Diagram, at geom.Point) int {
	count := 0
	for _, p := range d.Parts {
		for _, pin := range p.PlacedPins() {
			if pin.At == at {
				count++
			}
		}
	}
	return count
}
