package ui

import "copperglass/model"

// Preview shows the drawing with a change that is not made: a step of the
// story, or a what-if. The next edit, or DropPreview, ends it.
func (doc *Document) Preview(change func(*model.Draft)) {
	doc.commitTyped()
	f := model.NewDraft(doc.history.Diagram())
	change(f)
	doc.preview = f
	doc.follow(0)
}

// DropPreview shows the drawing as it is again.
func (doc *Document) DropPreview() {
	if doc.preview != nil {
		doc.preview = nil
		doc.follow(0)
	}
}

// underWay reports whether a gesture is: the drawing is shown as it would be if
// the hand let go now.
func (doc *Document) underWay() bool {
	return doc.typing == nil && doc.preview == nil && !sameDrawing(doc.editor.Diagram(), doc.history.Diagram())
}

// endPreview ends the preview once the hand has changed the drawing or is about
// to.
func (doc *Document) endPreview() {
	if doc.history.Revision() != doc.revision || !sameDrawing(doc.editor.Diagram(), doc.history.Diagram()) {
		doc.preview = nil
	}
}

// Previewing reports whether what is shown is not the drawing itself.
func (doc *Document) Previewing() bool { return doc.preview != nil }
