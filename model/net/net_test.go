package net_test

import (
	"fmt"
	"math/rand/v2"
	"reflect"
	"slices"
	"sort"
	"strings"
	"testing"

	"copperglass/model"
	"copperglass/model/geom"
	"copperglass/model/net"
)

// resistor stands upright at (x, y) with pin 1 at (x, y−2) and pin 2 at
// (x, y+2).
func resistor(ref string, x, y int) *model.Part {
	return &model.Part{Ref: ref, Kind: "resistor", Placed: true, At: geom.Pt(x, y), Orient: geom.Orientation{Turn: 90}}
}

func symbol(ref, kind, value string, x, y int) *model.Part {
	return &model.Part{Ref: ref, Kind: kind, Value: value, Placed: true, At: geom.Pt(x, y)}
}

// wire runs through the points given as x, y, x, y…
func wire(coordinates ...int) *model.Wire {
	w := &model.Wire{}
	for i := 0; i < len(coordinates); i += 2 {
		w.Points = append(w.Points, geom.Pt(coordinates[i], coordinates[i+1]))
	}
	return w
}

func tagged(w *model.Wire, tag string) *model.Wire {
	w.Tag = tag
	return w
}

func withTags(p *model.Part, tags ...string) *model.Part {
	p.Tags = map[string]string{}
	for i := 0; i < len(tags); i += 2 {
		p.Tags[tags[i]] = tags[i+1]
	}
	return p
}

// describe writes each net as "name: pins".
func describe(n *net.Netlist) []string {
	var out []string
	for _, m := range n.Nets {
		var pins []string
		for _, p := range m.Pins {
			pins = append(pins, p.String())
		}
		out = append(out, strings.TrimSpace(m.Name+": "+strings.Join(pins, " ")))
	}
	return out
}

func TestBuild(t *testing.T) {
	t.Parallel()
	type parts = []*model.Part
	type wires = []*model.Wire
	tests := []struct {
		name  string
		parts parts
		wires wires
		want  []string
	}{
		{"nothing", nil, nil, nil},
		{"apart", parts{resistor("R1", 0, 0), resistor("R2", 9, 0)}, nil,
			[]string{"R1.1: R1.1", "R1.2: R1.2", "R2.1: R2.1", "R2.2: R2.2"}},
		{"pin on pin", parts{resistor("R1", 0, 0), resistor("R2", 0, 4)}, nil,
			[]string{"R1.1: R1.1", "R1.2: R1.2 R2.1", "R2.2: R2.2"}},
		{"three pins on one place", parts{resistor("R1", 0, 0), resistor("R2", 0, 4), symbol("GND1", "ground", "", 0, 2)}, nil,
			[]string{"GND: R1.2 R2.1", "R1.1: R1.1", "R2.2: R2.2"}},
		{"a wire from end to end", parts{resistor("R1", 0, 0), resistor("R2", 9, 0)}, wires{wire(0, -2, 9, -2)},
			[]string{"R1.1: R1.1 R2.1", "R1.2: R1.2", "R2.2: R2.2"}},
		{"a pin on the middle of a wire", parts{resistor("R1", 0, 0), resistor("R2", 9, 0)}, wires{wire(-5, -2, 20, -2)},
			[]string{"R1.1: R1.1 R2.1", "R1.2: R1.2", "R2.2: R2.2"}},
		{"a pin on a bend", parts{resistor("R1", 0, 0)}, wires{wire(-5, -2, 0, -2, 0, -9)},
			[]string{"R1.1: R1.1", "R1.2: R1.2"}},
		{"an end on a wire", parts{resistor("R1", 0, 0), resistor("R2", 9, 0)}, wires{wire(0, -2, 9, -2), wire(4, -2, 4, 2), wire(4, 2, 0, 2)},
			[]string{"R1.1: R1.1 R1.2 R2.1", "R2.2: R2.2"}},
		{"wires that only cross", parts{resistor("R1", 0, 0), resistor("R2", 9, 0)}, wires{wire(0, -2, 9, -2), wire(4, -9, 4, 9)},
			[]string{"R1.1: R1.1 R2.1", "R1.2: R1.2", "R2.2: R2.2", "W2:"}},
		{"a bend on a wire only crosses", nil, wires{wire(0, 0, 8, 0), wire(4, -4, 4, 0, 2, 4)},
			[]string{"W1:", "W2:"}},
		{"a slanting wire", parts{resistor("R1", 0, 0), resistor("R2", 4, 8)}, wires{wire(0, 2, 4, 6)},
			[]string{"R1.1: R1.1", "R1.2: R1.2 R2.1", "R2.2: R2.2"}},
		{"tags alone", parts{
			withTags(&model.Part{Ref: "R1", Kind: "resistor"}, "1", "in", "2", "out"),
			withTags(&model.Part{Ref: "R2", Kind: "resistor"}, "1", "out", "2", "GND")}, nil,
			[]string{"GND: R2.2", "in: R1.1", "out: R1.2 R2.1"}},
		{"parts without a place touch nothing", parts{
			{Ref: "R1", Kind: "resistor"}, {Ref: "R2", Kind: "resistor"}}, wires{wire(-2, 0, 2, 0)},
			[]string{"R1.1: R1.1", "R1.2: R1.2", "R2.1: R2.1", "R2.2: R2.2", "W1:"}},
		{"a tag on a wire", parts{resistor("R1", 0, 0), withTags(resistor("R2", 9, 0), "2", "rail")}, wires{tagged(wire(0, 2, 0, 6), "rail")},
			[]string{"R1.1: R1.1", "R2.1: R2.1", "rail: R1.2 R2.2"}},
		{"tag symbols", parts{resistor("R1", 0, 0), resistor("R2", 9, 0), symbol("TAG1", "tag", "rail", 0, 2), symbol("TAG2", "tag", "rail", 9, 2)}, nil,
			[]string{"R1.1: R1.1", "R2.1: R2.1", "rail: R1.2 R2.2"}},
		{"the tag GND is ground", parts{withTags(resistor("R1", 0, 0), "1", "GND"), symbol("GND1", "ground", "", 0, 2)}, nil,
			[]string{"GND: R1.1 R1.2"}},
		{"two tags", parts{withTags(resistor("R10", 0, 0), "1", "b"), withTags(resistor("R9", 0, -4), "2", "a")}, nil,
			[]string{"R9.1: R9.1", "R10.2: R10.2", "a: R9.2 R10.1"}},
		{"natural order", parts{resistor("R10", 0, 0), resistor("R2", 0, 4), resistor("R1", 20, 0)}, wires{wire(20, -2, 0, -2)},
			[]string{"R1.1: R1.1 R10.1", "R1.2: R1.2", "R2.1: R2.1 R10.2", "R2.2: R2.2"}},
	}
	for _, test := range tests {
		d := &model.Diagram{Parts: test.parts, Wires: test.wires}
		if got := describe(net.Build(d)); !slices.Equal(got, test.want) {
			t.Errorf("%s: nets are %q, want %q", test.name, got, test.want)
		}
	}
}

func TestFind(t *testing.T) {
	t.Parallel()
	d := &model.Diagram{
		Parts: []*model.Part{withTags(resistor("R1", 0, 0), "1", "b"), withTags(resistor("R2", 0, -4), "2", "a"), symbol("GND1", "ground", "", 0, 2)},
		Wires: []*model.Wire{wire(20, 20, 30, 20)},
	}
	n := net.Build(d)
	tests := map[string]string{
		"a": "a", "b": "a", "R1.1": "a", "R2.2": "a", "GND": "GND", "R1.2": "GND", "R2.1": "R2.1", "W1": "W1",
	}
	for name, want := range tests {
		if i := n.Find(name); i < 0 || n.Nets[i].Name != want {
			t.Errorf("%s is net %d, want %s", name, i, want)
		}
	}
	for _, name := range []string{"", "c", "R1", "R1.3"} {
		if i := n.Find(name); i >= 0 {
			t.Errorf("%q is net %s", name, n.Nets[i].Name)
		}
	}
	if n.Pin("R1", "3") != -1 || n.Pin("R9", "1") != -1 || n.Ground != n.Pin("R1", "2") || !n.Nets[n.Ground].Ground {
		t.Error("pins or ground are not where they should be")
	}
}

// A tag may carry a name that a pin's net has by itself; the nets stay apart
// and their names must differ.
func TestNetNamesAreUnique(t *testing.T) {
	t.Parallel()
	d := &model.Diagram{Parts: []*model.Part{resistor("R1", 0, 0), withTags(resistor("R2", 9, 0), "1", "R1.1", "2", "W1")}, Wires: []*model.Wire{wire(20, 20, 30, 20)}}
	n := net.Build(d)
	seen := map[string]bool{}
	for _, m := range n.Nets {
		if seen[m.Name] {
			t.Errorf("two nets are called %s", m.Name)
		}
		seen[m.Name] = true
	}
}

func TestLooseEnds(t *testing.T) {
	t.Parallel()
	d := &model.Diagram{
		Parts: []*model.Part{resistor("R1", 0, 0)},
		Wires: []*model.Wire{
			wire(0, 2, 0, 8),                       // from a pin to a wire
			wire(-4, 8, 4, 8),                      // both ends free
			tagged(wire(20, 0, 30, 0), "rail"),     // named, so neither end is loose
			wire(0, -2, 5, -2, 5, -5, 0, -5),       // from a pin to nowhere
			wire(40, 0, 50, 0), wire(50, 0, 60, 0), // end to end
		},
	}
	want := []net.Loose{
		{Wire: 1, At: geom.Pt(-4, 8)}, {Wire: 1, At: geom.Pt(4, 8)}, {Wire: 3, At: geom.Pt(0, -5)},
		{Wire: 4, At: geom.Pt(40, 0)}, {Wire: 5, At: geom.Pt(60, 0)},
	}
	if got := net.Build(d).Loose(); !reflect.DeepEqual(got, want) {
		t.Errorf("loose ends are %v, want %v", got, want)
	}
}

// sheet is a random drawing on a grid so narrow that much of it touches.
func sheet(r *rand.Rand) *model.Diagram {
	d := &model.Diagram{}
	point := func() geom.Point { return geom.Pt(r.IntN(9), r.IntN(9)) }
	tags := []string{"a", "b", "GND"}
	for i := range 1 + r.IntN(6) {
		p := &model.Part{Ref: fmt.Sprint("R", i+1), Kind: "resistor", Placed: r.IntN(6) > 0, At: point(), Orient: geom.Orientation{Turn: 90 * r.IntN(4)}}
		if r.IntN(3) == 0 {
			withTags(p, fmt.Sprint(1+r.IntN(2)), tags[r.IntN(3)])
		}
		d.Parts = append(d.Parts, p)
	}
	for range r.IntN(6) {
		from, to := point(), point()
		w := &model.Wire{Points: []geom.Point{from, geom.Pt(to.X, from.Y), to}}
		if r.IntN(2) == 0 {
			w.Points = []geom.Point{from, to}
		}
		if r.IntN(5) == 0 {
			w.Tag = tags[r.IntN(3)]
		}
		d.Wires = append(d.Wires, w)
	}
	return d
}

// item is a pin or a wire, with the places and the names it has.
type item struct {
	name  string
	pin   []geom.Point // where it stands, if it does
	wire  *model.Wire
	names []string
}

func items(d *model.Diagram) []item {
	var all []item
	for _, p := range d.Parts {
		for _, pin := range p.PlacedPins() {
			it := item{name: p.Ref + "." + pin.Name, names: []string{p.Tags[pin.Name]}}
			if p.Placed {
				it.pin = []geom.Point{pin.At}
			}
			all = append(all, it)
		}
	}
	for i, w := range d.Wires {
		all = append(all, item{name: net.WireName(i), wire: w, names: []string{w.Tag}})
	}
	return all
}

// ends returns the places at which the item can join others.
func (it item) ends() []geom.Point {
	if it.wire != nil {
		ends := it.wire.Ends()
		return ends[:]
	}
	return it.pin
}

func (it item) covers(p geom.Point) bool {
	if it.wire != nil {
		return it.wire.Touches(p)
	}
	return slices.Contains(it.pin, p)
}

// joined is the plain definition: an end of either on the other, or one name.
func joined(a, b item) bool {
	for _, name := range a.names {
		if name != "" && slices.Contains(b.names, name) {
			return true
		}
	}
	return slices.ContainsFunc(a.ends(), b.covers) || slices.ContainsFunc(b.ends(), a.covers)
}

// groups joins items until nothing changes any more.
func groups(all []item) []string {
	group := make([]int, len(all))
	for i := range group {
		group[i] = i
	}
	for changed := true; changed; {
		changed = false
		for i := range all {
			for j := range all {
				if group[j] < group[i] && joined(all[i], all[j]) {
					group[i], changed = group[j], true
				}
			}
		}
	}
	byGroup := map[int][]string{}
	for i, g := range group {
		byGroup[g] = append(byGroup[g], all[i].name)
	}
	var out []string
	for _, names := range byGroup {
		sort.Strings(names)
		out = append(out, strings.Join(names, " "))
	}
	sort.Strings(out)
	return out
}

// The nets are the same as those of a slow twin that compares everything with
// everything.
func TestNetsOfRandomSheets(t *testing.T) {
	t.Parallel()
	r := rand.New(rand.NewPCG(1, 2))
	for range 2000 {
		d := sheet(r)
		var got []string
		n := net.Build(d)
		for i, m := range n.Nets {
			var names []string
			for _, p := range m.Pins {
				names = append(names, p.String())
			}
			for _, w := range n.Wires(i) {
				names = append(names, net.WireName(w))
			}
			sort.Strings(names)
			got = append(got, strings.Join(names, " "))
		}
		sort.Strings(got)
		if want := groups(items(d)); !slices.Equal(got, want) {
			t.Fatalf("nets are\n%q, want\n%q", got, want)
		}
	}
}

// The order of parts and wires in the file says nothing about the nets.
func TestNetsDoNotDependOnTheOrder(t *testing.T) {
	t.Parallel()
	r := rand.New(rand.NewPCG(3, 4))
	for range 500 {
		d := sheet(r)
		d.Wires = nil // what wires are called depends on their order
		before := describe(net.Build(d))
		r.Shuffle(len(d.Parts), func(i, j int) { d.Parts[i], d.Parts[j] = d.Parts[j], d.Parts[i] })
		if after := describe(net.Build(d)); !slices.Equal(before, after) {
			t.Fatalf("nets were %q and are %q", before, after)
		}
	}
}
