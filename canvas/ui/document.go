package ui

import (
	"maps"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"copperglass/analysis"
	"copperglass/canvas/tool"
	"copperglass/model"
)

// Change says what of a document is no longer as it was; several may be
// combined.
type Change uint8

// What can change.
const (
	DrawingChanged   Change = 1 << iota // parts, wires, modes, title
	AnswerChanged                       // what the circuit does
	SelectionChanged                    // what is selected
	ModeChanged                         // which mode is chosen
	FileChanged                         // path, or whether there is something to save
	StateChanged                        // which stable state is chosen
	SightChanged                        // what stands out, and what is compared
)

// Document is the drawing that is open: what was done to it, where it is
// saved, what is chosen in it and what the circuit does. It belongs to the
// main goroutine.
type Document struct {
	history  *model.History
	editor   *tool.Editor
	shown    *model.Diagram              // as the editor has it
	selected tool.Selection              // as the editor has it
	revision int                         // of the history
	path     string                      // of its file, empty where it has none yet
	missing  bool                        // whether the file is no longer there
	mode     string                      // the chosen one, empty where the drawing has none
	typing   *typing                     // what is being typed into a field, or nil
	preview  *model.Draft                // a change that is shown and not made, or nil
	answer   Answer                      // of the shown drawing
	sides    map[string]*analysis.Result // by mode: the stable state that was chosen
	sight    sight
	solver   solver
	watchers []func(Change)
}

// NewDocument opens d, which was read from path; path is empty for a drawing
// without a file. An answer that is not there after the patience comes later,
// as AnswerChanged.
func NewDocument(d *model.Diagram, path string, patience time.Duration) *Document {
	doc := &Document{}
	doc.solver = solver{patience: patience, deliver: doc.setAnswer}
	doc.Replace(d, path)
	return doc
}

// Watch calls f after each change from now on.
func (doc *Document) Watch(f func(Change)) { doc.watchers = append(doc.watchers, f) }

func (doc *Document) tell(c Change) {
	for _, f := range doc.watchers {
		f(c)
	}
}

// Replace opens another drawing in the place of the present one.
func (doc *Document) Replace(d *model.Diagram, path string) { doc.open(model.NewHistory(d), path) }

// Restore opens another drawing that has changes which are not in its file. What
// it was before, the oldest first, can be gone back to.
func (doc *Document) Restore(d *model.Diagram, path string, past ...*model.Diagram) {
	steps := append(slices.Clone(past), d)
	h := model.NewHistory(steps[0])
	for _, next := range steps[1:] {
		replace(h, next, "what was done before it was left")
	}
	h.MarkUnsaved()
	doc.open(h, path)
}

// replace puts another drawing in the place of a history's, as one step.
func replace(h *model.History, d *model.Diagram, label string) {
	f := model.NewDraft(h.Diagram())
	f.Replace(d)
	if err := h.Do(f.Edit(label)); err != nil {
		panic("ui: " + err.Error()) // a draft fits the diagram it was made from
	}
}

// TakeOver puts what its file says by now in the place of the drawing, as one step
// to undo, and remembers that it is saved so.
func (doc *Document) TakeOver(d *model.Diagram) {
	doc.sides = map[string]*analysis.Result{}
	doc.Hand(func(e *tool.Editor) {
		e.Select()
		replace(doc.history, d, "loading what the file says")
		doc.history.MarkSaved()
		doc.missing = false
	})
}

func (doc *Document) open(h *model.History, path string) {
	doc.history = h
	doc.editor = tool.NewEditor(doc.history)
	doc.path, doc.missing, doc.mode, doc.shown, doc.typing, doc.preview = path, false, "", nil, nil, nil
	doc.sides, doc.sight = map[string]*analysis.Result{}, sight{}
	doc.follow(SelectionChanged | ModeChanged | FileChanged)
}

// Hand lets f work with the editor and follows what it did. What is being typed
// is done first.
func (doc *Document) Hand(f func(*tool.Editor)) {
	doc.commitTyped()
	f(doc.editor)
	doc.endPreview()
	doc.follow(0)
}

// follow finds out what changed in the editor, asks for a new answer where
// that is needed, and tells the watchers.
func (doc *Document) follow(c Change) {
	d, s := doc.drawn(), doc.selection()
	if !sameSelection(s, doc.selected) {
		c |= SelectionChanged
	}
	doc.selected = s
	if r := doc.history.Revision(); r != doc.revision {
		doc.revision = r
		c |= DrawingChanged | FileChanged
	}
	if !sameDrawing(d, doc.shown) {
		c |= DrawingChanged
	}
	if c&DrawingChanged != 0 {
		doc.shown = d
		c |= doc.keepMode()
	}
	if c&(DrawingChanged|ModeChanged|StateChanged) != 0 {
		doc.solver.ask(question{d, doc.mode, doc.sides[doc.mode]})
		c |= AnswerChanged
	}
	if c != 0 {
		doc.tell(c)
	}
}

// selection returns what is selected in the drawing. What hangs on the pointer may
// have the name of what was, before it was taken back.
func (doc *Document) selection() tool.Selection {
	s := doc.editor.Selection()
	for ref := range doc.editor.Hanging().Parts {
		delete(s.Parts, ref)
	}
	for id := range doc.editor.Hanging().Wires {
		delete(s.Wires, id)
	}
	return s
}

// drawn returns the drawing to show. What is new and hangs on the pointer is in
// it only where letting go would join it to something: elsewhere it is no part
// of the circuit, and what it lacks is no finding. Where letting go is refused
// the drawing stays as it was.
func (doc *Document) drawn() *model.Diagram {
	switch {
	case doc.typing != nil:
		return doc.typing.draft.Diagram()
	case doc.preview != nil:
		return doc.preview.Diagram()
	case doc.editor.Refused(), !doc.editor.Hanging().Empty() && len(doc.editor.Overlay().Joins) == 0:
		return doc.history.Diagram()
	}
	return doc.editor.Diagram()
}

// inHand returns what is in the hand and not in the drawing: what is new and
// hangs on the pointer, and what is dragged where it may not be let go.
func (doc *Document) inHand() tool.Selection {
	if doc.editor.Refused() {
		return doc.editor.Carried()
	}
	return doc.editor.Hanging()
}

// hanging returns the parts of it, as they lie in the hand.
func (doc *Document) hanging() []*model.Part {
	var parts []*model.Part
	hangs := doc.inHand()
	for _, p := range doc.editor.Diagram().Parts {
		if hangs.Parts[p.Ref] && p.Placed {
			parts = append(parts, p)
		}
	}
	return parts
}

// sameDrawing reports whether two diagrams hold the same lists. Lists are
// never changed in place, so it is enough to compare where they are.
func sameDrawing(a, b *model.Diagram) bool {
	return a != nil && b != nil && sameList(a.Parts, b.Parts) && sameList(a.Wires, b.Wires) && sameList(a.Modes, b.Modes)
}

func sameList[T any](a, b []T) bool {
	return len(a) == len(b) && (len(a) == 0 || &a[0] == &b[0])
}

func sameSelection(a, b tool.Selection) bool {
	return maps.Equal(a.Parts, b.Parts) && maps.Equal(a.Wires, b.Wires)
}

// keepMode chooses another mode where the chosen one is gone.
func (doc *Document) keepMode() Change {
	if doc.shown.Mode(doc.mode) != nil || doc.mode == "" && len(doc.shown.Modes) == 0 {
		return 0
	}
	doc.mode = ""
	if len(doc.shown.Modes) > 0 {
		doc.mode = doc.shown.Modes[0].Name
	}
	return ModeChanged
}

// Diagram returns the drawing as it is, without any gesture under way but with
// what is being typed.
func (doc *Document) Diagram() *model.Diagram {
	if doc.typing != nil {
		return doc.typing.draft.Diagram().Snapshot()
	}
	return doc.history.Diagram()
}

// Shown returns the drawing as it is to be seen: as it would be if a gesture
// under way ended now.
func (doc *Document) Shown() *model.Diagram { return doc.shown }

// Path returns where the drawing is saved, or "".
func (doc *Document) Path() string { return doc.path }

// fileTitle is what a drawing without a title is called.
func (doc *Document) fileTitle() string {
	if doc.path == "" {
		return "Untitled drawing"
	}
	name := filepath.Base(doc.path)
	return strings.TrimSuffix(name, filepath.Ext(name))
}

// Changed reports whether there is something to save.
func (doc *Document) Changed() bool {
	return doc.typing != nil || doc.missing || doc.history.Changed()
}

// setMissing says whether the file is no longer there, which makes all of the
// drawing something to save.
func (doc *Document) setMissing(missing bool) {
	if missing != doc.missing {
		doc.missing = missing
		doc.tell(FileChanged)
	}
}

// Saved remembers that the drawing as it is stands in the file at path.
func (doc *Document) Saved(path string) {
	doc.keepTyped()
	doc.path, doc.missing = path, false
	doc.history.MarkSaved()
	doc.tell(FileChanged)
}

// savedBefore remembers that the file at path has the drawing as it was before
// what has been done since.
func (doc *Document) savedBefore(path string) {
	doc.path, doc.missing = path, false
	doc.Unsaved()
}

// Unsaved remembers that the file says something else than the drawing.
func (doc *Document) Unsaved() {
	doc.history.MarkUnsaved()
	doc.tell(FileChanged)
}

// Do carries an edit out.
func (doc *Document) Do(e model.Edit) (err error) {
	doc.Hand(func(h *tool.Editor) { err = h.Do(e) })
	return err
}

// Edit carries out what change does to a draft of the drawing. Edits in a row
// with the same merge, not empty, are undone together.
func (doc *Document) Edit(label, merge string, change func(*model.Draft)) error {
	f := model.NewDraft(doc.Diagram())
	change(f)
	e := f.Edit(label)
	e.Merge = merge
	return doc.Do(e)
}

// Undo takes the last edit back, if there is one.
func (doc *Document) Undo() { doc.Hand(func(e *tool.Editor) { e.Undo() }) }

// Redo does again what was taken back last.
func (doc *Document) Redo() { doc.Hand(func(e *tool.Editor) { e.Redo() }) }

// CanUndo returns what Undo would take back, or "".
func (doc *Document) CanUndo() string {
	if doc.typing != nil {
		return doc.typing.label
	}
	return doc.history.CanUndo()
}

// CanRedo returns what Redo would do again, or "".
func (doc *Document) CanRedo() string { return doc.history.CanRedo() }

// setAnswer is where the solver puts what it found.
func (doc *Document) setAnswer(a Answer, late bool) {
	if hangs := doc.editor.Hanging().Parts; len(hangs) > 0 {
		a.Result = without(a.Result, hangs)
	}
	doc.keepSide(a.Result)
	doc.answer = a
	if late {
		doc.tell(AnswerChanged)
	}
}

// without returns the result without what it finds about those parts.
func without(r *analysis.Result, refs map[string]bool) *analysis.Result {
	if r == nil {
		return nil
	}
	other := *r
	other.Faults = slices.DeleteFunc(slices.Clone(r.Faults), func(f analysis.Fault) bool {
		return slices.ContainsFunc(f.Parts, func(ref string) bool { return refs[ref] })
	})
	return &other
}

// Answer returns what the circuit does, as far as it is known yet.
func (doc *Document) Answer() Answer { return doc.answer }

// Result returns the operating point in the chosen mode, nil while it is being
// worked out.
func (doc *Document) Result() *analysis.Result { return doc.answer.Result }

// Mode returns the name of the chosen mode, or "".
func (doc *Document) Mode() string { return doc.mode }

// SetMode chooses the mode of that name, if there is one.
func (doc *Document) SetMode(name string) {
	if name != doc.mode && doc.shown.Mode(name) != nil {
		doc.sight.modeBefore, doc.mode = doc.mode, name
		doc.follow(ModeChanged)
	}
}

// Selected returns what is selected. It is not to be changed.
func (doc *Document) Selected() tool.Selection { return doc.selected }

// Select selects these parts and nothing else.
func (doc *Document) Select(refs ...string) {
	doc.Hand(func(e *tool.Editor) { e.Select(refs...) })
}

// Close stops what is being worked out.
func (doc *Document) Close() { doc.solver.stop() }

// selectedRefs returns the selected parts in natural order.
func (doc *Document) selectedRefs() []string {
	return slices.SortedFunc(maps.Keys(doc.selected.Parts), model.NaturalCompare)
}
