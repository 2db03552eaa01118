package ui

import (
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"

	"copperglass/model"
)

// roles are what a chip's pin can be for, as the file has them and as people
// read them.
var roles = []struct{ role, word string }{
	{"supply", "supply"}, {"ground", "ground"}, {"output", "output"},
	{"open_drain", "open drain"}, {"input", "input"}, {"none", "none"},
}

// sides are where on a chip's box a pin can be: where its role suggests, or on
// one side.
var sides = []struct{ side, sign string }{
	{"", "auto"}, {"left", "←"}, {"top", "↑"}, {"right", "→"}, {"bottom", "↓"},
}

// chipPins adds the list of a chip's pins.
func (p *page) chipPins() {
	p.heading("Pins")
	problem := container.New(column{})
	p.pins = p.dynamic(func() string { return p.pinsKey() }, func() []fyne.CanvasObject {
		refill(problem)
		lines := []fyne.CanvasObject{}
		for _, i := range naturalOrder(p.model().Pins) {
			lines = append(lines, p.pinLine(i, problem), gap(4))
		}
		return lines
	})
	p.add(problem, gap(2), p.action("+ add a pin", "One more pin of the chip.", func() { p.steady(p.addPin) }))
}

// steady carries out a change of the pins while their list stays where it is on
// the screen: what the modes set of them stands above it, and comes and goes.
func (p *page) steady(change func() error) {
	p.in.anchored(func() fyne.CanvasObject { return p.pins }, func() { p.try(change()) })
}

// naturalOrder returns the places of the pins as people count them.
func naturalOrder(pins []model.ChipPin) []int {
	order := make([]int, len(pins))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return model.NaturalCompare(pins[a].Number, pins[b].Number) })
	return order
}

// pinsKey changes with the number of pins and with what is not typed into an
// entry.
func (p *page) pinsKey() string {
	key := "pins"
	for _, pin := range p.model().Pins {
		key += "\x00" + pin.Role + "\x00" + pin.Side
	}
	return key
}

func (p *page) pinLine(i int, problem *fyne.Container) fyne.CanvasObject {
	say := func(err error) {
		complain(problem, err, p.in.width, p.in.look)
	}
	saying := func(try func(string) error) func(string) error {
		return func(text string) error {
			err := try(text)
			say(err)
			return err
		}
	}
	number := newInput(fieldSpec{
		text:  func() string { return p.pin(i).Number },
		check: saying(func(text string) error { return p.checkPin(i, text) }),
		apply: saying(func(text string) error { return p.renamePin(i, text) }),
	}, p, newEntry(p.in.release), func() {})
	name := newInput(fieldSpec{
		text: func() string { return p.pin(i).Name },
		apply: saying(func(text string) error {
			return p.retype("pin name", func(m *model.Part) { m.Pins[i].Name = text })
		}),
	}, p, newEntry(p.in.release), func() {})
	name.entry.SetPlaceHolder("name")
	remove := newIconButton(theme.CancelIcon(), func() { p.steady(func() error { return p.removePin(i) }) })
	hinted := func(help string, o fyne.CanvasObject) fyne.CanvasObject { return newHinted(p.in.tips, help, o) }
	return container.New(columns{widths: []float32{grown(40), 0, grown(98), grown(50), grown(26)}, gap: 4},
		hinted("The number of the pin, as on the package.", number.entry), hinted("What the pin is called, if anything.", name.entry),
		hinted("What the pin is for: it decides what modes can set and what the chip does there.", p.roleSelect(i)), p.sideButton(i),
		hinted("Takes the pin away.", remove))
}

// pin returns a pin of the part, empty where it is gone.
func (p *page) pin(i int) model.ChipPin {
	if pins := p.model().Pins; i < len(pins) {
		return pins[i]
	}
	return model.ChipPin{}
}

func (p *page) roleSelect(i int) fyne.CanvasObject {
	s := newChoice()
	for _, r := range roles {
		s.Options = append(s.Options, r.word)
		if r.role == p.model().Pins[i].Role {
			s.Selected = r.word
		}
	}
	s.OnChanged = func(word string) {
		for _, r := range roles {
			if r.word == word {
				p.steady(func() error { return p.editPin(i, "role", func(c *model.ChipPin) { c.Role = r.role }) })
			}
		}
		p.in.handBack(s.keyed)
	}
	return outlined(s, p.in.look)
}

func (p *page) sideButton(i int) fyne.CanvasObject {
	at := 0
	for j, s := range sides {
		if s.side == p.model().Pins[i].Side {
			at = j
		}
	}
	b := newButton(sides[at].sign, nil, p.in.release)
	b.OnTapped = func() {
		next := sides[(at+1)%len(sides)].side
		p.steady(func() error { return p.editPin(i, "side", func(c *model.ChipPin) { c.Side = next }) })
		p.in.handBack(b.keyed)
	}
	b.Importance = widget.LowImportance
	return newHinted(p.in.tips, "The side of the box the pin is on; auto is where its role suggests.", b)
}

// editPin carries out a change of one pin; wires stay where they are.
func (p *page) editPin(i int, what string, change func(*model.ChipPin)) error {
	return p.edit("pin "+what, func(m *model.Part) {
		if i < len(m.Pins) {
			change(&m.Pins[i])
		}
	})
}

// checkPin tells why a pin cannot have a number.
func (p *page) checkPin(i int, to string) error {
	pins := p.model().Pins
	to = strings.TrimSpace(to)
	switch {
	case i >= len(pins) || pins[i].Number == to:
		return nil
	case to == "":
		return errors.New("a pin needs a number")
	case strings.ContainsAny(to, ". \t="):
		return fmt.Errorf("%q is no number for a pin; digits and letters make one", to)
	case slices.ContainsFunc(pins, func(c model.ChipPin) bool { return c.Number == to }):
		return fmt.Errorf("there is a pin %s already", to)
	}
	return nil
}

// renamePin gives a pin another number, in all that speaks of it.
func (p *page) renamePin(i int, to string) error {
	to = strings.TrimSpace(to)
	if err := p.checkPin(i, to); err != nil || to == p.pin(i).Number {
		return err
	}
	ref, from := p.in.ref, p.pin(i).Number
	return p.in.doc.Edit("number of a pin of "+ref, "", func(f *model.Draft) {
		m := f.Diagram().Part(ref).Clone()
		m.Pins[i].Number = to
		if tag, ok := m.Tags[from]; ok {
			delete(m.Tags, from)
			m.Tags[to] = tag
		}
		f.SetPart(ref, m)
		f.Retarget(func(r, pin string) (string, string) {
			if r == ref && pin == from {
				pin = to
			}
			return r, pin
		})
	})
}

func (p *page) addPin() error {
	taken := map[string]bool{}
	for _, c := range p.model().Pins {
		taken[c.Number] = true
	}
	n := 1
	for taken[strconv.Itoa(n)] {
		n++
	}
	return p.edit("pins", func(m *model.Part) {
		m.Pins = append(m.Pins, model.ChipPin{Number: strconv.Itoa(n), Role: "none"})
	})
}

// removePin takes a pin away, with what the modes set of it.
func (p *page) removePin(i int) error {
	ref := p.in.ref
	return p.in.doc.Edit("remove a pin of "+ref, "", func(f *model.Draft) {
		m := f.Diagram().Part(ref).Clone()
		if i >= len(m.Pins) {
			return
		}
		gone := ref + "." + m.Pins[i].Number
		delete(m.Tags, m.Pins[i].Number)
		m.Pins = slices.Delete(m.Pins, i, i+1)
		f.SetPart(ref, m)
		for j, mode := range f.Diagram().Modes {
			if _, ok := mode.Set[gone]; ok {
				c := cloneMode(mode)
				delete(c.Set, gone)
				f.SetMode(j, c)
			}
		}
	})
}
