package ui

import (
	"fmt"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"copperglass/model"
)

// part adds everything about the selected part.
func (p *page) part() {
	k := p.model().LookupKind()
	p.head(k)
	if k != nil && k.Equation != nil {
		p.words()
	}
	p.figures()
	p.asks(p.in.partAsks)
	if k == nil {
		return
	}
	p.heading("What it is")
	p.nameField()
	if !k.Sign {
		p.add(indented(p.action("Make it another kind…", "It stays where it is, joined as it is.", func() { p.in.run("change kind") })), gap(6))
	}
	if k.Name != "ground" {
		p.valueField(k)
	}
	switch k.Name {
	case "note":
		return
	case "arrow":
		p.quantity(k.Param("length"))
		p.quantity(k.Param("rise"))
		return
	case "ground", "tag":
	default:
		p.markingField(k)
	}
	if k.Equation != nil {
		p.countField()
	}
	p.noteField()
	p.doubt(func() model.Doubt { return p.model().Doubt }, func(d model.Doubt) error {
		return p.edit("doubt", func(m *model.Part) { m.Doubt = d })
	})
	p.states()
	if k.Name == "chip" {
		p.chipPins()
	}
	if k.Equation != nil {
		p.quantities(k)
	}
	p.findingsOf()
}

// words adds what the part does, in room for three lines: a sentence that gets
// longer or goes away must not move what is being typed into.
func (p *page) words() {
	const lines = 3
	lineHeight := ceil(styledText("x", textSize, false, p.in.look.Ink).MinSize().Height) + 1
	said := p.collect(func() {
		p.line(textSize, false, p.in.look.Ink, func() string { return p.in.wordsOf(p.in.ref) })
	})
	p.add(container.New(atLeast{height: lines * lineHeight}, said...), gap(6))
}

// model returns the part as it is shown now. The page is built anew when the
// part goes, so it is there.
func (p *page) model() *model.Part {
	if m := p.in.doc.Shown().Part(p.in.ref); m != nil {
		return m
	}
	return &model.Part{Ref: p.in.ref}
}

func (p *page) edit(what string, change func(*model.Part)) error {
	return p.in.doc.editPart(p.in.ref, what, change)
}

// retype shows a change of the part while it is typed.
func (p *page) retype(what string, change func(*model.Part)) error {
	return p.in.doc.typePart(p.in.ref, what, change)
}

// head is the part's name and kind.
func (p *page) head(k *model.Kind) {
	look := p.in.look
	title, about := fmt.Sprintf("unknown kind “%s”", p.model().Kind), ""
	if k != nil {
		title, about = k.Title, k.About
	}
	p.dynamic(func() string { return "head" + p.in.ref }, func() []fyne.CanvasObject {
		ref := styledText(elide(p.in.ref, p.in.width-60, refSize, true), refSize, true, look.Ink)
		room := p.in.width - ref.MinSize().Width - 8
		line := container.New(heads{gap: 8}, ref, styledText(elide(title, room, textSize, false), textSize, false, look.Quiet))
		return []fyne.CanvasObject{newHinted(p.in.tips, about, line)}
	})
	p.add(gap(4))
}

func (p *page) nameField() {
	p.field(fieldSpec{
		label: "Name", help: "The reference designator: letters for the class, then a number.",
		text: func() string { return p.in.ref }, apply: p.rename,
		check: func(text string) error {
			return checkRef(p.in.doc.Diagram(), p.in.ref, strings.TrimSpace(text))
		},
	})
}

// rename gives the part another name and stays with it.
func (p *page) rename(to string) error {
	from := p.in.ref
	p.in.follow(strings.TrimSpace(to))
	err := p.in.doc.rename(from, to)
	if err != nil {
		p.in.follow(from)
	}
	return err
}

// follow makes the page be about the part under another name.
func (in *inspector) follow(ref string) {
	in.key = strings.TrimSuffix(in.key, in.ref) + ref
	in.ref = ref
}

func (p *page) valueField(k *model.Kind) {
	f := p.field(fieldSpec{
		label: valueLabel(k), help: valueHelp(k),
		text:        func() string { return valueText(k, p.model()) },
		placeholder: func() string { return markedValue(k, p.model().Marking) },
		note:        func() string { return valueNote(k, p.model()) },
		apply: func(text string) error {
			change, err := readEntry(k, text)
			if err != nil {
				return err
			}
			return p.retype("value", change)
		},
		step:  p.stepper(k),
		lines: valueLines(k),
		list:  p.knownValues(k),
	})
	p.first, p.value = f.entry, f
	p.otherValue(k, f)
}

// knownValues lists what the catalogue knows of a kind, or is nil.
func (p *page) knownValues(k *model.Kind) func() []found {
	if len(k.Handbook) == 0 {
		return nil
	}
	return func() []found {
		var list []found
		for _, h := range k.Handbook {
			list = append(list, found{title: h.Value, detail: h.About, words: h.Source, choose: func() {
				p.try(p.edit("value", func(m *model.Part) { m.Value = h.Value }))
				p.in.release()
			}})
		}
		return list
	}
}

func valueHelp(k *model.Kind) string {
	if k.Name == "note" {
		return "The words on the sheet. Shift and Enter begin a new line."
	}
	if k.Name == "arrow" {
		return "The words at the arrow’s tail; there may be none."
	}
	help := "As you would write it, such as " + k.Suggest + "."
	switch _, stepped := markedPart(k.Name); {
	case k.Suggest == "":
		return "The type, as it is called in shops and data sheets."
	case stepped:
		return help + " What is printed on the part will do as well: 333, 01C, or the colours of its bands; x12 makes it a stack of twelve. The up and down keys go to the next value of the E24 series."
	}
	return help
}

// stepper goes through preferred values, for a kind that has them.
func (p *page) stepper(k *model.Kind) func(way int) string {
	if _, ok := markedPart(k.Name); !ok {
		return nil
	}
	return func(way int) string {
		if p.model().Value == "" {
			return neighbour(k, markedValue(k, p.model().Marking), way)
		}
		return neighbour(k, p.model().Value, way)
	}
}

// valueLines is more than one for a note, which may have several.
func valueLines(k *model.Kind) int {
	if k.Name == "note" {
		return 4
	}
	return 1
}

func valueLabel(k *model.Kind) string {
	switch k.Name {
	case "note", "arrow":
		return "Text"
	case "tag":
		return "Net name"
	}
	return "Value"
}

func (p *page) fieldWidth() float32 { return p.in.width - labelWidth - labelGap - 4 }

// indented puts an object below a field's entry.
func indented(o fyne.CanvasObject) fyne.CanvasObject {
	return container.New(columns{widths: []float32{labelWidth, 0}, gap: labelGap + 4}, gap(0), o)
}

func (p *page) countField() {
	p.field(fieldSpec{
		label: "Parts ×", help: "How many like parts lie in parallel; they are drawn once.",
		text: func() string { return fmt.Sprint(p.model().Multiple()) },
		apply: func(text string) error {
			n, err := parseCount(text)
			if err != nil {
				return err
			}
			return p.retype("count", func(m *model.Part) { m.Count = n })
		},
	})
}

func (p *page) noteField() {
	p.field(fieldSpec{
		label: "Note", help: "Anything worth remembering about the part. Shift and Enter begin a new line.", lines: 2,
		text: func() string { return p.model().Note },
		apply: func(text string) error {
			return p.retype("note", func(m *model.Part) { m.Note = text })
		},
	})
}

// states adds what the part does in the chosen mode, for a part that modes
// can set.
func (p *page) states() {
	key := func() string {
		m := p.in.doc.Shown().Mode(p.in.doc.Mode())
		key := "states" + p.in.doc.Mode()
		for _, t := range targetsOf(p.model()) {
			key += "\x00" + t.title
			if m != nil {
				key += "\x00" + m.Set[t.name]
			}
		}
		return key
	}
	p.dynamic(key, func() []fyne.CanvasObject {
		list := targetsOf(p.model())
		if len(list) == 0 {
			return nil
		}
		return p.stateSection(list)
	})
}

// stateSection is a heading and a choice for each thing the mode can set.
func (p *page) stateSection(list []target) []fyne.CanvasObject {
	in := p.in
	mode := in.doc.Shown().Mode(in.doc.Mode())
	if mode == nil {
		return []fyne.CanvasObject{gap(4), paragraph("Add a mode below the sheet to say what it does.", in.width, smallSize, in.look.Quiet), gap(8)}
	}
	lines := []fyne.CanvasObject{gap(4), styledText(elide("In mode “"+mode.Name+"”", in.width, headingSize, true), headingSize, true, in.look.Ink), gap(8)}
	for _, t := range list {
		lines = append(lines, p.stateLine(mode, t), gap(6))
	}
	return append(lines, gap(4))
}

// stateLabel is the room for the name of something that a mode sets.
const stateLabel = 84

// asDrawn is the choice of a mode that does not set something.
const asDrawn = "as drawn"

func (p *page) stateLine(mode *model.Mode, t target) fyne.CanvasObject {
	rest := asDrawn
	if strings.Contains(t.name, ".") {
		rest = "not set"
	}
	s := newSegment(p.in.look, append([]string{rest}, t.states...), func(state string) {
		if state == rest {
			state = ""
		}
		p.try(p.in.doc.setState(mode.Name, t.name, state))
		p.in.release()
	})
	s.set(mode.Set[t.name])
	if mode.Set[t.name] == "" {
		s.set(rest)
	}
	name := styledText(elide(t.title, stateLabel, textSize, false), textSize, false, p.in.look.Quiet)
	return container.New(columns{widths: []float32{stateLabel, 0}, gap: labelGap}, name, s)
}
