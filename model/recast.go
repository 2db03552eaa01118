package model

import (
	"maps"
	"slices"
	"strings"
	"unicode"
)

// Recast returns the part as one of kind k, where it stands and with all that k
// understands of it, and which pin of it each of its pins has become; a pin
// without a counterpart is left out. What it was called stays, except that a
// ref which is the old kind's letters and a number, as a new part gets it, is to
// be chosen anew where k has other letters: it is then empty.
func (p *Part) Recast(k *Kind) (*Part, map[string]string) {
	old := p.LookupKind()
	c := p.Clone()
	c.Kind = k.Name
	if old != nil && old.Prefix != k.Prefix && isNumbered(p.Ref, old.Prefix) {
		c.Ref = ""
	}
	c.Value = k.valueFor(p, old)
	if k.NewPins == nil {
		c.Pins = nil
	} else if len(c.Pins) == 0 {
		c.Pins = slices.Clone(k.NewPins)
	}
	maps.DeleteFunc(c.Params, func(name string, v Value) bool {
		q := k.Param(name)
		return q == nil || q.Check(v) != nil
	})
	pins := map[string]string{}
	if old != nil {
		pins = counterparts(old.Pins(p), k.Pins(c))
	}
	c.Tags = movedTags(p.Tags, pins)
	return c, pins
}

// movedTags returns the net names by what their pins have become; it is nil where
// none is left.
func movedTags(tags, pins map[string]string) map[string]string {
	var moved map[string]string
	for pin, tag := range tags {
		to, ok := pins[pin]
		if !ok {
			continue
		}
		if moved == nil {
			moved = map[string]string{}
		}
		moved[to] = tag
	}
	return moved
}

// isNumbered reports whether a ref is the letters and a number.
func isNumbered(ref, letters string) bool {
	number, ok := strings.CutPrefix(ref, letters)
	return ok && number != "" && strings.Trim(number, "0123456789") == ""
}

// valueFor returns the value of a part of kind old as one of kind k: its own
// where k takes it, none where k reads the marking, and else that of a new part.
func (k *Kind) valueFor(p *Part, old *Kind) string {
	value, marking := strings.TrimSpace(p.Value), strings.TrimSpace(p.Marking)
	switch {
	case value != "" && k.takes(value, old):
		return p.Value
	case marking != "" && k.reads(k.FromMarking, marking), value == "" && marking == "":
		return ""
	}
	return k.Suggest
}

// reads reports whether a text says something that k can be; any text does where
// it is only a name.
func (k *Kind) reads(from func(string) (Params, error), text string) bool {
	if from == nil {
		return true
	}
	read, err := from(text)
	return err == nil && !k.refuses(read)
}

// takes reports whether the value of a part of kind old makes sense for k: k
// reads something in it, or it may be a type's name, which has a figure in it,
// among kinds that are sold by type.
func (k *Kind) takes(value string, old *Kind) bool {
	if k.FromValue == nil {
		return old == nil || old.FromValue == nil
	}
	if !k.reads(k.FromValue, value) {
		return false
	}
	read, _ := k.FromValue(value)
	named := old != nil && len(old.Handbook) > 0 && len(k.Handbook) > 0 && strings.ContainsFunc(value, unicode.IsDigit)
	return len(read) > 0 || named
}

// refuses reports whether one of the quantities is out of its range.
func (k *Kind) refuses(params Params) bool {
	for name, v := range params {
		if q := k.Param(name); q != nil && q.Check(v) != nil {
			return true
		}
	}
	return false
}

// pinRole is what a pin is to its part, for pins that have counterparts of other
// names.
type pinRole int

const (
	noRole  pinRole = iota
	control         // that rules the path between the others
	first           // where the current enters a part that has a direction, or the left pin
	second
)

func roleOf(pin string) pinRole {
	switch pin {
	case "B", "G", "W":
		return control
	case "A", "+", "1", "C", "D":
		return first
	case "K", "-", "2", "E", "S":
		return second
	}
	return noRole
}

// counterparts returns which of the pins to each of the pins from becomes: the
// one of the same name, else of the same role, else the next in order.
func counterparts(from, to []Pin) map[string]string {
	found, taken := map[string]string{}, map[string]bool{}
	pair := func(alike func(a, b string) bool) {
		for _, a := range from {
			for _, b := range to {
				if _, done := found[a.Name]; !done && !taken[b.Name] && alike(a.Name, b.Name) {
					found[a.Name], taken[b.Name] = b.Name, true
				}
			}
		}
	}
	pair(func(a, b string) bool { return a == b })
	pair(func(a, b string) bool { return roleOf(a) != noRole && roleOf(a) == roleOf(b) })
	pair(func(a, b string) bool { return roleOf(a) == noRole || roleOf(b) == noRole })
	return found
}
