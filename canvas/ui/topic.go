package ui

import (
	"fyne.io/fyne/v2"

	"copperglass/canvas/tool"
)

// topic is a question that the inspector answers in the place of the page of
// what is selected, until the person goes back or selects something else.
type topic struct {
	key   string // tells topics apart
	title string
	build func(p *page)
	enter func()            // called once the topic is open; may be nil
	leave func()            // puts back what the topic changed on the sheet; may be nil
	tried func() string     // what is tried on the sheet, in a few words for an exported picture; may be nil
	says  func() string     // the sentence of what is tried, to stand below such a picture; may be nil
	keys  func(stroke) bool // takes a key of the sheet, or leaves it; may be nil
	types bool              // whether its first field gets the keyboard at once
	stays bool              // whether it stays open when something else is selected
	chose tool.Selection
}

// ask opens a topic.
func (in *inspector) ask(t topic) {
	in.leaveTopic()
	t.chose = in.doc.Selected()
	in.topic = &t
	in.refresh()
	if t.enter != nil {
		t.enter()
	}
}

// leaveTopic closes the topic, if one is open.
func (in *inspector) leaveTopic() {
	old := in.topic
	in.topic = nil
	if old != nil && old.leave != nil {
		old.leave()
	}
}

// open returns the topic that is open, after closing one that the person has
// turned away from by selecting something else.
func (in *inspector) open() *topic {
	if in.topic != nil && !in.topic.stays && !sameSelection(in.topic.chose, in.doc.Selected()) {
		in.leaveTopic()
	}
	return in.topic
}

// takes lets the open topic have a key of the sheet. Escape closes it, unless the
// hand has begun something that it is to drop first.
func (in *inspector) takes(k stroke) bool {
	switch {
	case in.topic == nil:
		return false
	case in.topic.keys != nil && in.topic.keys(k):
		return true
	case k == key(fyne.KeyEscape) && !in.doc.editor.Busy() && !in.doc.editor.DrawingWires():
		in.back()
		return true
	}
	return false
}

// back closes the topic and shows what is selected.
func (in *inspector) back() {
	in.leaveTopic()
	in.refresh()
}

// tried is what is shown in the place of the drawing, in a few words, or "".
func (in *inspector) tried() string {
	if in.topic == nil || in.topic.tried == nil || !in.doc.Previewing() {
		return ""
	}
	return in.topic.tried()
}

// says is the sentence that an open topic says of what is shown, or "".
func (in *inspector) says() string {
	if in.topic == nil || in.topic.says == nil {
		return ""
	}
	return in.topic.says()
}

// show selects parts for an open topic, without leaving it.
func (in *inspector) show(refs ...string) {
	t := in.topic
	in.topic = nil
	in.doc.Select(refs...)
	if t != nil {
		t.chose = in.doc.Selected()
		in.topic = t
		in.refresh()
	}
}

// topicPage adds the open topic under its title.
func (p *page) topicPage(t *topic) {
	in := p.in
	back := p.action("‹ Back", "Back to what is selected, as Escape does.", in.back)
	p.add(back, gap(6), boldParagraph(t.title, in.width, refSize, in.look.Ink), gap(10))
	t.build(p)
}

// waiting is the line that stands where an answer is not there yet.
func (p *page) waiting() fyne.CanvasObject {
	return styledText("Working it out…", textSize, false, p.in.look.Quiet)
}
