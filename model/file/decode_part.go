package file

import (
	"strings"
	"unicode"

	"copperglass/model"
)

var (
	roles = []string{"supply", "ground", "output", "open_drain", "input", "none"}
	sides = []string{"left", "right", "top", "bottom"}
)

// part reads one part and checks what can be checked without the others.
func (d *decoder) part(at *place, v raw) *model.Part {
	p := &model.Part{}
	p.Extra = d.object(at, v, func(key string, at *place, v raw) bool { return d.partKey(p, key, at, v) })
	if v.isObject() {
		d.checkRef(at.in("ref"), p)
		d.checkKind(at, p)
	}
	return p
}

func (d *decoder) partKey(p *model.Part, key string, at *place, v raw) bool {
	switch key {
	case "ref":
		p.Ref = d.text(at, v)
	case "kind":
		p.Kind = d.text(at, v)
	case "at":
		p.At, p.Placed = d.point(at, v), true
	case "turn":
		p.Orient.Turn = d.turn(at, v)
	case "mirror":
		p.Orient.Mirror = d.flag(at, v)
	case "value":
		p.Value = d.text(at, v)
	case "marking":
		p.Marking = d.text(at, v)
	case "doubt":
		p.Doubt = d.doubt(at, v)
	case "count":
		p.Count, _ = d.integer(at, v, 1, MaxCount)
	case "note":
		p.Note = d.text(at, v)
	case "pins":
		d.list(at, v, MaxChipPins, func(at *place, v raw) { p.Pins = append(p.Pins, d.chipPin(at, v)) })
	case "params":
		p.Params = d.params(at, v)
	case "tags":
		p.Tags = d.texts(at, v)
	default:
		return false
	}
	return true
}

func (d *decoder) turn(at *place, v raw) int {
	n, ok := d.integer(at, v, 0, 270)
	if ok && n%90 != 0 {
		d.fault(at, "a part is turned by 0, 90, 180 or 270 degrees, not by %d", n)
	}
	return n
}

func (d *decoder) doubt(at *place, v raw) model.Doubt {
	return model.Doubt(d.word(at, v, string(model.Measured), string(model.Read), string(model.Guessed)))
}

func (d *decoder) chipPin(at *place, v raw) model.ChipPin {
	p := model.ChipPin{}
	p.Extra = d.object(at, v, func(key string, at *place, v raw) bool {
		switch key {
		case "number":
			p.Number = d.text(at, v)
		case "name":
			p.Name = d.text(at, v)
		case "role":
			p.Role = d.word(at, v, roles...)
		case "side":
			p.Side = d.word(at, v, sides...)
		default:
			return false
		}
		return true
	})
	if v.isObject() && p.Number == "" {
		d.fault(at.in("number"), "the pin has no number")
	}
	return p
}

// checkRef checks the reference designator. A dot would make the names of pins
// and quantities ambiguous, as would the two words that stand for something
// else there.
func (d *decoder) checkRef(at *place, p *model.Part) {
	switch {
	case p.Ref == "":
		d.fault(at, "the part has no ref, such as R1")
	case strings.ContainsFunc(p.Ref, func(r rune) bool { return r == '.' || unicode.IsSpace(r) || unicode.IsControl(r) }):
		d.fault(at, "%s is not a ref: it may hold no dot and no space", quoted(p.Ref))
	case p.Ref == model.Drawing || p.Ref == "net":
		d.fault(at, "%q cannot be a ref, because it names something else", p.Ref)
	}
}

// checkKind checks what depends on the kind: the quantities and the pins.
func (d *decoder) checkKind(at *place, p *model.Part) {
	k := p.LookupKind()
	if k == nil {
		d.fault(at.in("kind"), "%s", unknownKind(p.Kind))
		return
	}
	d.checkTypes(at.in("params"), p.Params, k.Param)
	d.checkChipPins(at.in("pins"), p.Pins)
	pins := pinNames(p)
	for _, pin := range sortedKeys(p.Tags) {
		if !pins[pin] {
			d.fault(at.in("tags").in(pin), "%s, of kind %s, has no pin %s", quoted(p.Ref), p.Kind, quoted(pin))
		}
	}
}

func unknownKind(kind string) string {
	var names []string
	for _, k := range model.Kinds() {
		names = append(names, k.Name)
	}
	if kind == "" {
		return "the part has no kind, such as " + names[0]
	}
	return quoted(kind) + " is not a kind of part; " + perhaps(kind, names)
}

// perhaps offers what a wrong word may have meant, or else all words there are.
func perhaps(word string, names []string) string {
	if near := model.Near(word, names); len(near) > 0 {
		return "perhaps " + orList(near) + " is meant"
	}
	return "there are " + strings.Join(names, ", ")
}

// orList joins words as in "a, b or c".
func orList(words []string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	last := len(words) - 1
	return strings.Join(words[:last], ", ") + " or " + words[last]
}

// checkTypes checks that each quantity is of the type that its description
// says; what it is worth is for the analysis to judge.
func (d *decoder) checkTypes(at *place, params model.Params, describe func(string) *model.Param) {
	for _, name := range params.Names() {
		q, v := describe(name), params[name]
		if q == nil || !v.IsSet() || v.Type() == q.Type() {
			continue
		}
		d.fault(at.in(name), "%s stands where %s is expected", quoted(v.String()), typeName(q))
	}
}

func typeName(q *model.Param) string {
	switch q.Type() {
	case model.FlagType:
		return "true or false"
	case model.WordType:
		if len(q.Choices) > 0 {
			return "one of the words " + orList(q.Choices)
		}
		return "a word"
	}
	if unit := q.Unit.String(); unit != "" {
		return "a number in " + unit
	}
	return "a number"
}

func (d *decoder) checkChipPins(at *place, pins []model.ChipPin) {
	first := map[string]int{}
	for i, p := range pins {
		if j, twice := first[p.Number]; twice && p.Number != "" {
			d.fault(at.item(i).in("number"), "pin %s is there already, as pins[%d]", quoted(p.Number), j)
			continue
		}
		first[p.Number] = i
	}
}

// pinNames returns the pins that p has.
func pinNames(p *model.Part) map[string]bool {
	names := map[string]bool{}
	for _, pin := range p.LookupKind().Pins(p) {
		names[pin.Name] = true
	}
	return names
}
