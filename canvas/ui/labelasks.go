package ui

import (
	"cmp"
	"math"
	"slices"

	"fyne.io/fyne/v2"

	"copperglass/analysis"
	"copperglass/canvas/scene"
	"copperglass/model"
	"copperglass/model/net"
	"copperglass/model/quantity"
)

// askActions ask about what the right button is pressed on.
func askActions() actions {
	return actions{
		{name: "causes", title: "What sets it?", group: sheetGroup, when: func(w *Window) bool { return w.askedOf() != "" },
			titled: func(w *Window) string {
				if of := w.askedOf(); of != "" {
					return "What sets " + quantityInWords(of) + "?"
				}
				return "What sets it?"
			},
			do:   func(w *Window) { w.inspector.ask(w.inspector.influenceTopic(w.askedOf())) },
			help: "The values that move it, the strongest first. A click on a figure on the sheet asks the same."},
	}
}

// askedOf is the quantity that the right button was pressed on or, where it was not
// pressed on any, the current of the part that is selected.
func (w *Window) askedOf() string {
	if of := w.surface.hand.asks; of != "" {
		return of
	}
	if p := w.selectedPart(); p != nil && w.inspector != nil {
		return mainCurrent(p)
	}
	return ""
}

// figureAt is the label with a figure at a place of the widget, and the quantity
// that it tells; "" where there is none.
func (s *surface) figureAt(at fyne.Position) (l scene.Label, of string) {
	r := s.doc.Result()
	if s.scene == nil || r == nil || !r.Solved || s.doc.editor.Busy() || s.doc.editor.DrawingWires() {
		return l, ""
	}
	p := s.toSheet(at)
	i := slices.IndexFunc(s.scene.Labels, func(l scene.Label) bool { return l.Box.Contains(p) })
	if i < 0 {
		return l, ""
	}
	l = s.scene.Labels[i]
	return l, quantityTold(s.doc.Shown(), r, l)
}

// quantityTold names the quantity that a label tells, or is "".
func quantityTold(d *model.Diagram, r *analysis.Result, l scene.Label) string {
	p := d.Part(l.Ref)
	switch {
	case l.Net >= len(r.Nets.Nets):
		return "" // of a drawing that was
	case l.Kind == scene.VoltageLabel && l.Net >= 0 && !math.IsNaN(r.Volts[l.Net]):
		return "net." + r.Nets.Nets[l.Net].Name + ".volts"
	case l.Kind == scene.CurrentLabel && p != nil:
		return mainCurrent(p)
	case l.Kind == scene.CurrentLabel && d.Part(l.Of) != nil:
		return mainCurrent(d.Part(l.Of))
	case l.Kind == scene.CurrentLabel && l.Net >= 0:
		return currentTold(d, r, l)
	case l.Kind == scene.PowerLabel && p != nil:
		return p.Ref + ".watts"
	}
	return ""
}

// currentTold names the current that a wire's label tells, where no part of two
// pins carries it, by a pin of the same net that takes or gives as much.
func currentTold(d *model.Diagram, r *analysis.Result, l scene.Label) string {
	var pins []net.PinID
	for _, c := range pinCurrents(r, r.Nets.Nets[l.Net].Pins) {
		if quantity.Solved(math.Abs(c.amps), quantity.Ampere) == l.Text {
			pins = append(pins, c.pin)
		}
	}
	if len(pins) == 0 {
		return ""
	}
	best := slices.MinFunc(pins, func(a, b net.PinID) int { return cmp.Compare(askedRank(d.Part(a.Ref)), askedRank(d.Part(b.Ref))) })
	return best.Ref + "." + best.Pin + ".amps"
}

// askedRank is the place of a part among those that people mean by a current: what
// the circuit is there for, what switches it, what lies in its way, what feeds it.
func askedRank(p *model.Part) int {
	switch k := p.LookupKind(); {
	case k != nil && k.Load:
		return 0
	case p.Kind == "battery" || p.Kind == "supply" || p.Kind == "chip":
		return 3
	case len(p.LookupKind().Pins(p)) == 2:
		return 2
	}
	return 1
}

// figureWords tell what a figure on the sheet is, and what a click does.
func figureWords(l scene.Label, of string) string {
	return sentenceStart(quantityInWords(of)) + columnMark + l.Text + "\nClick: what sets it."
}

// overFigure reports whether the pointer is on a figure that can be asked about.
func (s *surface) overFigure() bool {
	_, of := s.figureAt(s.hand.at)
	return of != ""
}
