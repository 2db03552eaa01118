package model

import "copperglass/model/geom"

// Ground makes its net 0 V.
func (catalogue) Ground() Kind {
	return Kind{
		Name:   "ground",
		Title:  "Ground",
		About:  "Makes its net the 0 V that every voltage is counted from.",
		Prefix: "GND", Key: '0', Order: 22,
		Pins: onlyPin(upwards),
		Sign: true,
	}
}

// Tag names its net.
func (catalogue) Tag() Kind {
	return Kind{
		Name:   "tag",
		Title:  "Tag",
		About:  "Gives its net a name; nets of the same name are joined without a wire.",
		Prefix: "TAG", Key: 'X', Order: 23,
		Pins:    onlyPin(leftwards),
		Sign:    true,
		Suggest: "OUT",
	}
}

// Note is text on the sheet.
func (catalogue) Note() Kind {
	return Kind{
		Name:   "note",
		Title:  "Note",
		About:  "Words on the sheet that are not part of the circuit.",
		Prefix: "N", Key: 'N', Order: 24,
		Pins:    func(*Part) []Pin { return nil },
		Sign:    true,
		Suggest: "Note",
	}
}

// onlyPin lays out the one pin of a symbol at its origin; out is the way a
// wire leaves.
func onlyPin(out geom.Point) func(*Part) []Pin {
	return func(*Part) []Pin { return []Pin{{"1", geom.Pt(0, 0), out}} }
}
