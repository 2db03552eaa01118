package ui

import (
	"errors"
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"

	"copperglass/model"
)

func cloneMode(m *model.Mode) *model.Mode {
	c := *m
	c.Set = maps.Clone(m.Set)
	return &c
}

func modeIndex(d *model.Diagram, name string) int {
	return slices.IndexFunc(d.Modes, func(m *model.Mode) bool { return m.Name == name })
}

// editMode carries out a change of one mode.
func (doc *Document) editMode(name, what string, change func(*model.Mode)) error {
	d := doc.Diagram()
	i := modeIndex(d, name)
	if i < 0 {
		return fmt.Errorf("there is no mode %s any more", name)
	}
	c := cloneMode(d.Modes[i])
	change(c)
	return doc.Edit(what+" of “"+name+"”", what+" "+strconv.Itoa(i), func(f *model.Draft) { f.SetMode(i, c) })
}

// nameMode gives a mode another name.
func (doc *Document) nameMode(from, to string) error {
	to = strings.TrimSpace(to)
	switch {
	case to == from:
		return nil
	case to == "":
		return errors.New("a mode needs a name")
	case doc.Diagram().Mode(to) != nil:
		return fmt.Errorf("there is a mode %s already", to)
	}
	chosen := doc.mode
	if chosen == from {
		doc.mode = to
	}
	err := doc.editMode(from, "name", func(m *model.Mode) { m.Name = to })
	if err != nil {
		doc.mode = chosen
	}
	return err
}

// noteMode says what a mode is.
func (doc *Document) noteMode(name, note string) error {
	return doc.editMode(name, "note", func(m *model.Mode) { m.Note = note })
}

// setState says what a switch or a pin of a chip does in a mode; an empty
// state leaves it as it is drawn.
func (doc *Document) setState(name, target, state string) error {
	return doc.editMode(name, "state of "+target, func(m *model.Mode) {
		if m.Set == nil {
			m.Set = map[string]string{}
		}
		m.Set[target] = state
		if state == "" {
			delete(m.Set, target)
		}
	})
}

// addMode makes a new mode, a copy of the chosen one where there is one, and
// chooses it.
func (doc *Document) addMode() error {
	d := doc.Diagram()
	m := &model.Mode{Name: freeModeName(d), Set: map[string]string{}}
	if chosen := d.Mode(doc.mode); chosen != nil {
		m.Set = maps.Clone(chosen.Set)
	}
	if err := doc.Edit("add “"+m.Name+"”", "", func(f *model.Draft) { f.AddMode(m) }); err != nil {
		return err
	}
	doc.SetMode(m.Name)
	return nil
}

func freeModeName(d *model.Diagram) string {
	for n := len(d.Modes) + 1; ; n++ {
		if name := "Mode " + strconv.Itoa(n); d.Mode(name) == nil {
			return name
		}
	}
}

// removeMode takes a mode away.
func (doc *Document) removeMode(name string) error {
	i := modeIndex(doc.Diagram(), name)
	if i < 0 {
		return nil
	}
	return doc.Edit("delete “"+name+"”", "", func(f *model.Draft) { f.RemoveMode(i) })
}

// target is something a mode can set.
type target struct {
	name   string   // as in the file: "IC1.7", "S1"
	title  string   // for people: "IC1 pin 7, white"
	states []string // what it can be
}

// targets returns what modes can set in a drawing, in natural order.
func targets(d *model.Diagram) []target {
	var list []target
	for _, p := range d.Parts {
		list = append(list, targetsOf(p)...)
	}
	slices.SortStableFunc(list, func(a, b target) int { return model.NaturalCompare(a.name, b.name) })
	return list
}

func targetsOf(p *model.Part) []target {
	if p.Kind == "chip" {
		var list []target
		for _, i := range naturalOrder(p.Pins) {
			pin := p.Pins[i]
			if states := pinStates(pin.Role); states != nil {
				title := strings.TrimSpace(p.Ref + " " + pin.Number + " " + pin.Name)
				list = append(list, target{p.Ref + "." + pin.Number, title, states})
			}
		}
		return list
	}
	k := p.LookupKind()
	if k == nil {
		return nil
	}
	if q := k.Param("state"); q != nil {
		return []target{{p.Ref, p.Ref, q.Choices}}
	}
	return nil
}

func pinStates(role string) []string {
	switch role {
	case "output":
		return []string{"high", "low", "off"}
	case "open_drain":
		return []string{"low", "off"}
	}
	return nil
}

// throw opens a closed switch in the chosen mode, or as drawn where there are
// no modes, and closes an open one. It reports whether the part is a switch.
func (doc *Document) throw(ref string) bool {
	d := doc.Diagram()
	p := d.Part(ref)
	if p == nil || p.LookupKind() == nil || p.LookupKind().Param("state") == nil {
		return false
	}
	mode := d.Mode(doc.mode)
	values, _ := d.Resolve(p, mode.Setting())
	state := "closed"
	if values.Text("state") == "closed" {
		state = "open"
	}
	if mode != nil {
		return doc.setState(doc.mode, ref, state) == nil
	}
	return doc.setParam(ref, p.LookupKind().Param("state"), state) == nil
}
