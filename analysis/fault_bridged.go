package analysis

import (
	"context"

	"copperglass/model"
	"copperglass/model/net"
)

// bridgedParts finds parts with a wire under them that joins their pins: it looks
// as if the part were in the wire.
func bridgedParts(_ context.Context, d *model.Diagram, nets *net.Netlist) faults {
	var found faults
	for _, u := range nets.Underlain(d) {
		p := d.Parts[u.Part]
		found.add(Fault{
			Text:  bridgedWords(p, u.Pins) + " by the wire under it; move " + p.Ref + " aside, or take the wire away there",
			Parts: []string{p.Ref},
			Nets:  []int{nets.Pin(p.Ref, u.Pins[0])},
			Wires: u.Wires,
		})
	}
	return found
}

func bridgedWords(p *model.Part, pins [2]string) string {
	if len(p.PlacedPins()) == 2 {
		return p.Ref + " is bridged"
	}
	return p.Ref + "'s " + pinName(p, pins[0]) + " and " + pinName(p, pins[1]) + " are joined"
}
