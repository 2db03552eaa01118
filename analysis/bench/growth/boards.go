package main

import (
	"strconv"

	"copperglass/model"
	"copperglass/model/geom"
)

// shape is a way to draw a circuit of about so many parts.
type shape struct {
	name string
	draw func(parts int) *model.Diagram
}

var shapes = []shape{{"wires", wired}, {"tags", tagged}}

const (
	perBranch = 4  // parts
	pitch     = 12 // grid steps from branch to branch
	supplyY   = 0
	groundY   = 20
)

// wired is one long board as people draw it: a supply rail that is drawn on from
// branch to branch and a ground rail in one, and between them a resistor, an LED
// and a transistor that switches it, on by way of a resistor from the supply.
func wired(parts int) *model.Diagram {
	b := board{&model.Diagram{Title: "a board drawn with wires"}}
	b.part("BT1", "battery", "", geom.Pt(0, 10), 0).Params = supply(parts)
	b.part("GND1", "ground", "", geom.Pt(0, groundY), 0)
	b.wire(geom.Pt(0, 8), geom.Pt(0, supplyY))
	b.wire(geom.Pt(0, 12), geom.Pt(0, groundY))
	n := branches(parts)
	b.wire(geom.Pt(0, groundY), geom.Pt(pitch*n, groundY))
	for i := range n {
		b.branch(strconv.Itoa(i+1), pitch*(i+1))
	}
	return b.d
}

// tagged is the same circuit joined by names alone: nothing stands on a sheet.
func tagged(parts int) *model.Diagram {
	d := &model.Diagram{Title: "a board of tags"}
	add := func(ref, kind, value string, tags map[string]string) *model.Part {
		p := &model.Part{Ref: ref, Kind: kind, Value: value, Tags: tags}
		d.Parts = append(d.Parts, p)
		return p
	}
	add("BT1", "battery", "", map[string]string{"+": "VCC", "-": "GND"}).Params = supply(parts)
	for i := range branches(parts) {
		n := strconv.Itoa(i + 1)
		add("R"+n, "resistor", "470", map[string]string{"1": "VCC", "2": "A" + n})
		add("D"+n, "led", "red", map[string]string{"A": "A" + n, "K": "K" + n})
		add("Q"+n, "npn", "", map[string]string{"B": "B" + n, "C": "K" + n, "E": "GND"})
		add("RB"+n, "resistor", "10k", map[string]string{"1": "VCC", "2": "B" + n})
	}
	return d
}

func branches(parts int) int { return max(1, parts/perBranch) }

// supply gives every branch much the same, whatever their number is.
func supply(parts int) model.Params {
	return model.Params{"voltage": model.Number(6), "resistance": model.Number(3 / float64(branches(parts)))}
}

// board adds to a drawing.
type board struct{ d *model.Diagram }

func (b board) part(ref, kind, value string, at geom.Point, turn int) *model.Part {
	p := &model.Part{Ref: ref, Kind: kind, Value: value, Placed: true, At: at, Orient: geom.Orientation{Turn: turn}}
	b.d.Parts = append(b.d.Parts, p)
	return p
}

func (b board) wire(points ...geom.Point) {
	b.d.Wires = append(b.d.Wires, &model.Wire{Points: points})
}

// branch draws branch n at x, from top to bottom.
func (b board) branch(n string, x int) {
	b.wire(geom.Pt(x-pitch, supplyY), geom.Pt(x, supplyY))
	b.wire(geom.Pt(x, supplyY), geom.Pt(x, 1))
	b.part("R"+n, "resistor", "470", geom.Pt(x, 3), 90)
	b.wire(geom.Pt(x, 5), geom.Pt(x, 7))
	b.part("D"+n, "led", "red", geom.Pt(x, 9), 90)
	b.wire(geom.Pt(x, 11), geom.Pt(x, 13))
	b.part("Q"+n, "npn", "", geom.Pt(x, 15), 0)
	b.wire(geom.Pt(x, 17), geom.Pt(x, groundY))
	b.wire(geom.Pt(x-4, supplyY), geom.Pt(x-4, 6))
	b.part("RB"+n, "resistor", "10k", geom.Pt(x-4, 8), 90)
	b.wire(geom.Pt(x-4, 10), geom.Pt(x-4, 15), geom.Pt(x-2, 15))
}
