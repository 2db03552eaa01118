package ui

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"copperglass/analysis"
	"copperglass/canvas/tool"
	"copperglass/model"
	"copperglass/model/net"
)

// An explanation may be a table: a line with a columnMark is a name and its
// figure.
const columnMark = "\t"

// mostPinsTold bounds the currents that are told of a net.
const mostPinsTold = 10

// describe returns the name of the net that t is on, for a wire or a pin, and
// what there is to say about t.
func (s *surface) describe(t tool.Target) (net, says string) {
	r := s.doc.Result()
	if t.None() || r == nil || r.Nets == nil {
		return "", ""
	}
	n := -1
	if t.Wire != 0 {
		n = r.Nets.Wire(s.doc.Diagram().WireIndex(t.Wire))
	} else if t.Pin != "" {
		n = r.Nets.Pin(t.Ref, t.Pin)
	}
	if n < 0 {
		return "", describePart(s.doc, t.Ref)
	}
	lines := netLines(s.doc.Shown(), r, n)
	switch {
	case t.Pin != "":
		lines = append(lines, t.Ref+"’s pin "+strings.Replace(t.Pin, "-", "−", 1)+": drag, or Enter, begins a wire here.")
	case s.doc.editor.BeginsWire(t):
		lines = append(lines, "Drag, or Enter, draws a wire on from here.")
	}
	return r.Nets.Nets[n].Name, strings.Join(lines, "\n")
}

// netLines tell a net's name, its voltage and what each pin takes from it or
// gives to it, which together is nothing.
func netLines(d *model.Diagram, r *analysis.Result, n int) []string {
	head := sentenceCase(netWords(r.Nets, n))
	if !r.Solved {
		return []string{head}
	}
	if v := r.Volts[n]; math.IsNaN(v) {
		head += columnMark + "floats"
	} else {
		head += columnMark + volts(v)
	}
	return append([]string{head}, currentLines(pinCurrents(r, r.Nets.Nets[n].Pins))...)
}

// pinCurrent is what a pin takes from its net, in amperes.
type pinCurrent struct {
	pin  net.PinID
	amps float64
}

// pinCurrents are the currents into pins, the largest first.
func pinCurrents(r *analysis.Result, pins []net.PinID) []pinCurrent {
	var list []pinCurrent
	for _, pin := range pins {
		if p := r.Parts[pin.Ref]; p != nil {
			for _, each := range p.Pins {
				if each.Name == pin.Pin {
					list = append(list, pinCurrent{pin, each.Amps})
				}
			}
		}
	}
	slices.SortStableFunc(list, func(a, b pinCurrent) int {
		switch d := math.Abs(b.amps) - math.Abs(a.amps); {
		case d > 0:
			return 1
		case d < 0:
			return -1
		}
		return 0
	})
	return list
}

// currentLines tell what each pin does and what that comes to.
func currentLines(list []pinCurrent) []string {
	if len(list) == 0 {
		return nil
	}
	var lines []string
	sum := 0.0
	for i, c := range list {
		sum += c.amps
		if i < mostPinsTold {
			verb := "takes"
			if settle(c.amps) < 0 {
				verb = "gives"
			}
			pin := c.pin.Ref + "’s " + strings.Replace(c.pin.Pin, "-", "−", 1)
			lines = append(lines, pin+" "+verb+columnMark+amps(math.Abs(c.amps)))
		}
	}
	if more := len(list) - mostPinsTold; more > 0 {
		lines = append(lines, fmt.Sprintf("and %d pins more", more))
	}
	return append(lines, "In all"+columnMark+amps(sum))
}

// describePart tells a part's name and value, which may have found no room on
// the sheet, and what it does.
func describePart(doc *Document, ref string) string {
	d := doc.Diagram()
	p := d.Part(ref)
	if p == nil {
		return ""
	}
	head := strings.TrimSpace(ref + " " + shortValue(d, p))
	if n := p.Multiple(); n > 1 {
		head += fmt.Sprintf(" ×%d", n)
	}
	lines := []string{head + ", " + inSentence(kindTitle(p.Kind))}
	for _, row := range figureRows(doc.Shown(), doc.Result(), ref, doc.Mode()) {
		if row.figure != "–" {
			lines = append(lines, row.name+columnMark+row.figure+shareWords(row.share))
		}
	}
	if doc.steps(ref) {
		lines = append(lines, "A double click presses it: the next mode.")
	}
	if p.Note != "" {
		lines = append(lines, p.Note)
	}
	return strings.Join(lines, "\n")
}

// shareWords is how much of its limit a figure comes to.
func shareWords(share float64) string {
	if !(share > 0.0005) {
		return ""
	}
	if share < 0.1 {
		return fmt.Sprintf(" (%.1f %%)", 100*share)
	}
	return fmt.Sprintf(" (%.0f %%)", 100*share)
}
