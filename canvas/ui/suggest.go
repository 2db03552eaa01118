package ui

import (
	"math"

	"copperglass/analysis"
	"copperglass/model"
	"copperglass/model/quantity"
)

// resistorOffers offer to find the resistor that gives an LED a wanted current.
func (in *inspector) resistorOffers(p *model.Part) []offer {
	if p.Kind != "led" {
		return nil
	}
	resistor, mode := in.inSeries(p)
	if resistor == nil {
		return nil
	}
	title := "Which " + resistor.Ref + " for a wanted current?"
	return []offer{{title, "The preferred value of the resistor that comes next to it, what flows then, and what the resistor has to bear.", func() topic {
		in.doc.SetMode(mode)
		of := sought{mainCurrent(p), float64(p.Multiple()), quantity.Ampere}
		return in.aimTopic(resistor.Ref, resistor.LookupKind().Param("resistance"), of)
	}}}
}

// inSeries returns the resistor that carries what the part carries, in the mode
// in which that is most; nil where there is none.
func (in *inspector) inSeries(p *model.Part) (*model.Part, string) {
	const alike = 0.02 // of the current
	var brightest *analysis.Result
	most := 0.0
	for _, m := range in.doc.Answer().Modes {
		if amps := throughPart(m.Result, p.Ref); amps > most {
			brightest, most = m.Result, amps
		}
	}
	var best *model.Part
	least := alike * most
	for _, q := range in.doc.Shown().Parts {
		if q.Kind == "resistor" {
			if off := math.Abs(throughPart(brightest, q.Ref) - most); off < least {
				best, least = q, off
			}
		}
	}
	if best == nil {
		return nil, ""
	}
	return best, brightest.Mode
}

// throughPart is the size of the current through a part of two pins, 0 where
// nothing is known of it.
func throughPart(r *analysis.Result, ref string) float64 {
	if r == nil || !r.Solved || r.Parts[ref] == nil || len(r.Parts[ref].Pins) == 0 {
		return 0
	}
	return math.Abs(r.Parts[ref].Pins[0].Amps)
}
