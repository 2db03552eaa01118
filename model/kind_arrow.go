package model

// The reach of an arrow, in steps of the grid.
const (
	arrowLength = 4
	arrowMost   = 200
)

// Arrow points at something on the sheet, with words at its tail.
func (catalogue) Arrow() Kind {
	return Kind{
		Name:   "arrow",
		Title:  "Arrow",
		About:  "Points at something on the sheet, with words at its tail; not part of the circuit.",
		Prefix: "A", Key: 'Y', Order: 25,
		Pins: func(*Part) []Pin { return nil },
		Sign: true,
		Params: []Param{
			{Name: "length", Meaning: "how far the tail is from the tip, in steps of the grid", Default: Number(arrowLength), Max: arrowMost,
				Source: "a choice of this program"},
			{Name: "rise", Meaning: "how far the tail is aside of the tip, in steps of the grid", Min: -arrowMost, Max: arrowMost, Default: Number(0),
				Source: "a choice of this program"},
		},
	}
}

// ArrowTail is where an arrow's tail is about its tip before it is turned, in
// steps of the grid.
func ArrowTail(p *Part) (x, y float64) {
	reach := func(name string, usual float64) float64 {
		if v, ok := p.Params[name].Num(); ok {
			return max(-arrowMost, min(v, arrowMost))
		}
		return usual
	}
	return -reach("length", arrowLength), -reach("rise", 0)
}
