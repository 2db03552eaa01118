package analysis

import (
	"maps"
	"slices"

	"copperglass/model"
)

// resolution is what a part comes to by its values. Parts are never written to,
// so that it holds while the part is drawn and nothing else is set for it.
type resolution struct {
	part     *model.Part
	set      model.Params // for the part, when it was resolved
	kind     *model.Kind
	values   model.Values
	pins     []string
	equation []model.Element
	leftOpen bool // whether it has no equation for want of values that make sense
	faults   faults
}

// stock keeps what the parts of a drawing came to for the next time that it is
// compiled. The zero value is empty.
type stock struct {
	drawn, set model.Params // the drawing's own quantities, as drawn and as set
	parts      []resolution // by place in the drawing
}

// begin makes ready for d, and forgets what does not hold there.
func (s *stock) begin(d *model.Diagram, set model.Setting) {
	if !maps.EqualFunc(s.drawn, d.Params, model.Value.Same) || !maps.EqualFunc(s.set, set[model.Drawing], model.Value.Same) {
		clear(s.parts)
	}
	s.drawn, s.set = maps.Clone(d.Params), maps.Clone(set[model.Drawing])
	s.parts = slices.Grow(s.parts, max(0, len(d.Parts)-len(s.parts)))[:len(d.Parts)]
}

// part returns what part i of d comes to. It holds until the stock begins anew.
func (s *stock) part(d *model.Diagram, i int, set model.Setting) *resolution {
	r, p := &s.parts[i], d.Parts[i]
	if r.part != p || !maps.EqualFunc(r.set, set[p.Ref], model.Value.Same) {
		*r = resolve(d, p, set)
	}
	return r
}

func resolve(d *model.Diagram, p *model.Part, set model.Setting) resolution {
	values, problems := d.Resolve(p, set)
	r := resolution{part: p, set: maps.Clone(set[p.Ref]), kind: p.LookupKind(), values: values}
	r.faults = valueFaults(p, r.kind, values, problems)
	if r.kind == nil {
		return r
	}
	pins := r.kind.Pins(p)
	r.pins = make([]string, len(pins))
	for i := range pins {
		r.pins[i] = pins[i].Name
	}
	r.resolveEquation()
	return r
}

// resolveEquation finds the part's equation, unless something is lacking.
func (r *resolution) resolveEquation() {
	if r.kind.Equation == nil {
		return
	}
	if r.leftOpen = len(r.kind.Missing(r.values)) > 0; r.leftOpen {
		return
	}
	equation := r.kind.Elements(r.part, r.values)
	if r.leftOpen = slices.ContainsFunc(equation, isSenseless); r.leftOpen {
		r.faults.add(Fault{Text: r.part.Ref + " is left open: its values do not go together; change one of them", Parts: []string{r.part.Ref}})
		return
	}
	r.equation = equation
}
