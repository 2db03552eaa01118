package file

import (
	"fmt"
	"slices"
	"strings"

	"copperglass/model"
)

// checkDrawing checks what several parts of the drawing have a say in.
func (d *decoder) checkDrawing(root *place, g *model.Diagram) {
	d.checkTypes(root.in("params"), g.Params, model.DrawingParam)
	d.checkRefs(root.in("parts"), g.Parts)
	d.checkModes(root.in("modes"), g)
}

// checkRefs reports parts whose names differ at most in case: people would not
// tell them apart.
func (d *decoder) checkRefs(at *place, parts []*model.Part) {
	first := make(map[string]int, len(parts))
	for i, p := range parts {
		key := strings.ToUpper(p.Ref)
		if j, twice := first[key]; twice && p.Ref != "" {
			d.fault(at.item(i).in("ref"), "%s is the ref of parts[%d] already; every part needs one of its own", quoted(p.Ref), j)
			continue
		}
		first[key] = i
	}
}

func (d *decoder) checkModes(at *place, g *model.Diagram) {
	parts := partsByRef(g)
	names := map[string]bool{}
	for i, m := range g.Modes {
		if names[m.Name] && m.Name != "" {
			d.fault(at.item(i).in("name"), "there is a mode %s already", quoted(m.Name))
		}
		names[m.Name] = true
		if _, err := model.ReadDaily(m.EachDay); err != nil && m.EachDay != "" {
			d.fault(at.item(i).in("each_day"), "%v", err)
		}
		for _, target := range sortedKeys(m.Set) {
			place := at.item(i).in("set").in(target)
			if wrong := wrongSetting(parts, target, m.Set[target]); wrong != "" && !d.faulty(place) {
				d.fault(place, "%s", wrong)
			}
		}
	}
}

func partsByRef(g *model.Diagram) map[string]*model.Part {
	parts := make(map[string]*model.Part, len(g.Parts))
	for _, p := range g.Parts {
		parts[p.Ref] = p
	}
	return parts
}

// wrongSetting tells why a mode cannot put target, a part or a pin of a chip,
// into a state. It is empty where the mode can.
func wrongSetting(parts map[string]*model.Part, target, state string) string {
	ref, pin := model.SplitTarget(target)
	p := parts[ref]
	if p == nil {
		return fmt.Sprintf("there is no part %s", quoted(ref))
	}
	if p.LookupKind() == nil {
		return "" // its kind is the fault
	}
	if pin != "" {
		return wrongPinState(p, pin, state)
	}
	q := p.LookupKind().Param("state")
	if q == nil {
		return fmt.Sprintf("%s, of kind %s, has no state to set", quoted(ref), p.Kind)
	}
	return wrongState(state, q.Choices)
}

func wrongPinState(p *model.Part, pin, state string) string {
	states := p.LookupKind().PinStates
	if len(states) > 0 && pinNames(p)[pin] {
		return wrongState(state, states)
	}
	if q := p.LookupKind().Param(pin); q != nil {
		if _, err := q.Parse(state); err != nil {
			return err.Error()
		}
		return ""
	}
	return fmt.Sprintf("%s, of kind %s, has no pin %s to set", quoted(p.Ref), p.Kind, quoted(pin))
}

func wrongState(state string, choices []string) string {
	if slices.Contains(choices, state) {
		return ""
	}
	return fmt.Sprintf("%s should be %s", quoted(state), orList(choices))
}
