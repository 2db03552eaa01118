// Package model is the circuit as a person has drawn it: parts, wires, modes
// and the edits that change them. It knows the kinds of parts there are, with
// their pins, their physical quantities and the textbook equation of each; it
// does not solve anything and draws nothing.
package model

import (
	"maps"
	"slices"
	"strconv"
	"strings"

	"copperglass/model/geom"
)

// Diagram is one circuit. Its lists are never changed in place: an edit puts a
// new list there, and a Part, Wire or Mode in a list is never written to
// again. A copy of the struct is therefore a snapshot that another goroutine
// may read.
type Diagram struct {
	Title  string
	Block  TitleBlock
	Params Params // quantities of the whole drawing, such as temperature in kelvin
	Parts  []*Part
	Wires  []*Wire
	Modes  []*Mode

	WhatIfs []*WhatIf // variations kept beside the original
	Muted   []*Mute   // findings that the person does not want to see
	Story   []*Step   // the steps of its explanation

	Extra []Extra // keys of the file that this version does not know, in their order
}

// TitleBlock is what a drawing says of itself beside its title; each may be
// empty.
type TitleBlock struct {
	Who      string
	Date     string // as the person writes it
	Revision string
}

// Extra is a key of the drawing file that is kept but not understood.
type Extra struct {
	Key string
	Raw string // its value as JSON text
}

// Doubt says how sure the reader of the board is.
type Doubt string

// The three degrees of doubt; the empty Doubt says nothing.
const (
	Measured Doubt = "measured"
	Read     Doubt = "read"
	Guessed  Doubt = "guessed"
)

// Part is one part, or a stack of like parts in parallel.
type Part struct {
	Ref     string // reference designator, unique in the drawing
	Kind    string // name of its Kind
	Placed  bool   // whether it stands on the sheet; a part joined by tags alone need not
	At      geom.Point
	Orient  geom.Orientation
	Value   string // as the person wrote it
	Marking string // as printed on the part
	Doubt   Doubt
	Count   int // parts in parallel; 0 is the same as 1
	Note    string
	Pins    []ChipPin         // of a chip
	Params  Params            // quantities that override the catalogue's
	Tags    map[string]string // net names by pin
	Extra   []Extra
}

// ChipPin is a pin of a chip as the person describes it.
type ChipPin struct {
	Number string
	Name   string
	Role   string // supply, ground, output, open_drain, input or none
	Side   string // left, right, top, bottom, or empty for the side its role suggests
	Extra  []Extra
}

// Multiple returns how many parts in parallel the part stands for.
func (p *Part) Multiple() int { return max(p.Count, 1) }

// Clone returns a copy that may be changed without changing p.
func (p *Part) Clone() *Part {
	c := *p
	c.Params = p.Params.clone()
	c.Tags = maps.Clone(p.Tags)
	c.Pins = slices.Clone(p.Pins)
	return &c
}

// WireID tells the wires of a diagram apart while it is in memory. It is not
// in the file.
type WireID int

// Wire is a run of straight pieces from its first point to its last.
type Wire struct {
	ID     WireID
	Points []geom.Point // two or more
	Tag    string       // net name it carries, or empty
	Doubt  Doubt
	Extra  []Extra
}

// Clone returns a copy that may be changed without changing w.
func (w *Wire) Clone() *Wire {
	c := *w
	c.Points = slices.Clone(w.Points)
	return &c
}

// Ends returns the wire's first and last point.
func (w *Wire) Ends() [2]geom.Point {
	return [2]geom.Point{w.Points[0], w.Points[len(w.Points)-1]}
}

// Touches reports whether q lies anywhere on the wire.
func (w *Wire) Touches(q geom.Point) bool {
	for i := 1; i < len(w.Points); i++ {
		if q.OnSegment(w.Points[i-1], w.Points[i]) {
			return true
		}
	}
	return false
}

// Mode is a named set of what the chip's pins and the switches do.
type Mode struct {
	Name    string
	Set     map[string]string // "IC1.7": "low", "S1": "closed"
	EachDay string            // how long of each day it lasts: "2 h", "15 min", "rest"; see Day
	Note    string
	Extra   []Extra
}

// Part returns the part called ref, or nil.
func (d *Diagram) Part(ref string) *Part {
	if i := d.PartIndex(ref); i >= 0 {
		return d.Parts[i]
	}
	return nil
}

// PartIndex returns the place of the part called ref in Parts, or −1.
func (d *Diagram) PartIndex(ref string) int {
	return slices.IndexFunc(d.Parts, func(p *Part) bool { return p.Ref == ref })
}

// Wire returns the wire with that identity, or nil.
func (d *Diagram) Wire(id WireID) *Wire {
	if i := d.WireIndex(id); i >= 0 {
		return d.Wires[i]
	}
	return nil
}

// WireIndex returns the place of the wire in Wires, or −1.
func (d *Diagram) WireIndex(id WireID) int {
	return slices.IndexFunc(d.Wires, func(w *Wire) bool { return w.ID == id })
}

// Mode returns the mode of that name, or nil.
func (d *Diagram) Mode(name string) *Mode {
	for _, m := range d.Modes {
		if m.Name == name {
			return m
		}
	}
	return nil
}

// Snapshot returns a diagram that later edits of d do not change.
func (d *Diagram) Snapshot() *Diagram {
	c := *d
	return &c
}

// NextRef returns the first reference designator with that prefix that is
// free: R3 where R1 and R2 are taken. A designator already used with other
// letters' case counts as taken.
func (d *Diagram) NextRef(prefix string) string {
	taken := make(map[string]bool, len(d.Parts))
	for _, p := range d.Parts {
		taken[strings.ToUpper(p.Ref)] = true
	}
	for n := 1; ; n++ {
		if ref := prefix + strconv.Itoa(n); !taken[strings.ToUpper(ref)] {
			return ref
		}
	}
}
