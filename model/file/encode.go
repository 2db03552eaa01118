package file

import (
	"bytes"
	"encoding/json"
	"io"
	"math"
	"strconv"
	"strings"

	"copperglass/model"
	"copperglass/model/geom"
)

// Encode writes d in the canonical layout. What has lost its object is left
// out: the tag of a pin that the part does not have any more, and what a mode
// sets on a part that is gone.
//
// A drawing that Decode would refuse is not written at all; the error is then
// the Errors of Decode.
func Encode(w io.Writer, d *model.Diagram) error {
	text := []byte(drawing(d))
	if _, err := decode(text); err != nil {
		return err
	}
	_, err := w.Write(layOut(text))
	return err
}

// object builds the text of a JSON object without white space.
type object struct{ b strings.Builder }

func (o *object) put(key, raw string) {
	if o.b.Len() == 0 {
		o.b.WriteByte('{')
	} else {
		o.b.WriteByte(',')
	}
	o.b.WriteString(quote(key))
	o.b.WriteByte(':')
	o.b.WriteString(raw)
}

// text puts s unless it is empty.
func (o *object) text(key, s string) {
	if s != "" {
		o.put(key, quote(s))
	}
}

// filled puts a list or an object unless it is empty.
func (o *object) filled(key, raw string) {
	if raw != "[]" && raw != "{}" {
		o.put(key, raw)
	}
}

func (o *object) extra(extra []model.Extra) {
	for _, e := range extra {
		o.put(e.Key, e.Raw)
	}
}

func (o *object) String() string {
	if o.b.Len() == 0 {
		return "{}"
	}
	return o.b.String() + "}"
}

// quote returns s as JSON text.
func quote(s string) string {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	if err := e.Encode(s); err != nil {
		panic("file: " + err.Error())
	}
	return strings.TrimSuffix(b.String(), "\n")
}

func list[T any](items []T, text func(T) string) string {
	var b strings.Builder
	b.WriteByte('[')
	for i, item := range items {
		if i > 0 {
			b.WriteByte(',')
		}
		b.WriteString(text(item))
	}
	b.WriteByte(']')
	return b.String()
}

func drawing(d *model.Diagram) string {
	known := partsByRef(d)
	var o object
	o.put("format", quote(Format))
	o.put("version", strconv.Itoa(Version))
	o.text("title", d.Title)
	o.text("who", d.Block.Who)
	o.text("date", d.Block.Date)
	o.text("revision", d.Block.Revision)
	o.filled("params", params(d.Params))
	o.put("parts", list(d.Parts, part))
	o.filled("wires", list(d.Wires, wire))
	o.filled("modes", list(d.Modes, func(m *model.Mode) string { return mode(m, known) }))
	o.filled("what_ifs", list(d.WhatIfs, whatIf))
	o.filled("muted", list(d.Muted, mute))
	o.filled("story", list(d.Story, step))
	o.extra(d.Extra)
	return o.String()
}

func part(p *model.Part) string {
	var o object
	o.put("ref", quote(p.Ref))
	o.put("kind", quote(p.Kind))
	if p.Placed {
		o.put("at", point(p.At))
	}
	if p.Orient.Turn != 0 {
		o.put("turn", strconv.Itoa(p.Orient.Turn))
	}
	if p.Orient.Mirror {
		o.put("mirror", "true")
	}
	o.text("value", p.Value)
	o.text("marking", p.Marking)
	o.text("doubt", string(p.Doubt))
	if p.Multiple() != 1 {
		o.put("count", strconv.Itoa(p.Count))
	}
	o.text("note", p.Note)
	o.filled("pins", list(p.Pins, chipPin))
	o.filled("params", params(p.Params))
	o.filled("tags", tags(p))
	o.extra(p.Extra)
	return o.String()
}

func chipPin(p model.ChipPin) string {
	var o object
	o.put("number", quote(p.Number))
	o.text("name", p.Name)
	o.text("role", p.Role)
	o.text("side", p.Side)
	o.extra(p.Extra)
	return o.String()
}

func tags(p *model.Part) string {
	if p.LookupKind() == nil || len(p.Tags) == 0 {
		return "{}"
	}
	var o object
	pins := pinNames(p)
	for _, pin := range sortedKeys(p.Tags) {
		if pins[pin] {
			o.text(pin, p.Tags[pin])
		}
	}
	return o.String()
}

func wire(w *model.Wire) string {
	var o object
	o.put("points", list(w.Points, point))
	o.text("tag", w.Tag)
	o.text("doubt", string(w.Doubt))
	o.extra(w.Extra)
	return o.String()
}

func mode(m *model.Mode, parts map[string]*model.Part) string {
	var o, set object
	for _, target := range sortedKeys(m.Set) {
		if wrongSetting(parts, target, m.Set[target]) == "" {
			set.put(target, quote(m.Set[target]))
		}
	}
	o.put("name", quote(m.Name))
	o.put("set", set.String())
	if _, err := model.ReadDaily(m.EachDay); err == nil {
		o.text("each_day", m.EachDay)
	}
	o.text("note", m.Note)
	o.extra(m.Extra)
	return o.String()
}

func point(p geom.Point) string {
	return "[" + strconv.Itoa(p.X) + "," + strconv.Itoa(p.Y) + "]"
}

func params(p model.Params) string {
	var o object
	for _, name := range p.Names() {
		if v := p[name]; v.IsSet() {
			o.put(name, value(v))
		}
	}
	return o.String()
}

// value returns v as JSON text: null for a number that JSON cannot hold, which
// Decode refuses at its place.
func value(v model.Value) string {
	if s, ok := v.Text(); ok {
		return quote(s)
	}
	if x, ok := v.Num(); ok && (math.IsNaN(x) || math.IsInf(x, 0)) {
		return "null"
	}
	return v.String()
}
