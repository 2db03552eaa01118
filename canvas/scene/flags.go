package scene

import (
	"slices"
	"strconv"

	"copperglass/analysis"
	"copperglass/canvas"
	"copperglass/model/geom"
)

// flagFaults asks for a place for the number of each fault that is somewhere
// on the sheet.
func (b *builder) flagFaults() {
	b.s.Flags = make([]Flag, len(b.faults))
	for i, f := range b.faults {
		b.s.Flags[i] = Flag{Number: i + 1, Fault: i}
		if !b.o.Show.Findings {
			continue
		}
		if at, ref := b.placeOf(f); !at.Empty() {
			b.request(b.flag(i, at, ref))
		}
	}
}

// placeOf returns what of the sheet a fault is about: a point, else its first
// part on the sheet, else the middle of its first wire.
func (b *builder) placeOf(f analysis.Fault) (at canvas.Rect, ref string) {
	if f.At != nil {
		return dot(canvas.OnGrid(*f.At)), ""
	}
	for _, ref := range f.Parts {
		if i := b.d.PartIndex(ref); i >= 0 && !b.parts[i].extent.Empty() {
			return b.parts[i].extent, ref
		}
	}
	for _, w := range b.wiresOf(f) {
		if w >= 0 && w < len(b.d.Wires) {
			return dot(middle(b.d.Wires[w].Points)), ""
		}
	}
	return canvas.EmptyRect(), ""
}

// wiresOf returns the wires that a fault is about, then those of its nets.
func (b *builder) wiresOf(f analysis.Fault) []int {
	wires := slices.Clone(f.Wires)
	for _, n := range f.Nets {
		if n >= 0 && n < len(b.nets.Nets) {
			wires = append(wires, b.nets.Nets[n].Wires...)
		}
	}
	return wires
}

// dot is the room of a joint at p.
func dot(p canvas.Point) canvas.Rect {
	return canvas.Rect{Min: p, Max: p}.Inset(-jointRadius)
}

// middle returns the middle of the piece in the middle of a wire.
func middle(points []geom.Point) canvas.Point {
	k := (len(points) - 1) / 2
	return canvas.EmptyRect().Include(canvas.OnGrid(points[k])).Include(canvas.OnGrid(points[k+1])).Center()
}

func (b *builder) flag(i int, at canvas.Rect, ref string) *request {
	text := strconv.Itoa(i + 1)
	f := newForm([]run{{text, true, b.t.OnFlag}})
	f.width, f.height = flagSize, flagSize
	q := &request{loss: flagLoss, forms: []form{f}}
	q.Label = Label{Kind: FlagLabel, Ref: ref, Net: -1, Text: text}
	k := b.seek(b.free)
	k.enough, k.reach = 100, 200 // a flag must not be lost
	k.beside(at, q.forms, [4]float64{right: 1, left: 0, above: 2, below: 3})
	q.spots = k.found()
	return q
}

// noteFlags tells where the flags found their places.
func (b *builder) noteFlags() {
	for _, q := range b.labels {
		if q.Kind == FlagLabel && q.at != nowhere {
			n, _ := strconv.Atoi(q.Text)
			b.s.Flags[n-1].Shown = true
			b.s.Flags[n-1].Box = q.spots[q.at].box
		}
	}
}
