package model

import (
	"errors"
	"fmt"
	"slices"
)

// Edit is a change to a diagram that can be taken back: a list of steps, each
// of which puts some items of one list in place of others.
type Edit struct {
	Label string // what it does, for the undo menu: "move R1"
	Merge string // edits in a row with the same Merge, not empty, count as one
	steps []step
}

// Empty reports whether the edit changes nothing.
func (e Edit) Empty() bool { return len(e.steps) == 0 }

// step is one reversible change of one list. The set of steps is closed.
type step interface {
	// apply carries the step out and returns the step that takes it back. It
	// fails, changing nothing, where the list does not reach as far as the step.
	apply(d *Diagram) (step, error)
}

// splice puts insert in the place of remove items from position at.
type splice[T any] struct {
	list   func(*Diagram) *[]T
	at     int
	remove int
	insert []T
}

var errStale = errors.New("the edit does not fit the drawing any more")

func (s splice[T]) apply(d *Diagram) (step, error) {
	list := s.list(d)
	end := s.at + s.remove
	if s.at < 0 || s.remove < 0 || end > len(*list) {
		return nil, errStale
	}
	inverse := splice[T]{s.list, s.at, len(s.insert), slices.Clone((*list)[s.at:end])}
	*list = slices.Concat((*list)[:s.at], s.insert, (*list)[end:])
	return inverse, nil
}

// heading replaces what the drawing as a whole is called and its quantities.
type heading struct {
	title  string
	block  TitleBlock
	params Params
}

func (h heading) apply(d *Diagram) (step, error) {
	inverse := heading{d.Title, d.Block, d.Params}
	d.Title, d.Block, d.Params = h.title, h.block, h.params
	return inverse, nil
}

func partList(d *Diagram) *[]*Part { return &d.Parts }
func wireList(d *Diagram) *[]*Wire { return &d.Wires }
func modeList(d *Diagram) *[]*Mode { return &d.Modes }

// Apply carries e out on d and returns the edit that takes it back. After an
// error d is as it was.
func (d *Diagram) Apply(e Edit) (Edit, error) {
	before := *d
	inverse := Edit{Label: e.Label, Merge: e.Merge}
	for _, s := range e.steps {
		back, err := s.apply(d)
		if err != nil {
			*d = before
			return Edit{}, fmt.Errorf("%s: %w", e.Label, err)
		}
		inverse.steps = append(inverse.steps, back)
	}
	slices.Reverse(inverse.steps)
	return inverse, nil
}

// Draft is an edit in the making: the diagram as it would be, and the steps
// that lead there. It is how gestures show what they would do before it is
// done.
type Draft struct {
	d        Diagram
	steps    []step
	lastWire WireID
}

// NewDraft starts from d, which it leaves alone.
func NewDraft(d *Diagram) *Draft {
	f := &Draft{d: *d}
	for _, w := range d.Wires {
		f.lastWire = max(f.lastWire, w.ID)
	}
	return f
}

// Diagram returns the diagram with the draft's changes.
func (f *Draft) Diagram() *Diagram { return &f.d }

// Edit returns the draft's changes as an edit of the diagram it started from.
func (f *Draft) Edit(label string) Edit {
	return Edit{Label: label, steps: slices.Clone(f.steps)}
}

func (f *Draft) do(s step) {
	if _, err := s.apply(&f.d); err != nil {
		panic("model: draft step out of range: " + err.Error())
	}
	f.steps = append(f.steps, s)
}

// AddPart puts p at the end of the parts.
func (f *Draft) AddPart(p *Part) {
	f.do(splice[*Part]{partList, len(f.d.Parts), 0, []*Part{p}})
}

// SetPart puts p in the place of the part called ref. It does nothing where
// there is none.
func (f *Draft) SetPart(ref string, p *Part) {
	if i := f.d.PartIndex(ref); i >= 0 {
		f.do(splice[*Part]{partList, i, 1, []*Part{p}})
	}
}

// RemovePart takes the part called ref away.
func (f *Draft) RemovePart(ref string) {
	if i := f.d.PartIndex(ref); i >= 0 {
		f.do(splice[*Part]{partList, i, 1, nil})
	}
}

// AddWire puts w at the end of the wires and returns the identity it got.
func (f *Draft) AddWire(w *Wire) WireID {
	c := w.Clone()
	f.lastWire++
	c.ID = f.lastWire
	f.do(splice[*Wire]{wireList, len(f.d.Wires), 0, []*Wire{c}})
	return c.ID
}

// SetWire puts w in the place of the wire with its identity.
func (f *Draft) SetWire(w *Wire) {
	if i := f.d.WireIndex(w.ID); i >= 0 {
		f.do(splice[*Wire]{wireList, i, 1, []*Wire{w}})
	}
}

// RemoveWire takes the wire with that identity away.
func (f *Draft) RemoveWire(id WireID) {
	if i := f.d.WireIndex(id); i >= 0 {
		f.do(splice[*Wire]{wireList, i, 1, nil})
	}
}

// AddMode puts m at the end of the modes.
func (f *Draft) AddMode(m *Mode) {
	f.do(splice[*Mode]{modeList, len(f.d.Modes), 0, []*Mode{m}})
}

// SetMode puts m in the place of mode number i.
func (f *Draft) SetMode(i int, m *Mode) { f.do(splice[*Mode]{modeList, i, 1, []*Mode{m}}) }

// RemoveMode takes mode number i away.
func (f *Draft) RemoveMode(i int) { f.do(splice[*Mode]{modeList, i, 1, nil}) }

// SetTitle names the drawing.
func (f *Draft) SetTitle(title string) { f.do(heading{title, f.d.Block, f.d.Params}) }

// SetBlock fills the title block in.
func (f *Draft) SetBlock(b TitleBlock) { f.do(heading{f.d.Title, b, f.d.Params}) }

// SetParam sets a quantity of the drawing, or unsets it where v is unset.
func (f *Draft) SetParam(name string, v Value) {
	p := f.d.Params.clone()
	if p == nil {
		p = Params{}
	}
	if v.IsSet() {
		p[name] = v
	} else {
		delete(p, name)
	}
	f.do(heading{f.d.Title, f.d.Block, p})
}
