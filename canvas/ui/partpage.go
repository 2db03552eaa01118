package ui

import (
	"fmt"
	"math"
	"regexp"
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
		p.add(p.indented(p.action("Make it another kind…", "It stays where it is, joined as it is.", func() { p.in.run("change kind") })), gap(6))
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

// words adds what the part does. The room of the longest sentence stays while
// the page is of that part: one that gets shorter or goes away, as from mode to
// mode, moves nothing.
func (p *page) words() {
	said := p.collect(func() {
		p.line(textSize, false, p.in.look.Ink, func() string { return p.in.wordsOf(p.in.ref) })
	})
	p.add(container.New(&spoken{}, said...), gap(6))
}

// spoken gives its object the most height that it has ever needed.
type spoken struct{ height float32 }

func (l *spoken) Layout(objects []fyne.CanvasObject, size fyne.Size) {
	atLeast{}.Layout(objects, size)
}

func (l *spoken) MinSize(objects []fyne.CanvasObject) fyne.Size {
	m := objects[0].MinSize()
	l.height = max(l.height, m.Height)
	m.Height = l.height
	return m
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

// valueSpec is what a field for the value of the part is for.
func (p *page) valueSpec(k *model.Kind) fieldSpec {
	told := "" // the last text typed here that told a value
	return fieldSpec{
		label: valueLabel(k), help: valueHelp(k), begin: func() { told = "" },
		text:        func() string { return valueText(k, p.model()) },
		placeholder: func() string { return markedValue(k, p.model().Marking) },
		note:        func() string { return p.valueNote(k) },
		apply: func(text string) error {
			text = strings.TrimRight(text, "\n") // of a note
			value, count, _ := splitStack(k, text)
			if value == "" && count > 0 { // typed over a value that has been shown already
				text = strings.TrimSpace(told + " " + text)
			}
			change, err := readEntry(k, text)
			if err != nil {
				return err
			}
			err = p.retype("value", change)
			if count == 0 && err == nil {
				told = value
			}
			return err
		},
		step:  p.stepper(k),
		lines: valueLines(k), breaks: k.Name == "note",
		list: p.knownValues(k),
	}
}

func (p *page) valueField(k *model.Kind) {
	f := p.field(p.valueSpec(k))
	p.first, p.value = f.entry, f
	p.otherValues(k, f)
	if k.Name == "capacitor" {
		p.offerPoles()
	}
}

// mostlyPolarised is the capacitance in farads from which most capacitors on small
// boards are electrolytic: common practice, no source.
const mostlyPolarised = 10e-6

// offerPoles offers a plus and a minus to a capacitor so large that it is hardly
// without, unless it is said whether it has them.
func (p *page) offerPoles() {
	open := func() bool {
		m := p.model()
		values, _ := p.in.doc.Shown().Resolve(m, nil)
		return values.Num("capacitance") >= mostlyPolarised && !m.Params["polarised"].IsSet()
	}
	p.dynamic(func() string { return fmt.Sprint("poles", open()) }, func() []fyne.CanvasObject {
		if !open() {
			return nil
		}
		q := p.model().LookupKind().Param("polarised")
		return []fyne.CanvasObject{p.indented(p.action("Give it + and −", "Most capacitors this large are electrolytic and are drawn with their plus, which a stripe or a sign on them tells.", func() {
			p.try(p.in.doc.setParam(p.in.ref, q, "yes"))
		})), gap(6)}
	})
}

// valueNote says what the value was understood as, and of a diode what it takes.
func (p *page) valueNote(k *model.Kind) string {
	if k.Name == "note" {
		return linesHelp
	}
	note := valueNote(k, p.model())
	if k.Name != "led" && k.Name != "diode" {
		return note
	}
	values, _ := p.in.doc.Shown().Resolve(p.model(), nil)
	takes := forwardVolts(values)
	if k.Name == "led" || note == "" { // its colour stands below
		return takes
	}
	return note + "; " + takes
}

// forwardVolts is what a diode takes at the current by which they are compared, at
// the temperature that its constants hold for: the law of the junction with the
// resistance in series.
func forwardVolts(v model.Values) string {
	const amps = 0.02 // common in data sheets
	thermal := v.Num("emission_coefficient") * model.ThermalVoltage(v.Num("reference_temperature"))
	volts := thermal*math.Log1p(amps/v.Num("saturation_current")) + amps*v.Num("series_resistance")
	return "takes " + quantity.Short(volts, quantity.Volt) + " at " + quantity.Short(amps, quantity.Ampere)
}

// knownValues lists what the catalogue knows of a kind, or is nil.
func (p *page) knownValues(k *model.Kind) func() []found {
	if len(k.Handbook) == 0 {
		return nil
	}
	return func() []found {
		var list []found
		for _, h := range k.Handbook {
			value := inARow(k, p.model().Value, h.Value)
			list = append(list, found{title: h.Value, detail: h.About, more: sourceOf(h.Source), now: value == p.model().Value, choose: func() {
				p.try(p.edit("value", func(m *model.Part) { m.Value = value }))
				p.in.release()
			}})
		}
		return list
	}
}

// inARow is another type for a part, of as many cells in a row as before.
func inARow(k *model.Kind, old, chosen string) string {
	many := manyCells.FindString(old)
	if k.Name != "battery" || many == "" {
		return chosen
	}
	if _, err := k.FromValue(many + chosen); err != nil {
		return chosen
	}
	return many + chosen
}

// manyCells is the number of cells that a battery's value begins with.
var manyCells = regexp.MustCompile(`^\s*\d+\s*[x×]\s*`)

// sourceOf is a source as the end of what is told, or "".
func sourceOf(source string) string {
	if source == "" {
		return ""
	}
	return "· " + sentenceCase(source) + "."
}

// linesHelp says how a field of several lines is written and left.
const linesHelp = "Enter begins a new line; Escape, or a click elsewhere, ends it and keeps what was typed."

func valueHelp(k *model.Kind) string {
	if k.Name == "note" {
		return "The words on the sheet. " + linesHelp
	}
	if k.Name == "arrow" {
		return "The words at the arrow’s tail; there may be none."
	}
	help := "As you would write it, such as " + k.Suggest + "."
	if k.Name == "led" {
		help = "The colour, and behind it the voltage across the LED where you have measured it: red 1.9 V, which is at 20 mA, or red 1.8 V 5 mA."
	}
	switch _, stepped := markedPart(k.Name); {
	case k.Suggest == "" && len(k.Handbook) > 0:
		return "The type, as it is called in shops and data sheets; the down key lists those in the catalogue."
	case k.Suggest == "":
		return "The type, as it is called in shops and data sheets."
	case len(k.Handbook) > 0:
		return help + " The down key lists what is in the catalogue."
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

func (p *page) fieldWidth() float32 { return p.in.width - p.labelRoom() - labelGap - 4 }

// indented puts an object below a field's entry.
func (p *page) indented(o fyne.CanvasObject) fyne.CanvasObject {
	return container.New(columns{widths: []float32{p.labelRoom(), 0}, gap: labelGap + 4}, gap(0), o)
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
		label: "Note", help: "Anything worth remembering about the part. " + linesHelp, lines: 2, breaks: true,
		text: func() string { return p.model().Note },
		apply: func(text string) error {
			return p.retype("note", func(m *model.Part) { m.Note = strings.TrimRight(text, "\n") })
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
			key += "\x00" + t.title + strings.Join(t.states, ",")
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
	})
	s.set(mode.Set[t.name])
	if mode.Set[t.name] == "" {
		s.set(rest)
	}
	name := styledText(elide(t.title, grown(stateLabel), textSize, false), textSize, false, p.in.look.Quiet)
	help := "What " + t.title + " does in the mode “" + mode.Name + "”; " + rest + " leaves it to the drawing."
	return newHinted(p.in.tips, help, container.New(columns{widths: []float32{grown(stateLabel), 0}, gap: labelGap}, name, s))
}
