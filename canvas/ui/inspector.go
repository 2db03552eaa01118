package ui

import (
	"fmt"
	"image/color"
	"reflect"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"copperglass/analysis"
	"copperglass/canvas"
	"copperglass/model"
)

const (
	pageWidth    = 288 // of the inspector's page, for text of the usual size
	leastPage    = 220 // in a narrow window
	inspectorPad = 20
)

// inspectorWidth is the width of the panel at the right in a window of a width. It
// leaves most of a narrow one to the sheet.
func inspectorWidth(window float32) float32 {
	const share = 0.4
	return max(grown(leastPage)+2*inspectorPad, min(grown(pageWidth)+2*inspectorPad, float32(int(share*window))))
}

// inspectorActions is what the inspector asks of the window.
type inspectorActions struct {
	release func()            // gives the keyboard back to the sheet
	run     func(name string) // carries out an action of the table
	table   actions
	fail    func(error) // tells what went wrong
	find    func(title, prompt, verb string, all []found)
	name    func(title, text string, take func(name string)) // asks what something is to be called
	save    func(title, name, ending, text string)           // asks for a file and writes a text to it
	fields  func()                                           // gives the keyboard to the first field
	redraw  func()                                           // shows the sheet anew
	visit   func(analysis.Fault)                             // selects what a fault is about and brings it into view
	later   Later
	news    func(text string) // tells what has happened, for a while
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

	topic   *topic         // the question that is open, or nil
	of      *model.History // the drawing that the page is about
	studies *studies
	rest    resting // of what is tried
	last    lastReview
	drawn   map[string]float64 // amperes from the supplies by mode, before the gesture under way
}

func newInspector(doc *Document, look canvas.Theme, t *tips, actions inspectorActions) *inspector {
	in := &inspector{inspectorActions: actions, doc: doc, look: look, tips: t, width: grown(pageWidth), drawn: map[string]float64{}}
	ready := func() {
		in.refresh()
		in.redraw()
	}
	in.studies, in.rest = newStudies(doc, ready), resting{later: in.later, ready: ready}
	in.body = container.New(column{pad: inspectorPad})
	in.scroll = container.NewVScroll(in.body)
	in.scroll.OnScrolled = func(fyne.Position) { in.tips.hide() } // what it is about has moved away
	in.object = container.NewStack(in.scroll, newWheel(in.scroll))
	in.refresh()
	return in
}

// dress builds the page anew in other colours or with text of another size.
func (in *inspector) dress(look canvas.Theme, t *tips) {
	in.look, in.tips, in.page = look, t, nil
	in.refresh()
}

// fit gives the page the width that a panel of a width has for it.
func (in *inspector) fit(panel float32) {
	if panel-2*inspectorPad == in.width {
		return
	}
	if in.keysWithin(in.body) {
		in.release() // what is typed is done first
	}
	in.width, in.page = panel-2*inspectorPad, nil
	in.refresh()
}

// refresh follows the document.
func (in *inspector) refresh() {
	if in.of != in.doc.history { // another drawing has been opened
		in.of, in.topic, in.page = in.doc.history, nil, nil
	}
	if key := in.subject(); key != in.key || in.page == nil {
		in.key = key
		in.page = &page{in: in}
		in.build(in.page)
		keyed := in.keysWithin(in.body)
		in.body.Objects = in.page.objects
		in.scroll.ScrollToTop()
		in.scroll.Refresh()
		if keyed {
			in.release()
		}
		return
	}
	if in.doc.carries() { // the keys are on the sheet
		in.page.refresh()
		return
	}
	in.anchored(in.keyed, in.page.refresh)
	in.keepInSight()
}

// keepInSight scrolls back to the end of a page that has become shorter.
func (in *inspector) keepInSight() {
	if in.scroll.Offset.Y == 0 {
		return
	}
	if end := max(0, in.body.MinSize().Height-in.scroll.Size().Height); in.scroll.Offset.Y > end {
		in.scroll.ScrollToOffset(fyne.NewPos(0, end))
	}
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
	resting    []func() // refreshers that wait while the hand carries something
	grown      bool     // whether something has another height since it was laid out
	fields     []*field
	first      *entry          // the one to type into, or nil
	value      *field          // of the part's value, or nil
	sets       *fyne.Container // what the chosen mode sets, or nil
	pins       *fyne.Container // the list of a chip's pins, or nil
}

func (p *page) add(objects ...fyne.CanvasObject) { p.objects = append(p.objects, objects...) }

func (p *page) onRefresh(f func()) { p.refreshers = append(p.refreshers, f) }

// onRest is for what no gesture changes, as the texts of fields are.
func (p *page) onRest(f func()) { p.resting = append(p.resting, f) }

// refresh follows the document. While the hand carries something or turns it, what
// that does not change is left alone, and texts of fields follow once it rests: a
// frame has little time.
func (p *page) refresh() {
	p.grown = false
	for _, f := range p.refreshers {
		f()
	}
	if (p.in.doc.carries() || p.in.turns()) && !p.grown {
		return
	}
	for _, f := range p.resting {
		f()
	}
	p.in.body.Refresh()
}

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
func (p *page) dynamic(key func() string, build func() []fyne.CanvasObject) *fyne.Container {
	box := container.New(column{})
	last := ""
	update := func() {
		k := key()
		if k == last {
			return
		}
		last = k
		height := box.MinSize().Height // all objects of a page are as wide as it is
		rebuilt(box, build)
		p.grown = p.grown || box.MinSize().Height != height
	}
	update()
	p.add(box)
	p.onRefresh(update)
	return box
}

// line adds one line of text that follows the document.
func (p *page) line(size float32, bold bool, c color.Color, text func() string) {
	p.dynamic(func() string { return text() + "\x00" }, func() []fyne.CanvasObject {
		if text() == "" {
			return nil
		}
		if fits(text(), p.in.width, size, bold) {
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
	of           string  // the quantity that the figure is of, to ask what sets it; "" for none
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
	name := fyne.CanvasObject(styledText(r.name, textSize, false, in.look.Quiet))
	if name.MinSize().Width > room {
		name = paragraph(r.name, room, textSize, in.look.Quiet)
	}
	line := fyne.CanvasObject(container.New(ends{}, name, figure))
	if r.of != "" {
		line = newTapArea(line, func() { in.ask(in.influenceTopic(r.of)) })
		r.help = strings.TrimSpace(r.help + " Click: what sets it.")
	}
	if r.help == "" {
		return line
	}
	return newHinted(in.tips, r.help, line)
}

// action is a line of text that does something when it is clicked.
func (p *page) action(title, help string, do func()) fyne.CanvasObject {
	text := styledText(title, textSize, false, p.in.look.Accent)
	area := newTapArea(container.New(leading{}, text), nil)
	area.tapped = func() {
		in := p.in
		in.tips.hide()
		if !area.keyed {
			in.release() // what is typed is done first
		}
		before := in.topic
		do()
		switch now := in.topic; {
		case now != nil && now != before && now.types:
			in.fields()
		case !area.keyed || in.page != p: // else the keys stay where they are
			in.release()
		}
	}
	return newHinted(p.in.tips, help, area)
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
	})
	update := func() { s.set(doubtWord(get())) }
	update()
	p.onRefresh(update)
	help := p.in.table.named("doubt").explains()
	p.add(newHinted(p.in.tips, help, container.New(column{gap: 3}, styledText("How sure", smallSize, false, p.in.look.Quiet), s)), gap(10))
}

// several adds what can be done with all that is selected.
func (p *page) several() {
	in, s := p.in, p.in.doc.Selected()
	p.add(styledText(countWords(len(s.Parts), "part", "parts", len(s.Wires), "wire", "wires"), refSize, true, in.look.Ink), gap(6))
	names := func() string { return strings.Join(in.doc.selectedRefs(), ", ") }
	p.dynamic(names, func() []fyne.CanvasObject {
		return []fyne.CanvasObject{paragraph(names(), in.width, textSize, in.look.Quiet)}
	})
	p.add(gap(14))
	p.doubt(func() model.Doubt { return commonDoubt(in.doc) }, in.doc.setDoubts)
	if len(s.Parts) > 0 {
		p.commands("turn", "mirror")
	}
	p.commands("pick up", "duplicate", "delete")
	if len(s.Parts) > 1 {
		p.add(gap(10), styledText("In line", headingSize, true, in.look.Ink), gap(6))
		for _, way := range alignments() {
			p.commands(way.title)
		}
	}
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
func (in *inspector) firstEntry() *entry {
	if p := in.page; p.first == nil && len(p.fields) > 0 {
		return p.fields[0].entry
	}
	return in.page.first
}
