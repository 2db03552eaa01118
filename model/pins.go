package model

import "copperglass/model/geom"

// The layouts that several kinds share. Distances are in grid steps.

var (
	leftwards  = geom.Pt(-1, 0)
	rightwards = geom.Pt(1, 0)
	upwards    = geom.Pt(0, -1)
	downwards  = geom.Pt(0, 1)
)

// sideways lays two pins out from left to right, four steps apart.
func sideways(left, right string) func(*Part) []Pin {
	return func(*Part) []Pin {
		return []Pin{
			{left, geom.Pt(-2, 0), leftwards},
			{right, geom.Pt(2, 0), rightwards},
		}
	}
}

// upright lays two pins out from top to bottom, four steps apart.
func upright(top, bottom string) func(*Part) []Pin {
	return func(*Part) []Pin {
		return []Pin{
			{top, geom.Pt(0, -2), upwards},
			{bottom, geom.Pt(0, 2), downwards},
		}
	}
}

// transistor lays out a control pin on the left and the switched path from top
// to bottom. The pins are returned in the order given by order.
func transistor(control, top, bottom string, order ...string) func(*Part) []Pin {
	at := map[string]Pin{
		control: {control, geom.Pt(-2, 0), leftwards},
		top:     {top, geom.Pt(0, -2), upwards},
		bottom:  {bottom, geom.Pt(0, 2), downwards},
	}
	return func(*Part) []Pin {
		pins := make([]Pin, len(order))
		for i, name := range order {
			pins[i] = at[name]
		}
		return pins
	}
}

// polesInWords are the PinWords of a kind with a plus and a minus pin.
func polesInWords() map[string]string { return map[string]string{"+": "plus", "-": "minus"} }

// junctionInWords are the PinWords of a kind with one junction.
func junctionInWords() map[string]string { return map[string]string{"A": "anode", "K": "cathode"} }
