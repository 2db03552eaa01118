package tool_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"reflect"
	"slices"
	"testing"

	"copperglass/canvas"
	"copperglass/canvas/tool"
	"copperglass/model"
	"copperglass/model/geom"
	"copperglass/model/net"
)

// kindsOnSheet are what random drawings are made of.
var kindsOnSheet = []string{
	"resistor", "capacitor", "led", "npn", "pmos", "battery", "switch", "potentiometer", "chip", "ground", "tag",
}

// randomDrawing returns a hand that has placed parts, here and there, and drawn
// wires between their pins.
func randomDrawing(t testing.TB, r *rand.Rand, parts int) *hand {
	h := draw(t)
	side := 14 + 2*parts
	for range parts {
		h.Move(at(float64(r.IntN(side)), float64(r.IntN(side))))
		h.Place(model.LookupKind(kindsOnSheet[r.IntN(len(kindsOnSheet))]))
		for range r.IntN(4) {
			h.Turn()
		}
		p := at(float64(r.IntN(side)), float64(r.IntN(side)))
		h.Press(p, tool.Modifiers{})
		h.Release(p)
	}
	for range parts {
		a, b := randomPin(r, h.Diagram()), randomPin(r, h.Diagram())
		h.drag(float64(a.X), float64(a.Y), float64(b.X), float64(b.Y))
	}
	return h
}

func randomPin(r *rand.Rand, d *model.Diagram) geom.Point {
	pins := d.Parts[r.IntN(len(d.Parts))].PlacedPins()
	return pins[r.IntN(len(pins))].At
}

// randomSelection selects parts, and now and then wires.
func (h *hand) randomSelection(r *rand.Rand) {
	d := h.Diagram()
	h.Select()
	for range 1 + r.IntN(4) {
		p := d.Parts[r.IntN(len(d.Parts))]
		h.add(float64(p.At.X), float64(p.At.Y))
	}
	if len(d.Wires) > 0 && r.IntN(3) == 0 {
		w := d.Wires[r.IntN(len(d.Wires))]
		h.add(float64(w.Points[0].X+w.Points[1].X)/2, float64(w.Points[0].Y+w.Points[1].Y)/2)
	}
	if r.IntN(12) == 0 {
		h.SelectAll()
	}
}

// randomMove moves, turns or mirrors what is selected and says what it did.
func (h *hand) randomMove(r *rand.Rand) string {
	by := geom.Pt(r.IntN(13)-6, r.IntN(13)-6)
	switch r.IntN(6) {
	case 0:
		h.Turn()
		return "turn"
	case 1:
		h.TurnBack()
		return "turn back"
	case 2:
		h.Mirror()
		return "mirror"
	case 3:
		if d := h.Diagram(); len(d.Wires) > 0 {
			w := d.Wires[r.IntN(len(d.Wires))]
			x, y := float64(w.Points[0].X+w.Points[1].X)/2, float64(w.Points[0].Y+w.Points[1].Y)/2
			h.click(x+1000, y) // so that the wire is taken alone
			h.drag(x, y, x+float64(by.X), y+float64(by.Y))
			return fmt.Sprint("slide by ", by)
		}
	}
	h.Nudge(by)
	return fmt.Sprint("move by ", by)
}

// comeApart returns pins that are one net before and not after.
func comeApart(before, after *model.Diagram) string {
	was, is := net.Build(before), net.Build(after)
	now := map[int]int{}
	for _, p := range before.Parts {
		for _, pin := range p.PlacedPins() {
			n, m := was.Pin(p.Ref, pin.Name), is.Pin(p.Ref, pin.Name)
			if first, seen := now[n]; seen && first != m {
				return p.Ref + "." + pin.Name + " and " + was.Nets[n].Name
			}
			now[n] = m
		}
	}
	return ""
}

// unsound returns what is wrong with a drawing: a wire that slants or has but
// one point, a ref or an identity given twice.
func unsound(d *model.Diagram) string {
	refs, ids := map[string]bool{}, map[model.WireID]bool{}
	for _, p := range d.Parts {
		if refs[p.Ref] {
			return p.Ref + " twice"
		}
		refs[p.Ref] = true
	}
	for _, w := range d.Wires {
		if ids[w.ID] || w.ID == 0 {
			return fmt.Sprintf("wire %d twice or without a number", w.ID)
		}
		ids[w.ID] = true
		if len(w.Points) < 2 {
			return fmt.Sprintf("wire %d has points %v", w.ID, w.Points)
		}
		for i := 1; i < len(w.Points); i++ {
			if a, b := w.Points[i-1], w.Points[i]; a.X != b.X && a.Y != b.Y {
				return fmt.Sprintf("wire %d slants: %v", w.ID, w.Points)
			}
		}
	}
	return ""
}

// copyOf returns a copy of all the parts and wires, not of what points at them.
func copyOf(d *model.Diagram) (parts []model.Part, wires []model.Wire) {
	for _, p := range d.Parts {
		parts = append(parts, *p.Clone())
	}
	for _, w := range d.Wires {
		wires = append(wires, *w.Clone())
	}
	return parts, wires
}

func same(t *testing.T, what string, d *model.Diagram, parts []model.Part, wires []model.Wire) {
	t.Helper()
	p, w := copyOf(d)
	if !reflect.DeepEqual(p, parts) || !reflect.DeepEqual(w, wires) {
		t.Fatalf("%s: the drawing is not what it was", what)
	}
}

// grown returns pins that are one net after and were not before.
func grown(before, after *model.Diagram) string {
	was, is := net.Build(before), net.Build(after)
	then := map[int]int{}
	for _, p := range before.Parts {
		for _, pin := range p.PlacedPins() {
			n, m := was.Pin(p.Ref, pin.Name), is.Pin(p.Ref, pin.Name)
			if first, seen := then[m]; seen && first != n {
				return p.Ref + "." + pin.Name + " joined to " + was.Nets[first].Name
			}
			then[m] = n
		}
	}
	return ""
}

// A turned or mirrored part joins exactly what it joined; and of every gesture
// under way the marks tell whether it joins or parts anything.
func TestTurnsChangeNoNet(t *testing.T) {
	t.Parallel()
	turned := 0
	for seed := range uint64(30) {
		r := rand.New(rand.NewPCG(seed, 6))
		h := randomDrawing(t, r, 5+r.IntN(16))
		for i := range 12 {
			h.randomSelection(r)
			before := h.history.Diagram()
			[]func(){h.Turn, h.TurnBack, h.Mirror}[r.IntN(3)]()
			after := h.history.Diagram()
			if d := comeApart(before, after) + grown(before, after); d != "" {
				t.Fatalf("seed %d, step %d: %s, turning %v\n%v\n%v", seed, i, d, h.Selection(), show(before), show(after))
			}
			if stays := slices.Equal(before.Parts, after.Parts); !stays {
				turned++
			} else if len(h.Selection().Parts) > 0 && !h.Overlay().Stuck {
				t.Fatalf("seed %d, step %d: it stays without a word, turning %v\n%v", seed, i, h.Selection(), show(before))
			}
		}
	}
	if turned < 250 {
		t.Errorf("only %d turns found room", turned)
	}
}

// loose reports whether something is being dragged without its wires.
func loose(h *hand) bool { _, loose := h.Dragging(); return loose }

func TestMarksTellJoinsAndBreaks(t *testing.T) {
	t.Parallel()
	joins, breaks := 0, 0
	for seed := range uint64(90) {
		r := rand.New(rand.NewPCG(seed, 7))
		h := randomDrawing(t, r, 4+r.IntN(12))
		for i := range 12 {
			p := h.Diagram().Parts[r.IntN(len(h.Diagram().Parts))]
			side := float64(14 + 2*len(h.Diagram().Parts))
			to := at(math.Round(r.Float64()*side), math.Round(r.Float64()*side))
			switch r.IntN(4) {
			case 0:
				h.Hang((&model.Diagram{Parts: []*model.Part{p}}))
			case 1:
				h.Press(canvas.OnGrid(randomPin(r, h.Diagram())), tool.Modifiers{})
			case 2:
				h.PlaceByKey('R')
			default:
				h.Press(canvas.OnGrid(p.At), tool.Modifiers{})
			}
			h.Move(to)
			if r.IntN(3) == 0 {
				h.LeaveWires()
			}
			before, after := h.history.Diagram(), h.Diagram()
			marks := h.Overlay()
			apart, together := comeApart(before, after), grown(before, after)
			if apart != "" && len(marks.Breaks) == 0 || together != "" && len(marks.Joins) == 0 {
				t.Fatalf("seed %d, step %d: apart %q, together %q, marks %v\n%v\n%v", seed, i, apart, together, marks, show(before), show(after))
			}
			if apart == "" && len(marks.Breaks) > 0 && len(marks.Joins) < 2 && !loose(h) { // a part that goes into a wire is joined on both sides
				t.Fatalf("seed %d, step %d: nothing parts at %v\n%v\n%v", seed, i, marks.Breaks, show(before), show(after))
			}
			joins, breaks = joins+len(marks.Joins), breaks+len(marks.Breaks)
			h.Press(to, tool.Modifiers{})
			h.Release(to)
		}
	}
	if joins < 100 || breaks < 10 {
		t.Errorf("only %d joins and %d breaks", joins, breaks)
	}
}

func seeds(n uint64) []uint64 {
	var out []uint64
	for seed := range n {
		out = append(out, seed)
	}
	return out
}

// What was joined stays joined however parts are moved, unless one goes into a wire,
// which is marked; and everything can be taken back and done again.
func TestMovesKeepWhatIsJoined(t *testing.T) {
	t.Parallel()
	for seed := range uint64(60) {
		r := rand.New(rand.NewPCG(seed, 1))
		h := randomDrawing(t, r, 5+r.IntN(20))
		if wrong := unsound(h.Diagram()); wrong != "" {
			t.Fatalf("seed %d, as drawn: %s", seed, wrong)
		}
		start := h.history.Diagram()
		parts, wires := copyOf(start)
		undos := 0
		var before *model.Diagram
		selected := ""
		for i := range 20 {
			h.randomSelection(r)
			if now := fmt.Sprint(h.Selection()); now != selected { // else the move goes on, and leaves what it passed
				before, selected = h.history.Diagram(), now
			}
			revision := h.history.Revision()
			did := h.randomMove(r)
			after := h.history.Diagram()
			marks := h.Overlay()
			goesIn := len(marks.Breaks) > 0 && len(marks.Joins) > 1 // a part that nothing is joined to, into a wire
			if apart := comeApart(before, after); apart != "" && !goesIn {
				t.Fatalf("seed %d, step %d, %s: %s came apart\n%v", seed, i, did, apart, show(before))
			}
			if wrong := unsound(after); wrong != "" {
				t.Fatalf("seed %d, step %d, %s: %s", seed, i, did, wrong)
			}
			if h.history.Revision() != revision {
				undos++
			}
		}
		endParts, endWires := copyOf(h.history.Diagram())
		for range undos {
			h.Undo()
			if reflect.DeepEqual(h.history.Diagram().Parts, start.Parts) && reflect.DeepEqual(h.history.Diagram().Wires, start.Wires) {
				break // nudges of the same things are undone together
			}
		}
		same(t, fmt.Sprintf("seed %d, undo", seed), h.history.Diagram(), parts, wires)
		for _, ok := h.Redo(); ok; _, ok = h.Redo() {
			continue
		}
		same(t, fmt.Sprintf("seed %d, redo", seed), h.history.Diagram(), endParts, endWires)
	}
}

// A wire that is laid anew must not touch what it did not touch before, where
// there is another way.
func TestNewWaysTouchNothing(t *testing.T) {
	t.Parallel()
	laid := 0
	for _, seed := range append(seeds(120), 520) { // 520: a pin between pins, which a way can leave only through its part
		r := rand.New(rand.NewPCG(seed, 2))
		h := randomDrawing(t, r, 5+r.IntN(16))
		for i := range 20 {
			ref := h.Diagram().Parts[r.IntN(len(h.Diagram().Parts))].Ref
			h.Select(ref)
			before := h.history.Diagram()
			h.Nudge(geom.Pt(r.IntN(13)-6, r.IntN(13)-6))
			after := h.history.Diagram()
			by := after.Part(ref).At.Sub(before.Part(ref).At) // farther than asked where other parts are in the way
			for _, w := range after.Wires {
				old := before.Wire(w.ID)
				if old == nil || slices.Equal(old.Points, w.Points) || isCarried(old, w, by) {
					continue
				}
				laid++
				if p, touches := touched(before, after, old, w, by); touches && anotherWay(after, w) {
					t.Fatalf("seed %d, step %d: wire %v, which was %v, newly touches %v\n%v", seed, i, w.Points, old.Points, p, show(after))
				}
			}
		}
	}
	if laid < 1000 {
		t.Errorf("only %d wires were laid anew", laid)
	}
}

func isCarried(old, w *model.Wire, by geom.Point) bool {
	return len(old.Points) == len(w.Points) && w.Points[0] == old.Points[0].Add(by) &&
		w.Points[len(w.Points)-1] == old.Points[len(old.Points)-1].Add(by)
}

// touched returns a joint of another net in the middle of w, where neither the
// old wire nor the old wire carried along ran.
func touched(before, after *model.Diagram, old, w *model.Wire, by geom.Point) (geom.Point, bool) {
	was := net.Build(before)
	mine := was.Wire(before.WireIndex(old.ID))
	for p, nets := range joints(before, after, was) {
		foreign := slices.ContainsFunc(nets, func(n int) bool { return n != mine })
		if foreign && w.Touches(p) && !old.Touches(p) && !old.Touches(p.Sub(by)) && w.Ends()[0] != p && w.Ends()[1] != p {
			return p, true
		}
	}
	return geom.Point{}, false
}

// joints returns the places of pins and ends in after with the nets they were
// on before.
func joints(before, after *model.Diagram, was *net.Netlist) map[geom.Point][]int {
	m := map[geom.Point][]int{}
	for _, p := range after.Parts {
		for _, pin := range p.PlacedPins() {
			m[pin.At] = append(m[pin.At], was.Pin(p.Ref, pin.Name))
		}
	}
	for _, w := range after.Wires {
		if i := before.WireIndex(w.ID); i >= 0 {
			for _, end := range w.Ends() {
				m[end] = append(m[end], was.Wire(i))
			}
		}
	}
	return m
}

// anotherWay reports, by flooding the sheet, whether the ends of w can be
// joined along the grid without coming to any pin or end.
func anotherWay(d *model.Diagram, w *model.Wire) bool {
	a, b := w.Ends()[0], w.Ends()[1]
	blocked := joints(d, d, net.Build(d))
	box := geom.Around(a, b)
	box = geom.Rect{Min: box.Min.Sub(geom.Pt(40, 40)), Max: box.Max.Add(geom.Pt(40, 40))}
	seen, queue := map[geom.Point]bool{a: true}, []geom.Point{a}
	for len(queue) > 0 {
		p := queue[0]
		queue = queue[1:]
		for _, step := range []geom.Point{{X: 1}, {X: -1}, {Y: 1}, {Y: -1}} {
			q := p.Add(step)
			if q == b {
				return true
			}
			if !seen[q] && box.Contains(q) && blocked[q] == nil {
				seen[q] = true
				queue = append(queue, q)
			}
		}
	}
	return false
}

// randomEvent does anything a person might, in any order.
func (h *hand) randomEvent(r *rand.Rand, kind, x, y int) {
	p := at(float64(x)/2, float64(y)/2)
	keys := []rune("rdgqsu0xnczQ?")
	events := []func(){
		func() { h.Press(p, tool.Modifiers{}) },
		func() { h.Press(p, tool.Modifiers{Add: true}) },
		func() { h.Release(p) },
		func() { h.Move(p) },
		func() { h.Move(p) },
		h.Cancel,
		func() { h.PlaceByKey(keys[r.IntN(len(keys))]) },
		func() { h.DrawWires(!h.DrawingWires()) },
		h.Turn, h.TurnBack, h.Mirror, h.Delete, h.Duplicate, h.SelectAll, h.LeaveWires, h.DeleteAndJoin, h.Renumber, h.SelectKind,
		func() { h.Align(tool.Alignment(x % 8)) },
		func() { h.ChangeKind(model.LookupKind(kindsOnSheet[y%len(kindsOnSheet)])) },
		func() { h.Nudge(geom.Pt(x%3-1, y%3-1)) },
		func() { h.Undo() },
		func() { h.Redo() },
		func() { h.Hang(h.Extract()) },
	}
	events[kind%len(events)]()
}

// check fails unless what is shown and what is done are sound.
func (h *hand) check() {
	h.t.Helper()
	for _, d := range []*model.Diagram{h.Diagram(), h.history.Diagram()} {
		if wrong := unsound(d); wrong != "" {
			h.t.Fatal(wrong)
		}
	}
	for _, p := range h.Overlay().Joins {
		if !canvas.EmptyRect().Include(canvas.OnGrid(p)).Drawable() {
			h.t.Fatalf("a join at %v", p)
		}
	}
	h.Selection()
}

func TestAnyEventsInAnyOrder(t *testing.T) {
	t.Parallel()
	for seed := range uint64(40) {
		r := rand.New(rand.NewPCG(seed, 3))
		h := randomDrawing(t, r, 4+r.IntN(5))
		asDrawn := bridged(h.history.Diagram())
		for range 250 {
			if len(h.Diagram().Parts) > 60 { // duplicates of everything grow fast
				h.Cancel()
				h.SelectAll()
				h.Delete()
			}
			h.randomEvent(r, r.IntN(24), r.IntN(60), r.IntN(60))
			h.check()
			for ref := range bridged(h.history.Diagram()) {
				if !asDrawn[ref] {
					t.Fatalf("seed %d: %s has come over a wire that bridges it\n%v", seed, ref, show(h.history.Diagram()))
				}
			}
		}
	}
}

// FuzzEvents reads three bytes for each event: what, and where.
func FuzzEvents(f *testing.F) {
	f.Add([]byte{6, 10, 10, 0, 10, 10, 2, 10, 10, 6, 30, 10, 0, 30, 10, 2, 30, 10, 0, 14, 10, 3, 26, 10, 2, 26, 10})
	f.Add([]byte{7, 0, 0, 0, 4, 4, 2, 4, 4, 3, 9, 9, 0, 9, 9, 2, 9, 9, 0, 9, 9, 2, 9, 9, 15, 0, 0, 16, 0, 0})
	f.Add([]byte{13, 0, 0, 8, 0, 0, 12, 0, 0, 0, 6, 6, 3, 20, 20, 5, 0, 0, 2, 20, 20, 11, 0, 0, 15, 0, 0})
	f.Fuzz(func(t *testing.T, events []byte) {
		r := rand.New(rand.NewPCG(4, 4))
		h := randomDrawing(t, r, 5)
		for i := 0; i+2 < len(events) && i < 300 && len(h.Diagram().Parts) < 60; i += 3 {
			h.randomEvent(r, int(events[i]), int(events[i+1])%60, int(events[i+2])%60)
			h.check()
		}
	})
}
