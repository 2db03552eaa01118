package model

import (
	"unicode/utf8"

	"copperglass/model/geom"
)

// The layout of a chip: a box about its origin with its pins around it, two
// steps apart on each side and centred, each at the end of a lead of one step.

const (
	leastHalfWidth  = 3 // steps
	leastHalfHeight = 3 // steps
	labelStep       = 0.45
)

// chipSide returns the side of the box that the pin stands on: the one the
// person chose, or else the one its role suggests.
func (pin ChipPin) chipSide() string {
	switch pin.Side {
	case "left", "right", "top", "bottom":
		return pin.Side
	}
	switch pin.Role {
	case "supply":
		return "top"
	case "ground":
		return "bottom"
	case "output", "open_drain":
		return "right"
	}
	return "left"
}

// chipSides counts the pins of a chip on each side, and their longest labels.
type chipSides struct {
	left, right, top, bottom int
	leftLabel, rightLabel    int // characters
}

func sidesOf(p *Part) chipSides {
	var s chipSides
	for _, pin := range p.Pins {
		label := utf8.RuneCountInString(pin.Number) + 1 + utf8.RuneCountInString(pin.Name)
		switch pin.chipSide() {
		case "left":
			s.left, s.leftLabel = s.left+1, max(s.leftLabel, label)
		case "right":
			s.right, s.rightLabel = s.right+1, max(s.rightLabel, label)
		case "top":
			s.top++
		default:
			s.bottom++
		}
	}
	return s
}

// ChipBox returns the outline of a chip without its leads, about its own
// origin and unturned. It is symmetric about the origin, and wide enough for
// the labels of the pins on its left and right.
func ChipBox(p *Part) geom.Rect {
	s := sidesOf(p)
	labels := int(labelStep*float64(s.leftLabel+s.rightLabel)/2) + 1
	x := max(leastHalfWidth, s.top, s.bottom, labels)
	y := max(leastHalfHeight, s.left, s.right)
	if s.top+s.bottom > 0 {
		y = max(leastHalfHeight, s.left+1, s.right+1) // their labels stand inside the box
	}
	return geom.Rect{Min: geom.Pt(-x, -y), Max: geom.Pt(x, y)}
}

// chipPins are the pins in the order of the part's list.
func chipPins(p *Part) []Pin {
	box, total := ChipBox(p), sidesOf(p)
	var placed chipSides
	pins := make([]Pin, len(p.Pins))
	for i, pin := range p.Pins {
		switch pin.chipSide() {
		case "left":
			pins[i] = Pin{pin.Number, geom.Pt(box.Min.X-1, spread(&placed.left, total.left)), leftwards}
		case "right":
			pins[i] = Pin{pin.Number, geom.Pt(box.Max.X+1, spread(&placed.right, total.right)), rightwards}
		case "top":
			pins[i] = Pin{pin.Number, geom.Pt(spread(&placed.top, total.top), box.Min.Y-1), upwards}
		default:
			pins[i] = Pin{pin.Number, geom.Pt(spread(&placed.bottom, total.bottom), box.Max.Y+1), downwards}
		}
	}
	return pins
}

// spread returns the place of the next of so many pins two steps apart about 0.
func spread(placed *int, total int) int {
	at := 2**placed - (total - 1)
	*placed++
	return at
}
