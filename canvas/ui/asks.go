package ui

import (
	"slices"

	"fyne.io/fyne/v2"

	"copperglass/analysis/whatif"
	"copperglass/model"
)

// offer is a question that a page offers to answer.
type offer struct {
	title, help string
	topic       func() topic
}

// asks adds the questions that there are at the moment, one line each.
func (p *page) asks(offers func() []offer) {
	key := func() string {
		key := "asks"
		for _, o := range offers() {
			key += "\x00" + o.title
		}
		return key
	}
	p.dynamic(key, func() []fyne.CanvasObject {
		list := offers()
		if len(list) == 0 {
			return nil
		}
		in := p.in
		lines := []fyne.CanvasObject{gap(10), rule(in.look.Edge), gap(12), styledText("Ask", headingSize, true, in.look.Ink), gap(4)}
		for _, o := range list {
			lines = append(lines, p.action(o.title, o.help, func() { in.ask(o.topic()) }), gap(2))
		}
		return lines
	})
}

// circuitAsks are the questions about the whole circuit.
func (in *inspector) circuitAsks() []offer {
	d := in.doc.Shown()
	var list []offer
	if len(d.Modes) > 1 {
		list = append(list, offer{"Compare the modes", "What each mode takes and gives, side by side.", in.modesTopic})
	}
	if slices.ContainsFunc(d.Parts, func(p *model.Part) bool { return p.Kind == "battery" }) {
		list = append(list, offer{"How long do the cells last?", "The current and the light until the cells are empty, and on other cells.", in.drainTopic})
	}
	list = append(list, in.lastingOffers(d)...)
	return append(list, in.storyOffers(d)...)
}

// lastingOffer asks what sets how long a battery lasts.
func (in *inspector) lastingOffer(ref string) offer {
	return offer{"What sets how long it lasts?", "The values that lengthen or shorten its run in this mode, the strongest first: the discharge is followed again for each.", func() topic { return in.influenceTopic(ref + whatif.LastsSuffix) }}
}

// partAsks are the questions about the selected part.
func (in *inspector) partAsks() []offer {
	p := in.doc.Shown().Part(in.ref)
	if p == nil {
		return nil
	}
	var list []offer
	if of := mainCurrent(p); of != "" {
		list = append(list, offer{"What sets its current?", "The values that move this current, the strongest first.", func() topic { return in.influenceTopic(of) }})
	}
	list = append(list, in.resistorOffers(p)...)
	list = append(list, in.pathOffers(p)...)
	if p.Kind == "battery" {
		list = append(list, in.lastingOffer(p.Ref))
	}
	if turn := numbers(p); len(turn) > 0 {
		list = append(list, offer{"Turn it as a knob", "Vary one of its values with everything live, aim at a figure, see the whole way in a picture.", func() topic { return in.knobTopic(p.Ref, turn[0]) }})
	}
	return list
}

// mainCurrent names the current that people mean by a part's, as a quantity.
func mainCurrent(p *model.Part) string {
	switch p.Kind {
	case "npn", "pnp":
		return p.Ref + ".C.amps"
	case "nmos", "pmos":
		return p.Ref + ".D.amps"
	}
	if k := p.LookupKind(); k != nil && !k.Sign && k.Equation != nil {
		if pins := k.Pins(p); len(pins) == 2 {
			return p.Ref + "." + pins[0].Name + ".amps"
		}
	}
	return ""
}
