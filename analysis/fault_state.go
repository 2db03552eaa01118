package analysis

import (
	"maps"
	"slices"

	"copperglass/model"
)

// strayStates finds what a mode sets that is not there.
func strayStates(parts namedParts, m *model.Mode) faults {
	var found faults
	for _, target := range slices.Sorted(maps.Keys(m.Set)) {
		if text := strayState(parts, target); text != "" {
			ref, _ := model.SplitTarget(target)
			found.add(Fault{Text: "mode " + m.Name + " sets " + target + ", but " + text, Parts: parts.named(ref)})
		}
	}
	return found
}

// strayState tells why target cannot be set, or "".
func strayState(parts namedParts, target string) string {
	ref, pin := model.SplitTarget(target)
	p := parts[ref]
	if p == nil {
		return "there is no " + ref
	}
	k := p.LookupKind()
	switch {
	case k == nil:
		return "" // said elsewhere
	case pin == "" && k.Param("state") == nil:
		return ref + " has no states; name one of its pins or set a switch"
	case pin == "" || k.Param(pin) != nil:
		return ""
	}
	return strayPin(p, pin)
}

// strayPin tells why the pin of a chip cannot be set, or "".
func strayPin(p *model.Part, pin string) string {
	i := slices.IndexFunc(p.Pins, func(c model.ChipPin) bool { return c.Number == pin })
	switch {
	case i < 0:
		return p.Ref + " has no pin " + pin
	case p.Pins[i].Role != "output" && p.Pins[i].Role != "open_drain":
		return "that pin is no output; make it one or leave it out of the mode"
	}
	return ""
}

// straySettings finds what the caller sets that is not there.
func straySettings(d *model.Diagram, set model.Setting) faults {
	if len(set) == 0 {
		return nil
	}
	parts := partsByName(d)
	var found faults
	for _, ref := range slices.Sorted(maps.Keys(set)) {
		for _, name := range set[ref].Names() {
			if text := strayQuantity(parts[ref], ref, name); text != "" {
				found.add(Fault{Text: ref + "." + name + " is set, but " + text, Parts: parts.named(ref)})
			}
		}
	}
	return found
}

// strayQuantity tells why what is called name cannot be set for ref, or "". The
// part of that name is p, nil where there is none.
func strayQuantity(p *model.Part, ref, name string) string {
	if ref == model.Drawing {
		if model.DrawingParam(name) == nil {
			return "the drawing has no such quantity"
		}
		return ""
	}
	if p == nil {
		return "there is no " + ref
	}
	k := p.LookupKind()
	isPin := slices.ContainsFunc(p.Pins, func(c model.ChipPin) bool { return c.Number == name })
	if k != nil && k.Param(name) == nil && !isPin {
		return ref + " has no such quantity"
	}
	return ""
}

// namedParts are the parts of a diagram by name; of those that share one, the
// first.
type namedParts map[string]*model.Part

func partsByName(d *model.Diagram) namedParts {
	parts := make(namedParts, len(d.Parts))
	for _, p := range d.Parts {
		if parts[p.Ref] == nil {
			parts[p.Ref] = p
		}
	}
	return parts
}

// named lists the part of that name, if there is one.
func (parts namedParts) named(ref string) []string {
	if parts[ref] == nil {
		return nil
	}
	return []string{ref}
}
