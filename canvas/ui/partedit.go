package ui

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"copperglass/canvas/tool"
	"copperglass/model"
	"copperglass/model/quantity"
)

// editPart carries out a change of one part. A change that makes the part say
// something that cannot be understood is not carried out. Edits in a row of the
// same are undone together.
func (doc *Document) editPart(ref, what string, change func(*model.Part)) error {
	changed, err := changedPart(doc.Diagram(), ref, change)
	if err != nil {
		return err
	}
	return doc.Edit(what+" of "+ref, what+" "+ref, func(f *model.Draft) { f.SetPart(ref, changed) })
}

// changedPart returns the part of d as change makes it, or what is wrong with
// it then.
func changedPart(d *model.Diagram, ref string, change func(*model.Part)) (*model.Part, error) {
	old := d.Part(ref)
	if old == nil {
		return nil, fmt.Errorf("there is no %s any more", ref)
	}
	changed := old.Clone()
	change(changed)
	return changed, newProblem(d, old, changed)
}

// newProblem returns what is wrong with a part that was not wrong before.
func newProblem(d *model.Diagram, old, changed *model.Part) error {
	_, before := d.Resolve(old, nil)
	_, after := d.Resolve(changed, nil)
	for _, problem := range after {
		if !slices.Contains(before, problem) {
			return errors.New(strings.TrimPrefix(strings.TrimPrefix(problem, old.Ref+": "), old.Ref+"."))
		}
	}
	return nil
}

// rename gives a part another reference designator, in all that speaks of it.
func (doc *Document) rename(from, to string) error {
	to = strings.TrimSpace(to)
	if err := checkRef(doc.Diagram(), from, to); err != nil || from == to {
		return err
	}
	f := model.NewDraft(doc.Diagram())
	p := f.Diagram().Part(from).Clone()
	p.Ref = to
	f.SetPart(from, p)
	f.Retarget(func(ref, pin string) (string, string) {
		if ref == from {
			ref = to
		}
		return ref, pin
	})
	e := f.Edit("rename " + from)
	var err error
	doc.Hand(func(h *tool.Editor) {
		if err = h.Do(e); err == nil {
			h.Select(to)
		}
	})
	return err
}

// longestRef bounds a reference designator to what fits beside a symbol.
const longestRef = 24

func checkRef(d *model.Diagram, from, to string) error {
	switch {
	case to == "":
		return errors.New("a part needs a name, such as R1")
	case len(to) > longestRef:
		return fmt.Errorf("a name has at most %d letters", longestRef)
	case strings.ContainsAny(to, ". \t=") || to == model.Drawing:
		return fmt.Errorf("%q is no name for a part; letters, digits, - and _ make one", to)
	case slices.ContainsFunc(d.Parts, func(p *model.Part) bool { return p.Ref != from && strings.EqualFold(p.Ref, to) }):
		return fmt.Errorf("%s is taken", to)
	}
	return nil
}

// largestStack bounds a stack to what somebody might have soldered.
const largestStack = 10000

// parseCount reads the N of a stack.
func parseCount(text string) (int, error) {
	text = strings.TrimSpace(strings.Trim(strings.TrimSpace(text), "×x"))
	if text == "" {
		return 0, nil
	}
	n, err := strconv.Atoi(text)
	if err != nil || n < 1 || n > largestStack {
		return 0, fmt.Errorf("a stack has 1 to %d parts", largestStack)
	}
	return n, nil
}

// setParam puts what was chosen into a quantity of a part; an empty text unsets
// it.
func (doc *Document) setParam(ref string, q *model.Param, text string) error {
	set, err := paramChange(q, text)
	if err != nil {
		return err
	}
	return doc.editPart(ref, q.Name, set)
}

// paramChange reads a text for a quantity and returns what puts it into a part.
func paramChange(q *model.Param, text string) (func(*model.Part), error) {
	v, err := parseParam(q, text)
	return func(p *model.Part) {
		if p.Params == nil && v.IsSet() {
			p.Params = model.Params{}
		}
		if v.IsSet() {
			p.Params[q.Name] = v
		} else {
			delete(p.Params, q.Name)
		}
	}, err
}

func parseParam(q *model.Param, text string) (model.Value, error) {
	text = strings.TrimSpace(text)
	if text == "" {
		return model.Value{}, nil
	}
	v := model.Word(text)
	switch q.Type() {
	case model.FlagType:
		v = model.Flag(text == "yes")
	case model.NumberType:
		if q.Unit == quantity.Kelvin && !strings.ContainsFunc(text, unicode.IsLetter) {
			text += " °C" // as the field has it
		}
		x, err := quantity.Parse(text, q.Unit)
		if err != nil {
			return model.Value{}, err
		}
		v = model.Number(x)
	}
	return v, q.Check(v)
}

// showParam writes a quantity as it may be typed again.
func showParam(q *model.Param, v model.Value) string {
	if x, ok := v.Num(); ok {
		return showNumber(q, x)
	}
	if on, ok := v.Enabled(); ok {
		return yesNo(on)
	}
	return v.String()
}

// showNumber writes a part of a whole in per cent and a temperature in degrees
// Celsius.
func showNumber(q *model.Param, x float64) string {
	const freezing = 273.15 // K
	switch {
	case q.Unit == quantity.Kelvin:
		return strconv.FormatFloat(x-freezing, 'g', 8, 64) + " °C"
	case q.Unit == quantity.None && q.Min == 0 && q.Max == 1:
		return strconv.FormatFloat(100*x, 'g', 8, 64) + " %"
	}
	return reciprocal(exactShort(x, q.Unit))
}

// reciprocal leaves the 1 of a unit such as 1/V out: behind a number it reads like
// another figure.
func reciprocal(text string) string { return strings.Replace(text, " 1/", " /", 1) }

// showAssumed writes a quantity that nobody has written, in three figures.
func showAssumed(q *model.Param, v model.Value) string {
	if x, ok := v.Num(); ok && q.Unit != quantity.Kelvin {
		return showShort(q, x)
	}
	return showParam(q, v)
}

// exactShort writes a number with its prefix where that loses nothing, and
// with all its digits otherwise.
func exactShort(x float64, u quantity.Unit) string {
	short := quantity.Short(x, u)
	if back, err := quantity.Parse(short, u); err == nil && math.Abs(back-x) <= 1e-12*math.Abs(x) {
		return short
	}
	return strings.TrimSpace(strconv.FormatFloat(x, 'g', -1, 64) + " " + u.String())
}

func yesNo(b bool) string {
	if b {
		return "yes"
	}
	return "no"
}

// markedPart returns what quantity calls the kind, if its parts carry value
// markings.
func markedPart(kind string) (quantity.Part, bool) {
	switch kind {
	case "resistor", "potentiometer":
		return quantity.Resistor, true
	case "capacitor":
		return quantity.Capacitor, true
	case "inductor":
		return quantity.Inductor, true
	}
	return 0, false
}

// mostSaid is how many quantities of a value are said; the name of a part can
// stand for a dozen.
const mostSaid = 3

// understood says in words what the text of a value was read as.
func understood(k *model.Kind, text string) string {
	if k.FromValue == nil || strings.TrimSpace(text) == "" {
		return ""
	}
	params, err := k.FromValue(text)
	if err != nil {
		return ""
	}
	if len(params) == 0 && len(k.Handbook) > 0 {
		return "not in the catalogue: taken as a typical " + inSentence(k.Title)
	}
	if len(params) > mostSaid {
		return "this type is in the catalogue"
	}
	var said []string
	for _, q := range k.Params {
		if v, ok := params[q.Name]; ok {
			said = append(said, sayParam(&q, v, len(params) == 1))
		}
	}
	if words := strings.Join(said, ", "); !strings.EqualFold(words, strings.TrimSpace(text)) {
		return words
	}
	return ""
}

// inSentence is a title as it stands within a sentence: with a small letter,
// unless it begins with an abbreviation.
func inSentence(title string) string {
	if len(title) > 1 && title[1] >= 'a' && title[1] <= 'z' {
		return strings.ToLower(title[:1]) + title[1:]
	}
	return title
}

// sayParam says one of the quantities of a value, or the only one.
func sayParam(q *model.Param, v model.Value, only bool) string {
	x, isNumber := v.Num()
	switch {
	case isNumber && q.Name == "cells":
		return plural(int(x), "cell", "cells")
	case isNumber && only:
		return showShort(q, x) + preferred(q, x)
	case isNumber && toldByUnit(q):
		return showShort(q, x)
	case isNumber:
		return q.Meaning + " " + showShort(q, x)
	}
	return showParam(q, v)
}

// toldByUnit reports whether a quantity needs no name beside the others of a
// value: "4.7 kΩ, 5 %, 250 mW".
func toldByUnit(q *model.Param) bool {
	return markedUnit(q.Unit) || q.Name == "tolerance" || slices.Contains([]string{"power_rating", "voltage_rating", "current_rating", "rated_voltage", "rated_power"}, q.Name)
}

// showShort is a number with three figures and its unit.
func showShort(q *model.Param, x float64) string {
	if q.Unit == quantity.None && q.Min == 0 && q.Max == 1 {
		return quantity.Short(100*x, quantity.Percent)
	}
	return reciprocal(quantity.Short(x, q.Unit))
}

// preferred names the series of preferred values that x belongs to, or its
// nearest one (IEC 60063), for a quantity that parts are made in series of.
func preferred(q *model.Param, x float64) string {
	u := q.Unit
	switch {
	case x == 0 && u == quantity.Ohm:
		return ", a link"
	case absurd(x, u):
		return ", which is hardly met on a board"
	}
	if x <= 0 || !slices.Contains([]string{"resistance", "capacitance", "inductance"}, q.Name) {
		return ""
	}
	s, near := quantity.NamePreferred(x)
	if s != 0 {
		return ", preferred (" + s.String() + ")"
	}
	return ", not preferred; " + quantity.Short(near, u) + " is"
}

// neighbour returns the next value of E24 above or below what is written.
func neighbour(k *model.Kind, text string, way int) string {
	params, err := k.FromValue(text)
	if err != nil {
		return text
	}
	for name, v := range params {
		q := k.Param(name)
		x, ok := v.Num()
		if q == nil || !ok || x <= 0 {
			continue
		}
		next := quantity.Above(quantity.E24, x*(1+1e-6))
		if way < 0 {
			next = quantity.Below(quantity.E24, x*(1-1e-6))
		}
		return quantity.Short(next, q.Unit)
	}
	return text
}
