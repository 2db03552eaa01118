package scene

import (
	"slices"
	"strconv"
	"strings"

	"copperglass/analysis"
	"copperglass/canvas"
	"copperglass/model"
	"copperglass/model/geom"
	"copperglass/model/net"
)

// flagFaults asks for a place for the number of each fault that is somewhere
// on the sheet.
func (b *builder) flagFaults() {
	b.s.Flags = make([]Flag, len(b.faults), len(b.faults)+len(b.o.Findings))
	for i, f := range b.faults {
		b.s.Flags[i] = Flag{Number: i + 1, Fault: i, Finding: none}
		if !b.o.Show.Findings || f.Unfinished && b.o.Calm {
			continue
		}
		if at, ref, costs := b.placeOf(f); !at.Empty() {
			b.askFlag(i, at, ref, costs)
		}
	}
}

// nameWires asks for places for the names of the wires that faults name.
func (b *builder) nameWires() {
	if !b.o.Show.Findings {
		return
	}
	named := map[int]bool{}
	for _, f := range b.faults {
		for _, w := range f.Wires {
			if w >= 0 && w < len(b.d.Wires) && strings.Contains(f.Text, net.WireName(w)) && !named[w] {
				named[w] = true
				b.askWireName(w)
			}
		}
	}
}

func (b *builder) askWireName(w int) {
	text := net.WireName(w)
	q := b.newRequest(Label{Kind: WireLabel, Net: -1, Text: text}, flagLoss)
	f := q.single(text, false, b.t.Flag, b.scaled(textSize))
	k := b.seek()
	for i, s := range b.pieces {
		if s.Wire == w {
			k.along(line{from: canvas.OnGrid(s.A), to: canvas.OnGrid(s.B), piece: i, gap: clearance + wireWidth}, f, 0)
		}
	}
	b.ask(q)
}

// flagSides is what a flag's place costs on each side, where no side is in the
// way of anything.
var flagSides = [4]float64{right: 1, left: 0, above: 2, below: 3}

// placeOf returns what of the sheet a fault is about, and which sides of it
// are better: a pin or another point, else its first part on the sheet, else
// the middle of its first wire.
func (b *builder) placeOf(f analysis.Fault) (at canvas.Rect, ref string, costs [4]float64) {
	costs = flagSides
	if ref, pin, ok := b.faultPin(f); ok {
		costs[sideOf(pin.Out)] += turnCost + leadCost // where a wire is missing
		return dot(canvas.OnGrid(pin.At)), ref, costs
	}
	if f.At != nil {
		return dot(canvas.OnGrid(*f.At)), "", costs
	}
	for _, ref := range f.Parts {
		if i := b.partIndex(ref); i >= 0 && !b.parts[i].extent.Empty() {
			return b.parts[i].extent, ref, costs
		}
	}
	for _, w := range b.wiresOf(f) {
		if w >= 0 && w < len(b.d.Wires) {
			return dot(middle(b.d.Wires[w].Points)), "", costs
		}
	}
	return canvas.EmptyRect(), "", costs
}

// faultPin returns the pin that a fault is about: that of its parts which
// stands at its place, or else the only one of its only part in its nets.
func (b *builder) faultPin(f analysis.Fault) (ref string, found model.Pin, ok bool) {
	for _, ref := range f.Parts {
		i := b.partIndex(ref)
		if i < 0 || b.parts[i].extent.Empty() || f.At == nil && len(f.Parts) > 1 {
			continue
		}
		var about []model.Pin
		for _, pin := range b.parts[i].pins {
			if at, n := f.At, b.nets.Pin(ref, pin.Name); at != nil && *at == pin.At || at == nil && slices.Contains(f.Nets, n) {
				about = append(about, pin)
			}
		}
		if len(about) == 1 {
			return ref, about[0], true
		}
	}
	return "", model.Pin{}, false
}

// wiresOf returns the wires that a fault is about, then those of its nets.
func (b *builder) wiresOf(f analysis.Fault) []int {
	wires := slices.Clone(f.Wires)
	for _, n := range f.Nets {
		if n >= 0 && n < len(b.nets.Nets) {
			wires = append(wires, b.nets.Wires(n)...)
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

func (b *builder) askFlag(i int, at canvas.Rect, ref string, costs [4]float64) {
	text, quiet := strconv.Itoa(i+1), !b.faults[i].Stops
	high, size, colour := flagSize, textSize, b.t.OnFlag
	if quiet {
		high, size, colour = quietSize, smallText, b.t.Flag
	}
	q := b.newRequest(Label{Kind: FlagLabel, Ref: ref, Net: -1, Text: text}, flagLoss)
	q.quiet = quiet
	f := q.single(text, true, colour, b.scaled(size))
	f.height = b.scaled(high)
	f.width = max(f.height, f.width+b.scaled(flagRoom))
	k := b.seek()
	k.enough, k.reach = 100, 400 // a flag must not be lost
	k.beside(at, q.forms, costs)
	b.ask(q)
}

// flagGround is a filled disc for what stops the analysis, a ring for all
// else.
func (b *builder) flagGround(box canvas.Rect, quiet bool) {
	style := canvas.Style{Fill: b.t.Flag}
	if quiet {
		style = canvas.Style{Fill: b.t.Paper, Stroke: b.t.Flag, Width: 1.2}
		box = box.Inset(style.Width / 2)
	}
	b.add(b.path(style).RoundRect(box, box.Height()/2))
}

// noteFlags tells where the flags found their places.
func (b *builder) noteFlags() {
	for _, q := range b.labels {
		switch {
		case q.at == nowhere:
		case q.Kind == FlagLabel:
			n, _ := strconv.Atoi(q.Text)
			b.showFlag(n-1, q)
		case q.Kind == FindingLabel:
			for _, i := range q.found {
				b.showFlag(len(b.faults)+i, q)
			}
		}
	}
}

func (b *builder) showFlag(i int, q *request) {
	b.s.Flags[i].Shown, b.s.Flags[i].Box = true, q.spots[q.at].box
}
