package analysis

import (
	"context"
	"maps"
	"slices"
	"time"

	"copperglass/model"
)

// Redraw follows the drawing to d. Where nothing differs but what parts are
// worth (value, marking and params), that is much like Move; where parts and
// wires lie elsewhere but join the same pins, the figures stay and only faults
// are looked for. Any other drawing is compiled anew, and Newton's method begins
// at the present operating point. A circuit that might have several stable states
// therefore stays near the one it was in, which is tested for stability as Solve
// does it, and others are looked for from there if a survey is wanted. The error
// is the context's, or of a mode that d does not have.
func (t *Tracker) Redraw(ctx context.Context, d *model.Diagram) error {
	old := t.diagram
	t.diagram, t.memory.nets = d, nil
	if sameForm(old, d) {
		if !t.usable {
			return t.anew(ctx)
		}
		t.takeParts(old)
		return t.follow(ctx)
	}
	if t.usable && t.relay(ctx, old) {
		return nil
	}
	t.options.Start = nil
	return t.anew(ctx)
}

// sameForm reports whether two drawings differ in what parts are worth at most.
func sameForm(a, b *model.Diagram) bool {
	return slices.Equal(a.Wires, b.Wires) && sameAround(a, b) && slices.EqualFunc(a.Parts, b.Parts, func(p, q *model.Part) bool {
		return p == q || alike(p, q) && inPlace(p, q)
	})
}

// sameCircuit reports whether two drawings differ in where parts are and in what
// joins them at most.
func sameCircuit(a, b *model.Diagram) bool {
	return sameAround(a, b) && slices.EqualFunc(a.Parts, b.Parts, func(p, q *model.Part) bool {
		return p == q || alike(p, q) && sameWorth(p, q)
	})
}

func sameAround(a, b *model.Diagram) bool {
	return slices.Equal(a.Modes, b.Modes) && maps.EqualFunc(a.Params, b.Params, model.Value.Same)
}

// alike reports whether two parts differ in nothing but what they are worth and
// what decides what they are joined to.
func alike(a, b *model.Part) bool {
	chip := func(p, q model.ChipPin) bool {
		return p.Number == q.Number && p.Name == q.Name && p.Role == q.Role && p.Side == q.Side
	}
	return b.LookupKind() != nil && a.Ref == b.Ref && a.Kind == b.Kind && a.Multiple() == b.Multiple() && slices.EqualFunc(a.Pins, b.Pins, chip)
}

// inPlace reports whether two parts that are alike differ in nothing that
// decides what they are joined to. The value of a sign is a net's name.
func inPlace(a, b *model.Part) bool {
	k := b.LookupKind()
	return !k.Sign && a.Placed == b.Placed && a.At == b.At && a.Orient == b.Orient &&
		maps.Equal(a.Tags, b.Tags) && slices.Equal(k.Pins(a), k.Pins(b))
}

func sameWorth(a, b *model.Part) bool {
	return a.Value == b.Value && a.Marking == b.Marking && maps.EqualFunc(a.Params, b.Params, model.Value.Same)
}

// takeParts makes those parts due that were others in the old drawing.
func (t *Tracker) takeParts(old *model.Diagram) {
	t.result.circuit.diagram = t.diagram
	for i, p := range t.diagram.Parts {
		if p == old.Parts[i] {
			continue
		}
		if m := t.part(p.Ref); m != nil {
			m.part.Part, m.resolver, m.put = p, model.NewResolver(t.diagram, p), false
		}
	}
}

// relay follows the drawing to the same circuit laid out in another way. It
// reports whether it is the same.
func (t *Tracker) relay(ctx context.Context, old *model.Diagram) bool {
	r, d, begin := t.result, t.diagram, time.Now()
	if r.latches || len(t.due) > 0 || !sameCircuit(old, d) {
		return false
	}
	nets := t.memory.follow(ctx, d, r.Nets)
	if nets == nil || !r.Nets.SameAs(nets) {
		return false
	}
	c := r.circuit
	c.diagram, c.nets, r.Nets, t.relaid = d, nets, nets, true
	for i, p := range d.Parts {
		if q := c.byRef[p.Ref]; q != nil {
			q.Part, q.nets = p, nets.Part(i)
		}
		if p != old.Parts[i] {
			delete(t.moving, p.Ref) // which goes by the old part
		}
	}
	t.relook(ctx)
	r.Elapsed = time.Since(begin)
	return ctx.Err() == nil
}

// relook looks for faults anew where the figures stay.
func (t *Tracker) relook(ctx context.Context) {
	r, d := t.result, t.diagram
	found := append(drawingFaults(d, r.Nets), straySettings(d, t.options.Set)...)
	t.memory.parts.begin(d, r.Set)
	for i := range d.Parts {
		found = append(found, t.memory.parts.part(d, i, r.Set).faults...)
	}
	_, found = r.circuit.examine(ctx, found)
	r.notes = found
	r.Faults = append(slices.Clip(found), r.circuit.openFaults(r.open)...).sorted()
}
