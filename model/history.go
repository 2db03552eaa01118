package model

// History is a diagram with everything that was done to it since it was
// opened. The zero History holds an empty diagram.
type History struct {
	diagram  Diagram
	undo     []Edit // undo[i] takes back the i-th edit
	redo     []Edit
	saved    int // len(undo) when last saved; −1 when that state cannot be reached again
	revision int
	merging  bool // whether the last thing done was an edit, which the next may continue
}

// NewHistory starts from a diagram just read or just made.
func NewHistory(d *Diagram) *History { return &History{diagram: *d} }

// Diagram returns a snapshot of the diagram as it is now.
func (h *History) Diagram() *Diagram { return h.diagram.Snapshot() }

// Revision grows with every change, undo and redo: results carry the revision
// they belong to.
func (h *History) Revision() int { return h.revision }

// Do carries e out. An empty edit does nothing.
func (h *History) Do(e Edit) error {
	if e.Empty() {
		return nil
	}
	inverse, err := h.diagram.Apply(e)
	if err != nil {
		return err
	}
	h.revision++
	h.forgetRedo()
	merges := h.merges(e)
	h.merging = true
	if merges {
		last := &h.undo[len(h.undo)-1]
		last.steps = append(inverse.steps, last.steps...)
		return nil
	}
	h.undo = append(h.undo, inverse)
	return nil
}

// merges reports whether e continues the last edit. An edit never merges into
// what is already saved, or the saved state could not be reached by undo; nor
// into what was done before an undo or a redo, which end whatever went on.
func (h *History) merges(e Edit) bool {
	n := len(h.undo)
	return h.merging && e.Merge != "" && n > 0 && n != h.saved && h.undo[n-1].Merge == e.Merge
}

func (h *History) forgetRedo() {
	if h.saved > len(h.undo) {
		h.saved = -1
	}
	h.redo = nil
}

// Undo takes the last edit back and returns what it was, or false when there
// is none.
func (h *History) Undo() (label string, ok bool) { return h.step(&h.undo, &h.redo) }

// Redo does again what was last taken back.
func (h *History) Redo() (label string, ok bool) { return h.step(&h.redo, &h.undo) }

func (h *History) step(from, to *[]Edit) (string, bool) {
	n := len(*from)
	if n == 0 {
		return "", false
	}
	e := (*from)[n-1]
	inverse, err := h.diagram.Apply(e)
	if err != nil {
		panic("model: history does not fit its diagram: " + err.Error())
	}
	*from, *to = (*from)[:n-1], append(*to, inverse)
	h.revision++
	h.merging = false
	return e.Label, true
}

// CanUndo returns what Undo would take back, or "".
func (h *History) CanUndo() string { return lastLabel(h.undo) }

// CanRedo returns what Redo would do again, or "".
func (h *History) CanRedo() string { return lastLabel(h.redo) }

func lastLabel(edits []Edit) string {
	if len(edits) == 0 {
		return ""
	}
	return edits[len(edits)-1].Label
}

// MarkSaved remembers the present state as the one in the file.
func (h *History) MarkSaved() { h.saved = len(h.undo) }

// MarkUnsaved forgets which state is in the file: it holds none of them any
// more.
func (h *History) MarkUnsaved() { h.saved = -1 }

// Changed reports whether the diagram differs from what was last saved.
func (h *History) Changed() bool { return h.saved != len(h.undo) }
