package scene

import (
	"fmt"
	"math/rand/v2"

	"copperglass/analysis"
	"copperglass/canvas"
	"copperglass/canvas/symbol"
	"copperglass/model"
	"copperglass/model/geom"
	"copperglass/model/net"
)

// randomDrawing lays n parts of any kind on a loose grid and joins pins at
// random by bent wires, which may cross anything and lie on each other.
func randomDrawing(rnd *rand.Rand, n int) *model.Diagram {
	d := randomParts(rnd, n)
	for range n {
		joinAtRandom(d, rnd)
	}
	for range n / 3 {
		tagAtRandom(d, rnd)
	}
	return d
}

// tidyDrawing is like randomDrawing, but as a person draws: wires leave pins
// outwards, and none runs through a symbol or along another. Wires cross.
func tidyDrawing(rnd *rand.Rand, n int) *model.Diagram {
	d := randomParts(rnd, n)
	for tries := 0; len(d.Wires) < n && tries < 300*n; tries++ {
		i, j := rnd.IntN(len(d.Parts)), rnd.IntN(len(d.Parts))
		if far := d.Parts[i].At.Sub(d.Parts[j].At); i == j || max(far.X, -far.X, far.Y, -far.Y) > 12 {
			continue
		}
		a, b := d.Parts[i].PlacedPins(), d.Parts[j].PlacedPins()
		if len(a) == 0 || len(b) == 0 {
			continue
		}
		w := &model.Wire{ID: model.WireID(len(d.Wires) + 1), Points: laneAtRandom(rnd, a[rnd.IntN(len(a))], b[rnd.IntN(len(b))])}
		if len(w.Points) > 1 && !untidy(d, w) {
			d.Wires = append(d.Wires, w)
		}
	}
	for range n / 3 {
		tagAtRandom(d, rnd)
	}
	return d
}

// laneAtRandom leads from one pin to another, at first straight out of both.
func laneAtRandom(rnd *rand.Rand, a, b model.Pin) []geom.Point {
	out := func(p model.Pin) geom.Point {
		n := rnd.IntN(4)
		return p.At.Add(geom.Pt(n*p.Out.X, n*p.Out.Y))
	}
	p, q := out(a), out(b)
	corner := geom.Pt(p.X, q.Y)
	if rnd.IntN(2) == 0 {
		corner = geom.Pt(q.X, p.Y)
	}
	lane := []geom.Point{a.At}
	for _, at := range []geom.Point{p, corner, q, b.At} {
		if lane[len(lane)-1] != at {
			lane = append(lane, at)
		}
	}
	return lane
}

// untidy reports whether a wire runs through a symbol or along another wire.
func untidy(d *model.Diagram, w *model.Wire) bool {
	for i := 1; i < len(w.Points); i++ {
		a, b := w.Points[i-1], w.Points[i]
		line := canvas.EmptyRect().Include(canvas.OnGrid(a)).Include(canvas.OnGrid(b)).Inset(-0.5)
		for _, p := range d.Parts {
			if p.Placed && symbol.Extent(p).Inset(4).Overlaps(line) {
				return true
			}
		}
		for _, o := range d.Wires {
			for j := 1; o != w && j < len(o.Points); j++ {
				other := canvas.EmptyRect().Include(canvas.OnGrid(o.Points[j-1])).Include(canvas.OnGrid(o.Points[j])).Inset(-0.5)
				if both := shared(line, other); !both.Empty() && max(both.Width(), both.Height()) > 2 {
					return true
				}
			}
		}
	}
	return false
}

// shared is what two rectangles have in common.
func shared(r, s canvas.Rect) canvas.Rect {
	return canvas.Rect{
		Min: canvas.Pt(max(r.Min.X, s.Min.X), max(r.Min.Y, s.Min.Y)),
		Max: canvas.Pt(min(r.Max.X, s.Max.X), min(r.Max.Y, s.Max.Y)),
	}
}

func randomParts(rnd *rand.Rand, n int) *model.Diagram {
	d := &model.Diagram{Title: fmt.Sprintf("%d parts at random", n)}
	columns := 3 + rnd.IntN(8)
	kinds := model.Kinds()
	for i := range n {
		k := kinds[rnd.IntN(len(kinds))]
		p := k.NewPart(geom.Pt(9*(i%columns)+rnd.IntN(3), 9*(i/columns)+rnd.IntN(3)))
		p.Ref = d.NextRef(k.Prefix)
		p.Orient = geom.Orientation{Turn: 90 * rnd.IntN(4), Mirror: rnd.IntN(2) == 0}
		if k.Name == "chip" {
			p.Pins = []model.ChipPin{{Number: "1", Role: "supply"}, {Number: "2", Role: "ground"}, {Number: "3", Role: "input"}, {Number: "4", Role: "output"}}
		}
		if rnd.IntN(6) == 0 {
			p.Count = 2 + rnd.IntN(11)
		}
		if rnd.IntN(5) == 0 {
			p.Doubt = model.Guessed
		}
		d.Parts = append(d.Parts, p)
	}
	return d
}

// tagAtRandom puts a tag on a pin or a wire.
func tagAtRandom(d *model.Diagram, rnd *rand.Rand) {
	tag := []string{"GND", "V+", "OUT", "a long name"}[rnd.IntN(4)]
	if len(d.Wires) > 0 && rnd.IntN(4) == 0 {
		d.Wires[rnd.IntN(len(d.Wires))].Tag = tag
		return
	}
	p := d.Parts[rnd.IntN(len(d.Parts))]
	if pins := p.PlacedPins(); len(pins) > 0 {
		p.Tags = map[string]string{pins[rnd.IntN(len(pins))].Name: tag}
	}
}

func joinAtRandom(d *model.Diagram, rnd *rand.Rand) {
	i := rnd.IntN(len(d.Parts))
	j := min(len(d.Parts)-1, i+1+rnd.IntN(4))
	a, b := d.Parts[i].PlacedPins(), d.Parts[j].PlacedPins()
	if len(a) == 0 || len(b) == 0 {
		return
	}
	from, to := a[rnd.IntN(len(a))].At, b[rnd.IntN(len(b))].At
	points := []geom.Point{from, geom.Pt(to.X, from.Y), to}
	if points[0] == points[1] || points[1] == points[2] {
		points = []geom.Point{from, to}
	}
	if from == to {
		return
	}
	d.Wires = append(d.Wires, &model.Wire{ID: model.WireID(len(d.Wires) + 1), Points: points})
}

// inventedResult gives every net a voltage and every part a current, over many
// decades. It obeys Kirchhoff's current law at the nets but no other: it is
// there to be drawn.
func inventedResult(d *model.Diagram, rnd *rand.Rand) *analysis.Result {
	n := net.Build(d)
	r := &analysis.Result{Nets: n, Solved: true, Parts: map[string]*analysis.PartResult{}}
	for range n.Nets {
		r.Volts = append(r.Volts, 9*rnd.Float64())
	}
	for _, p := range d.Parts {
		if p.Kind == "ground" || p.Kind == "tag" || p.Kind == "note" {
			continue
		}
		amps := []float64{0, 1e-6, 1e-3, 20e-3, 0.3, 1}[rnd.IntN(6)] * (0.5 + rnd.Float64())
		pr := &analysis.PartResult{Kind: p.Kind, Count: p.Multiple()}
		for i, pin := range p.PlacedPins() {
			sign := float64(1 - 2*(i%2))
			pr.Pins = append(pr.Pins, analysis.PinResult{Name: pin.Name, Net: n.Pin(p.Ref, pin.Name), Amps: sign * amps})
		}
		r.Parts[p.Ref] = pr
	}
	balance(r)
	for i := range rnd.IntN(4) {
		p := d.Parts[rnd.IntN(len(d.Parts))]
		f := analysis.Fault{Text: fmt.Sprint("fault ", i), Parts: []string{p.Ref}, Stops: rnd.IntN(2) == 0}
		if pins := p.PlacedPins(); len(pins) > 0 && rnd.IntN(2) == 0 {
			f.Nets = []int{n.Pin(p.Ref, pins[0].Name)}
		}
		r.Faults = append(r.Faults, f)
	}
	return r
}

// balance changes one pin of each net so that the currents add up to zero.
func balance(r *analysis.Result) {
	for n := range r.Nets.Nets {
		sum := 0.0
		var last *analysis.PinResult
		for _, id := range r.Nets.Nets[n].Pins {
			for i := range r.Parts[id.Ref].Pins {
				if pin := &r.Parts[id.Ref].Pins[i]; pin.Name == id.Pin {
					sum += pin.Amps
					last = pin
				}
			}
		}
		if last != nil {
			last.Amps -= sum
		}
	}
}

// board is a regular drawing of n parts in stages between two rails, as large
// real ones are.
func board(n int) *model.Diagram {
	d := &model.Diagram{Title: "Stages"}
	const wide, high = 9, 24
	wire := func(pts ...geom.Point) {
		d.Wires = append(d.Wires, &model.Wire{ID: model.WireID(len(d.Wires) + 1), Points: pts})
	}
	for i := 0; len(d.Parts) < n; i++ {
		x, y := wide*(i%10), high*(i/10)
		names := []string{"resistor", "resistor", "led"}
		for k, name := range names {
			kind := model.LookupKind(name)
			p := kind.NewPart(geom.Pt(x, y+4+6*k))
			p.Ref, p.Orient.Turn = d.NextRef(kind.Prefix), 90
			if k == 2 {
				p.Value = "white"
			}
			d.Parts = append(d.Parts, p)
			wire(geom.Pt(x, y+6*k), geom.Pt(x, y+6*k+2))
		}
		wire(geom.Pt(x, y+18), geom.Pt(x, y+20))
		if i%10 > 0 {
			wire(geom.Pt(x-wide, y), geom.Pt(x, y))
			wire(geom.Pt(x-wide, y+20), geom.Pt(x, y+20))
		}
		p := model.LookupKind("capacitor").NewPart(geom.Pt(x+4, y+4))
		p.Ref = d.NextRef("C")
		d.Parts = append(d.Parts, p)
		wire(geom.Pt(x, y), geom.Pt(x+4, y), geom.Pt(x+4, y+2))
		wire(geom.Pt(x+4, y+6), geom.Pt(x+4, y+13), geom.Pt(x, y+13))
	}
	return d
}

func lightOptions() Options {
	return Options{Theme: canvas.LightTheme(), Show: Usual(), Legend: true}
}
