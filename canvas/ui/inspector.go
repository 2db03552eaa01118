package ui

import (
	"fmt"
	"image/color"
	"reflect"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"copperglass/canvas"
	"copperglass/model"
)

const (
	inspectorWidth = 328
	inspectorPad   = 20
)

// inspectorActions is what the inspector asks of the window.
type inspectorActions struct {
	release func()            // gives the keyboard back to the sheet
	run     func(name string) // carries out an action of the table
	table   actions
	fail    func(error) // tells what went wrong
	find    func(title, prompt, verb string, all []found)
	redraw  func() // shows the sheet anew
}

// inspector is the panel at the right: the selected part, or the whole circuit
// where nothing is selected.
type inspector struct {
	inspectorActions
	doc    *Document
	look   canvas.Theme
	tips   *tips
	width  float32 // of what is in it
	object fyne.CanvasObject

	body   *fyne.Container
	scroll *container.Scroll
	page   *page
	key    string // what the page is about
	ref    string // the part the page is about, followed through renaming

	topic   *topic // the question that is open, or nil
	studies *studies
}

func newInspector(doc *Document, look canvas.Theme, t *tips, actions inspectorActions) *inspector {
	in := &inspector{inspectorActions: actions, doc: doc, look: look, tips: t, width: inspectorWidth - 2*inspectorPad}
	in.studies = newStudies(doc, func() {
		in.refresh()
		in.redraw()
	})
	in.body = container.New(column{pad: inspectorPad})
	in.scroll = container.NewVScroll(in.body)
	in.object = in.scroll
	in.refresh()
	return in
}

// refresh follows the document.
func (in *inspector) refresh() {
	if key := in.subject(); key != in.key || in.page == nil {
		in.key = key
		in.page = &page{in: in}
		in.build(in.page)
		in.body.Objects = in.page.objects
		in.scroll.Offset = fyne.Position{}
		in.scroll.Refresh()
		return
	}
	for _, f := range in.page.refreshers {
		f()
	}
	in.body.Refresh()
}

// subject names what the page is to be about.
func (in *inspector) subject() string {
	s := in.doc.Selected()
	t := in.open()
	switch {
	case t != nil:
		return "topic " + t.key
	case s.Empty():
		return "circuit"
	case len(s.Parts) == 1 && len(s.Wires) == 0:
		p := in.doc.Shown().Part(in.doc.selectedRefs()[0])
		return "part " + p.Kind + " " + p.Ref
	case len(s.Parts) == 0 && len(s.Wires) == 1:
		for id := range s.Wires {
			return fmt.Sprint("wire ", id)
		}
	}
	return fmt.Sprintf("several %d %d", len(s.Parts), len(s.Wires))
}

func (in *inspector) build(p *page) {
	s := in.doc.Selected()
	switch {
	case in.topic != nil:
		p.topicPage(in.topic)
	case s.Empty():
		p.circuit()
	case len(s.Parts) == 1 && len(s.Wires) == 0:
		in.ref = in.doc.selectedRefs()[0]
		p.part()
	case len(s.Parts) == 0 && len(s.Wires) == 1:
		p.wire()
	default:
		p.several()
	}
}

// page is what the inspector shows about one subject. Its fields live as long
// as the subject stays the same, so that typing is not disturbed.
type page struct {
	in         *inspector
	objects    []fyne.CanvasObject
	refreshers []func()
	fields     []*field
	first      *entry // the one to type into, or nil
	value      *field // of the part's value, or nil
}

func (p *page) add(objects ...fyne.CanvasObject) { p.objects = append(p.objects, objects...) }

func (p *page) onRefresh(f func()) { p.refreshers = append(p.refreshers, f) }

// field adds a field.
func (p *page) field(s fieldSpec) *field {
	f := newField(s, p)
	p.add(f.object, gap(6))
	p.fields = append(p.fields, f)
	return f
}

// collect returns what build adds to the page, without adding it.
func (p *page) collect(build func()) []fyne.CanvasObject {
	kept := p.objects
	p.objects = nil
	build()
	made := p.objects
	p.objects = kept
	return made
}

// dynamic adds objects that are made anew whenever their key changes.
func (p *page) dynamic(key func() string, build func() []fyne.CanvasObject) {
	box := container.New(column{})
	last := ""
	update := func() {
		k := key()
		if k == last {
			return
		}
		last = k
		box.Objects = build()
		box.Refresh()
	}
	update()
	p.add(box)
	p.onRefresh(update)
}

// line adds one line of text that follows the document.
func (p *page) line(size float32, bold bool, c color.Color, text func() string) {
	p.dynamic(func() string { return text() + "\x00" }, func() []fyne.CanvasObject {
		if text() == "" {
			return nil
		}
		if textWidth(text(), size, bold) <= p.in.width {
			return []fyne.CanvasObject{styledText(text(), size, bold, c)}
		}
		return []fyne.CanvasObject{paragraph(text(), p.in.width, size, c)}
	})
}

// heading begins a section.
func (p *page) heading(title string) {
	p.add(gap(12), rule(p.in.look.Edge), gap(12), styledText(title, headingSize, true, p.in.look.Ink), gap(8))
}

// row is a name with its figure.
type row struct {
	name, figure string
	over         bool    // whether the figure is more than the part may have
	share        float64 // of what the part may have; 0 where that is not known
	help         string  // what the name means, or ""
}

// table adds rows of figures that follow the document.
func (p *page) table(rows func() []row) {
	p.dynamic(func() string { return fmt.Sprintf("table%#v", rows()) }, func() []fyne.CanvasObject {
		var lines []fyne.CanvasObject
		for _, r := range rows() {
			lines = append(lines, p.in.tableLine(r), gap(6))
		}
		return lines
	})
}

func (in *inspector) tableLine(r row) fyne.CanvasObject {
	ink := in.look.Ink
	if r.over {
		ink = in.look.Flag
	}
	figure := styledText(elide(r.figure, in.width*0.72, textSize, true), textSize, true, ink)
	room := in.width - figure.MinSize().Width - 12
	name := styledText(elide(r.name, room, textSize, false), textSize, false, in.look.Quiet)
	line := container.New(ends{}, name, figure)
	if r.help == "" {
		return line
	}
	return newHinted(in.tips, r.help, line)
}

// action is a line of text that does something when it is clicked.
func (p *page) action(title, help string, do func()) fyne.CanvasObject {
	text := styledText(title, textSize, false, p.in.look.Accent)
	return newHinted(p.in.tips, help, newTapArea(container.New(leading{}, text), func() {
		p.in.tips.hide()
		p.in.release() // what is typed is done first
		do()
		p.in.release()
	}))
}

// leading puts its object at the left, in as much room as it needs.
type leading struct{}

func (leading) Layout(objects []fyne.CanvasObject, size fyne.Size) {
	m := objects[0].MinSize()
	objects[0].Resize(m)
	objects[0].Move(fyne.NewPos(0, float32(int((size.Height-m.Height)/2))))
}

func (leading) MinSize(objects []fyne.CanvasObject) fyne.Size {
	return objects[0].MinSize().AddWidthHeight(0, 6)
}

// try tells what went wrong, if anything did.
func (p *page) try(err error) {
	if err != nil {
		p.in.fail(err)
	}
}

// wire adds what is known of one wire.
func (p *page) wire() {
	in := p.in
	var id model.WireID
	for w := range in.doc.Selected().Wires {
		id = w
	}
	p.add(styledText("Wire", refSize, true, in.look.Ink), gap(4))
	p.line(textSize, false, in.look.Quiet, func() string { return wireSentence(in.doc, id) })
	p.add(gap(10))
	p.field(fieldSpec{
		label: "Tag", help: "The name of the net. Wires and pins with the same tag are joined.",
		text: func() string { return wireOf(in.doc, id).Tag },
		apply: func(text string) error {
			in.doc.typeWire(id, "tag", func(w *model.Wire) { w.Tag = strings.TrimSpace(text) })
			return nil
		},
	})
	p.doubt(func() model.Doubt { return wireOf(in.doc, id).Doubt }, func(d model.Doubt) error {
		return in.doc.editWire(id, "doubt", func(w *model.Wire) { w.Doubt = d })
	})
	p.table(func() []row { return wireRows(in.doc, id) })
}

// wireOf returns the wire, or an empty one where it is gone.
func wireOf(doc *Document, id model.WireID) *model.Wire {
	if w := doc.Shown().Wire(id); w != nil {
		return w
	}
	return &model.Wire{}
}

// typeWire shows a change of one wire while it is typed.
func (doc *Document) typeWire(id model.WireID, what string, change func(*model.Wire)) {
	old := doc.history.Diagram().Wire(id)
	if old == nil {
		return
	}
	w := old.Clone()
	change(w)
	if reflect.DeepEqual(w, old) {
		doc.dropTyped()
		return
	}
	doc.Type(what+" of a wire", func(f *model.Draft) { f.SetWire(w) })
}

func (doc *Document) editWire(id model.WireID, what string, change func(*model.Wire)) error {
	old := doc.Diagram().Wire(id)
	if old == nil {
		return nil
	}
	w := old.Clone()
	change(w)
	return doc.Edit(what+" of a wire", fmt.Sprint(what, " wire ", id), func(f *model.Draft) { f.SetWire(w) })
}

// doubtWords are the choices of doubt as people read them, in order.
var doubtChoices = []struct {
	word  string
	doubt model.Doubt
}{{"not said", ""}, {"measured", model.Measured}, {"read", model.Read}, {"guessed", model.Guessed}}

func doubtWord(d model.Doubt) string {
	for _, c := range doubtChoices {
		if c.doubt == d {
			return c.word
		}
	}
	return string(d)
}

// doubt adds the choice of how sure the reader of the board is.
func (p *page) doubt(get func() model.Doubt, set func(model.Doubt) error) {
	var words []string
	for _, c := range doubtChoices {
		words = append(words, c.word)
	}
	s := newSegment(p.in.look, words, func(word string) {
		for _, c := range doubtChoices {
			if c.word == word {
				p.try(set(c.doubt))
			}
		}
		p.in.release()
	})
	update := func() { s.set(doubtWord(get())) }
	update()
	p.onRefresh(update)
	help := p.in.table.named("doubt").explains()
	p.add(newHinted(p.in.tips, help, styledText("How sure", smallSize, false, p.in.look.Quiet)), gap(3), s, gap(10))
}

// several adds what can be done with all that is selected.
func (p *page) several() {
	in, s := p.in, p.in.doc.Selected()
	p.add(styledText(countWords(len(s.Parts), "part", "parts", len(s.Wires), "wire", "wires"), refSize, true, in.look.Ink), gap(6))
	p.add(paragraph(strings.Join(in.doc.selectedRefs(), ", "), in.width, textSize, in.look.Quiet), gap(14))
	p.doubt(func() model.Doubt { return commonDoubt(in.doc) }, in.doc.setDoubts)
	p.commands("turn", "mirror", "pick up", "duplicate", "delete")
}

// commands adds actions of the table, one below the other.
func (p *page) commands(names ...string) {
	for _, name := range names {
		a := p.in.table.named(name)
		p.add(p.action(a.title, a.explains(), func() { p.in.run(name) }), gap(4))
	}
}

// countWords is "2 parts and 1 wire".
func countWords(n int, one, many string, m int, one2, many2 string) string {
	a, b := plural(n, one, many), plural(m, one2, many2)
	switch {
	case m == 0:
		return a
	case n == 0:
		return b
	}
	return a + " and " + b
}

func plural(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprint(n, " ", many)
}

// firstEntry returns the entry that a person most likely wants to change: the
// value's, or the first there is.
func (in *inspector) firstEntry() *entry { return in.page.first }
