package ui

import (
	"fmt"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"copperglass/model"
	"copperglass/model/quantity"
)

// part adds everything about the selected part.
func (p *page) part() {
	k := p.model().LookupKind()
	p.head(k)
	p.figures()
	if k == nil {
		return
	}
	p.findingsOf()
	p.heading("What it is")
	p.nameField()
	if k.Name != "ground" {
		p.valueField(k)
	}
	p.markingField(k)
	if k.Equation != nil {
		p.countField()
	}
	if k.Name == "note" {
		return
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

// head is the part's name and kind.
func (p *page) head(k *model.Kind) {
	look := p.in.look
	title, about := fmt.Sprintf("unknown kind %q", p.model().Kind), ""
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
		label: valueLabel(k), help: "As you would write it: 4k7, 100 nF, 3 × LR6. The up and down keys go to the next value of the E24 series.",
		text:        func() string { return p.model().Value },
		placeholder: func() string { return p.fromMarking(k) },
		note:        func() string { return understood(k, p.model().Value) },
		apply: func(text string) error {
			return p.edit("value", func(m *model.Part) { m.Value = text })
		},
		step:  p.stepper(k),
		lines: valueLines(k),
	})
	p.first = f.entry
}

// stepper goes through preferred values, for a kind that has them.
func (p *page) stepper(k *model.Kind) func(way int) string {
	if _, ok := markedPart(k.Name); !ok {
		return nil
	}
	return func(way int) string { return neighbour(k, p.model().Value, way) }
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
	case "note":
		return "Text"
	case "tag":
		return "Net name"
	}
	return "Value"
}

// fromMarking says what holds where no value is written.
func (p *page) fromMarking(k *model.Kind) string {
	readings := p.readings(k)
	if len(readings) == 0 {
		return ""
	}
	return quantity.Short(readings[0].Value, readings[0].Unit)
}

func (p *page) readings(k *model.Kind) quantity.Readings {
	part, ok := markedPart(k.Name)
	marking := p.model().Marking
	if !ok || strings.TrimSpace(marking) == "" {
		return nil
	}
	readings, err := quantity.ReadMarking(marking, part)
	if err != nil {
		return nil
	}
	return readings
}

// markingField takes what is printed on the part. The value follows from it
// and the marking stays as evidence.
func (p *page) markingField(k *model.Kind) {
	if k.FromMarking == nil {
		return
	}
	p.field(fieldSpec{
		label: "Marking", help: "What is printed on the part, as it is printed: 471, 4k7, 01C, or the colours of its bands. The value follows from it.",
		text: func() string { return p.model().Marking },
		apply: func(text string) error {
			if strings.TrimSpace(text) != "" {
				if _, err := k.FromMarking(text); err != nil {
					return err
				}
			}
			return p.edit("marking", func(m *model.Part) {
				m.Marking = text
				if strings.TrimSpace(text) != "" {
					m.Value = ""
				}
			})
		},
	})
	p.dynamic(func() string { return "readings" + p.model().Marking + "\x00" + p.model().Value }, func() []fyne.CanvasObject {
		return p.readingLines(k)
	})
}

// readingLines says how the marking was read, with a button for each other way
// to read it.
func (p *page) readingLines(k *model.Kind) []fyne.CanvasObject {
	var lines []fyne.CanvasObject
	for i, r := range p.readings(k) {
		text := quantity.Short(r.Value, r.Unit)
		if i == 0 && p.model().Value == "" || p.model().Value == text {
			lines = append(lines, indented(paragraph("read as "+text+": "+r.Scheme, p.fieldWidth(), smallSize, p.in.look.Quiet)))
			continue
		}
		lines = append(lines, indented(p.action("or "+text, "The marking can also be read by this code: "+r.Scheme+".", func() {
			p.try(p.edit("reading", func(m *model.Part) { m.Value = text }))
		})))
	}
	if lines != nil {
		lines = append(lines, gap(6))
	}
	return lines
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
			return p.edit("count", func(m *model.Part) { m.Count = n })
		},
	})
}

func (p *page) noteField() {
	p.field(fieldSpec{
		label: "Note", help: "Anything worth remembering about the part.", lines: 2,
		text: func() string { return p.model().Note },
		apply: func(text string) error {
			return p.edit("note", func(m *model.Part) { m.Note = text })
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
