package model

// whole puts a drawing in the place of all of another.
type whole struct{ d Diagram }

func (w whole) apply(d *Diagram) (step, error) {
	inverse := whole{*d.Snapshot()}
	*d = *w.d.Snapshot()
	return inverse, nil
}

// Replace makes the draft all that d is: another drawing, as a single change.
func (f *Draft) Replace(d *Diagram) {
	f.do(whole{*d.Snapshot()})
	for _, w := range d.Wires {
		f.lastWire = max(f.lastWire, w.ID)
	}
}
