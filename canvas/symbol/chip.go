package symbol

import (
	"cmp"
	"strings"

	"copperglass/canvas"
	"copperglass/model"
	"copperglass/model/geom"
)

const (
	chipCorner = 3.0
	pinText    = 11.0
	pinMargin  = 6.0 // between a pin's text and the edge
	stateGap   = 1.5 // from the edge to a pin's state
	stateRise  = 5.0 // from a lead to the state beside it
)

func (catalogue) Chip() symbol { return symbol{draw: drawChip, fit: fitChip} }

// chipBox returns the chip's box in the part's own coordinates.
func chipBox(p *model.Part) canvas.Rect {
	b := model.ChipBox(p)
	return canvas.Rect{Min: canvas.OnGrid(b.Min), Max: canvas.OnGrid(b.Max)}
}

func fitChip(p *model.Part) canvas.Rect {
	r := frameOf(p).rect(chipBox(p))
	for _, pin := range p.PlacedPins() {
		r = r.Include(canvas.OnGrid(pin.At))
	}
	return r
}

func drawChip(p *pen) {
	b := chipBox(p.part)
	p.body(new(canvas.Path).RoundRect(b, chipCorner))
	pins := p.part.PlacedPins()
	room := pinRoom(pins, p.rect(b))
	size := p.pinSize(pins, room)
	for i, pin := range pins {
		foot := canvas.OnGrid(pin.At.Sub(pin.Out))
		p.straight(canvas.OnGrid(pin.At), foot, stroke).Round = false
		if i < len(p.part.Pins) {
			label := pinLabel(p.part.Pins[i], p.values)
			p.write(p.pinText(shorten(label, size, room[pin.Out]), size, foot, pin.Out))
			if state := namedState(p.part.Pins[i], p.values); state != "" {
				p.write(p.pinState(state, foot, pin.Out))
			}
		}
	}
}

// pinRoom returns how long the text at a pin may be, by the way the pin
// points: beside the text across the box, or beside that of the next pin.
func pinRoom(pins []model.Pin, b canvas.Rect) map[geom.Point]float64 {
	count := map[geom.Point]int{}
	for _, pin := range pins {
		count[pin.Out]++
	}
	room := map[geom.Point]float64{}
	for out := range count {
		whole := b.Width() - 2*pinMargin
		switch {
		case out.Y == 0 && count[geom.Pt(-out.X, 0)] > 0:
			room[out] = whole/2 - pinMargin/2
		case out.Y != 0 && count[out] > 1:
			room[out] = 2*canvas.Grid - pinMargin
		default:
			room[out] = whole
		}
	}
	return room
}

// pinLabel returns the pin's number and its name, or else what it does: for an
// output the state it is in, else its role.
func pinLabel(pin model.ChipPin, v model.Values) string {
	return strings.TrimSpace(pin.Number + " " + cmp.Or(pin.Name, stateOf(pin, v), roleWord(pin.Role)))
}

// stateOf returns the state that an output is set to, or "".
func stateOf(pin model.ChipPin, v model.Values) string {
	if roleWord(pin.Role) != "out" {
		return ""
	}
	return v.Text(pin.Number)
}

// namedState returns the state of an output whose label has its name instead.
func namedState(pin model.ChipPin, v model.Values) string {
	if pin.Name == "" {
		return ""
	}
	return stateOf(pin, v)
}

// pinState places the state of a pin outside the box, beside its lead, in letters
// small enough that the longest state is no longer than the lead.
func (p *pen) pinState(state string, foot canvas.Point, out geom.Point) *canvas.Text {
	fits := canvas.Grid / canvas.TextWidth("high", 1, false)
	t := &canvas.Text{String: state, Size: min(pinText*cmp.Or(p.TextScale, 1), fits), Colour: p.Theme.Quiet}
	switch {
	case out.X < 0:
		t.Align, t.At = canvas.End, foot.Add(canvas.Pt(-stateGap, -stateRise))
	case out.X > 0:
		t.At = foot.Add(canvas.Pt(stateGap, -stateRise))
	default:
		t.At = foot.Add(canvas.Pt(stateRise, canvas.Grid/2*float64(out.Y)+canvas.CapHeight(t.Size)/2))
	}
	return t
}

func roleWord(role string) string {
	switch role {
	case "supply", "ground":
		return role
	case "input":
		return "in"
	case "output", "open_drain":
		return "out"
	}
	return ""
}

// pinSize is the size of the texts at all pins of a chip: what TextScale asks for,
// or less where the longest does not fit, but not below the usual size.
func (p *pen) pinSize(pins []model.Pin, room map[geom.Point]float64) float64 {
	scale := cmp.Or(p.TextScale, 1)
	size := pinText * scale
	for i, pin := range pins[:min(len(pins), len(p.part.Pins))] {
		label := pinLabel(p.part.Pins[i], p.values)
		size = min(size, room[pin.Out]/canvas.TextWidth(label+" ", 1, false))
	}
	return max(pinText*min(1, scale), size)
}

// pinText places the text of a pin inside the box, at the foot of a lead that
// points out.
func (p *pen) pinText(text string, size float64, foot canvas.Point, out geom.Point) *canvas.Text {
	t := &canvas.Text{String: text, Size: size, Colour: p.Theme.Quiet, Align: canvas.Middle}
	rise := canvas.CapHeight(size)
	switch {
	case out.X < 0:
		t.Align, t.At = canvas.Start, foot.Add(canvas.Pt(pinMargin, rise/2))
	case out.X > 0:
		t.Align, t.At = canvas.End, foot.Add(canvas.Pt(-pinMargin, rise/2))
	case out.Y < 0:
		t.At = foot.Add(canvas.Pt(0, pinMargin+rise))
	default:
		t.At = foot.Add(canvas.Pt(0, -pinMargin))
	}
	return t
}
