package scene

import (
	"math"
	"math/rand/v2"
	"reflect"
	"regexp"
	"strings"
	"testing"

	"copperglass/analysis"
	"copperglass/canvas"
	"copperglass/model"
	"copperglass/model/geom"
	"copperglass/model/net"
)

func wire(points ...geom.Point) *model.Wire { return &model.Wire{Points: points} }

func TestHumps(t *testing.T) {
	p := geom.Pt
	tests := []struct {
		name  string
		wires []*model.Wire
		want  []hump
	}{
		{"a crossing: the level wire steps over",
			[]*model.Wire{wire(p(5, -3), p(5, 3)), wire(p(0, 0), p(10, 0))}, []hump{{1, p(5, 0)}}},
		{"an end on a wire joins", []*model.Wire{wire(p(5, 0), p(5, 3)), wire(p(0, 0), p(10, 0))}, nil},
		{"a corner on a wire crosses nothing", []*model.Wire{wire(p(5, -3), p(5, 0), p(8, 0)), wire(p(0, 5), p(10, 5))}, nil},
		{"two in a row", []*model.Wire{wire(p(0, 0), p(10, 0)), wire(p(7, -1), p(7, 1)), wire(p(3, 1), p(3, -1))},
			[]hump{{0, p(3, 0)}, {0, p(7, 0)}}},
		{"two wires along the same column", []*model.Wire{wire(p(0, 0), p(4, 0)), wire(p(2, -2), p(2, 2)), wire(p(2, -1), p(2, 3))},
			[]hump{{0, p(2, 0)}}},
	}
	for _, tt := range tests {
		d := &model.Diagram{Wires: tt.wires}
		pieces, _ := net.Build(d).Pieces(d)
		if got := findHumps(pieces); !reflect.DeepEqual(got, tt.want) {
			t.Errorf("%s: humps at %v, want %v", tt.name, got, tt.want)
		}
	}
}

// A ribbon of the reference current is the widest, one below its two hundredth
// has none, and a quarter of the current takes half of what is above the least
// width, by the square root.
func TestRibbonWidth(t *testing.T) {
	f := flow{largest: 0.8}
	for _, tt := range []struct{ amps, want float64 }{
		{0.8, wideRibbon}, {-0.8, wideRibbon}, {0.2, (thinRibbon + wideRibbon) / 2}, {0.0039, 0}, {0, 0}, {math.NaN(), 0},
	} {
		if got := f.ribbonWidth(tt.amps); got != tt.want {
			t.Errorf("%v A: %v units wide, want %v", tt.amps, got, tt.want)
		}
	}
	asleep := flow{largest: 1e-6}
	if got := asleep.ribbonWidth(1e-6); got != 0 {
		t.Errorf("1 µA alone in the sheet: %v units wide, want none", got)
	}
}

// Two labels, one of which can only stand where the other would like to: the
// better one moves over and both are shown.
func TestLabelsMakeRoom(t *testing.T) {
	box := func(x float64) canvas.Rect {
		return canvas.Rect{Min: canvas.Pt(x, 0), Max: canvas.Pt(x+50, 10)}
	}
	choosy := &request{loss: 80, spots: []spot{{box: box(0), cost: 0}}}
	flexible := &request{loss: 300, spots: []spot{{box: box(0), cost: 0}, {box: box(100), cost: 5}}}
	choose([]*request{choosy, flexible})
	if choosy.at != 0 || flexible.at != 1 {
		t.Errorf("chosen places %d and %d, want 0 and 1", choosy.at, flexible.at)
	}
}

// A label yields to one of higher rank if there is room for one of them only.
func TestLabelsYieldByRank(t *testing.T) {
	box := canvas.Rect{Max: canvas.Pt(50, 10)}
	voltage := &request{loss: voltageLoss, spots: []spot{{box: box}}}
	name := &request{loss: nameLoss, spots: []spot{{box: box, cost: 9}}}
	choose([]*request{voltage, name})
	if voltage.at != nowhere || name.at != 0 {
		t.Errorf("voltage at %d and name at %d, want nowhere and 0", voltage.at, name.at)
	}
}

// switched is a battery, a transistor with a base resistor, and a load.
func switched() (*model.Diagram, *analysis.Result) {
	part := func(ref, kind string, x, y, turn int) *model.Part {
		return &model.Part{Ref: ref, Kind: kind, Placed: true, At: geom.Pt(x, y), Orient: geom.Orientation{Turn: turn}}
	}
	d := &model.Diagram{Parts: []*model.Part{
		part("BT1", "battery", 0, 10, 0), part("Q1", "npn", 20, 14, 0), part("R1", "resistor", 10, 8, 90), part("R2", "resistor", 20, 5, 90),
	}, Wires: []*model.Wire{
		wire(geom.Pt(0, 8), geom.Pt(0, 0), geom.Pt(20, 0), geom.Pt(20, 3)), wire(geom.Pt(10, 0), geom.Pt(10, 6)),
		wire(geom.Pt(10, 10), geom.Pt(10, 14), geom.Pt(18, 14)), wire(geom.Pt(20, 7), geom.Pt(20, 12)),
		wire(geom.Pt(20, 16), geom.Pt(20, 20), geom.Pt(0, 20), geom.Pt(0, 12)),
	}}
	n := net.Build(d)
	pins := func(ref string, amps map[string]float64) *analysis.PartResult {
		r := &analysis.PartResult{Count: 1}
		for _, pin := range d.Part(ref).PlacedPins() {
			r.Pins = append(r.Pins, analysis.PinResult{Name: pin.Name, Net: n.Pin(ref, pin.Name), Amps: amps[pin.Name]})
		}
		return r
	}
	const load, base = 0.1, 0.001
	return d, &analysis.Result{Nets: n, Solved: true, Volts: make([]float64, len(n.Nets)), Parts: map[string]*analysis.PartResult{
		"BT1": pins("BT1", map[string]float64{"+": -load - base, "-": load + base}),
		"Q1":  pins("Q1", map[string]float64{"C": load, "B": base, "E": -load - base}),
		"R1":  pins("R1", map[string]float64{"1": base, "2": -base}),
		"R2":  pins("R2", map[string]float64{"1": load, "2": -load}),
	}}
}

// The load's way is one stream, told once, with its own current and not with
// the base current on top; the base current is another. What the battery gives
// in all is told beside its own lead.
func TestStreamsAreToldOnce(t *testing.T) {
	d, r := switched()
	var told []string
	for _, l := range Build(d, r, lightOptions()).Labels {
		if l.Kind == CurrentLabel {
			told = append(told, l.Text)
		}
	}
	if got := strings.Join(told, ", "); got != "100 mA, 101 mA, 1.00 mA" {
		t.Errorf("currents in words: %s; want 100 mA, 101 mA, 1.00 mA", got)
	}
}

// number is a figure with a unit that only a solution can give.
var number = regexp.MustCompile(`[0-9] [µmk]?[VA]\b`)

func TestNoNumbersWithoutASolution(t *testing.T) {
	d, solved := switched()
	failed := *solved
	failed.Solved = false
	failed.Faults = []analysis.Fault{{Text: "Q1 is upside down", Stops: true, Parts: []string{"Q1"}}}
	for name, r := range map[string]*analysis.Result{"no result": nil, "not solved": &failed} {
		s := Build(d, r, lightOptions())
		for _, it := range s.Picture.Items {
			if text, ok := it.(*canvas.Text); ok && number.MatchString(text.String) {
				t.Errorf("%s: the scene says %q", name, text.String)
			}
		}
		if r != nil && (len(s.Flags) != 1 || !s.Flags[0].Shown) {
			t.Errorf("%s: flags %v, want one that is shown", name, s.Flags)
		}
	}
	found := false
	for _, it := range Build(d, solved, lightOptions()).Picture.Items {
		if text, ok := it.(*canvas.Text); ok {
			found = found || number.MatchString(text.String)
		}
	}
	if !found {
		t.Error("the solved scene says no number; this test would see none")
	}
}

func TestFlagsKeepTheResultsOrder(t *testing.T) {
	d, r := switched()
	p := geom.Pt(10, 14)
	r.Faults = []analysis.Fault{{Parts: []string{"R2"}}, {Text: "of nothing on the sheet"}, {At: &p}, {Wires: []int{0}}, {Nets: []int{0}}}
	s := Build(d, r, lightOptions())
	want := []bool{true, false, true, true, true}
	for i, f := range s.Flags {
		if f.Number != i+1 || f.Fault != i || f.Shown != want[i] {
			t.Errorf("flag %d is %+v, want it shown: %v", i+1, f, want[i])
		}
	}
	if len(s.Flags) != len(want) {
		t.Errorf("%d flags, want %d", len(s.Flags), len(want))
	}
}

func TestBuildIsDeterministic(t *testing.T) {
	rnd := rand.New(rand.NewPCG(7, 7))
	d := randomDrawing(rnd, 40)
	r := inventedResult(d, rnd)
	first := Build(d, r, lightOptions())
	for range 5 {
		if !reflect.DeepEqual(Build(d, r, lightOptions()), first) {
			t.Fatal("the same drawing gave another scene")
		}
	}
}

// What is selected or pointed at is told apart by shape: it adds paths and
// takes none away.
func TestSelectionAddsShapes(t *testing.T) {
	d, r := switched()
	d.Wires[0].ID = 5
	plain := len(Build(d, r, lightOptions()).Picture.Items)
	for name, change := range map[string]func(*Options){
		"part":  func(o *Options) { o.Selected = map[string]bool{"Q1": true} },
		"wire":  func(o *Options) { o.SelectedWires = map[model.WireID]bool{5: true} },
		"hover": func(o *Options) { o.Hover = r.Nets.Nets[r.Nets.Pin("Q1", "B")].Name },
	} {
		o := lightOptions()
		change(&o)
		if got := len(Build(d, r, o).Picture.Items); got <= plain {
			t.Errorf("%s: %d items, want more than %d", name, got, plain)
		}
	}
}

// An empty drawing, a part nowhere, a part of no known kind and wires at the
// far end of the grid are all drawn without harm.
func TestOddDrawings(t *testing.T) {
	far := 1 << 30
	for name, d := range map[string]*model.Diagram{
		"empty":     {},
		"unplaced":  {Parts: []*model.Part{{Ref: "R1", Kind: "resistor"}}},
		"unknown":   {Parts: []*model.Part{{Ref: "X1", Kind: "gizmo", Placed: true}}},
		"far apart": {Wires: []*model.Wire{wire(geom.Pt(-far, 0), geom.Pt(far, far)), wire(geom.Pt(0, far), geom.Pt(0, -far))}},
		"no pins":   {Parts: []*model.Part{{Ref: "IC1", Kind: "chip", Placed: true}}},
	} {
		s := Build(d, nil, lightOptions())
		if s.Bounds.Empty() {
			t.Errorf("%s: the scene has no bounds", name)
		}
	}
}

// However long a text is, what is drawn of it has an end.
func TestTextsWithoutEnd(t *testing.T) {
	long := strings.Repeat("wide ", 1<<18)
	d := &model.Diagram{Parts: []*model.Part{{Ref: "R1", Kind: "resistor", Placed: true, Value: long, Tags: map[string]string{"1": long}}}}
	o := lightOptions()
	o.Caption = Caption(long, long, "")
	s := Build(d, nil, o)
	if s.Bounds.Width() > 5000 || len(s.Labels) != 2 {
		t.Errorf("the scene is %v wide and has %d labels, want no more than 5000 and two", s.Bounds.Width(), len(s.Labels))
	}
	for text, want := range map[string]string{"": "", "abc": "abc", "abcd": "ab…", "äöüß": "äö…"} {
		if got := brief(text, 3); got != want {
			t.Errorf("%q in brief is %q, want %q", text, got, want)
		}
	}
}

func TestLegendRounds(t *testing.T) {
	for _, tt := range []struct{ x, down, up float64 }{{0.812, 0.8, 0.9}, {0.00406, 0.004, 0.005}, {2, 2, 2}, {0.1, 0.1, 0.1}} {
		if got := roundDown(tt.x); math.Abs(got-tt.down) > 1e-12 {
			t.Errorf("%v rounded down is %v, want %v", tt.x, got, tt.down)
		}
		if got := roundUp(tt.x); math.Abs(got-tt.up) > 1e-12 {
			t.Errorf("%v rounded up is %v, want %v", tt.x, got, tt.up)
		}
	}
}
