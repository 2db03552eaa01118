package file

import (
	"fmt"
	"io"
	"slices"

	"copperglass/model"
)

// Decode reads a drawing. The error is an Errors that lists every fault, and
// the diagram is nil then; or it is the reader's own error.
func Decode(r io.Reader) (*model.Diagram, error) {
	data, err := io.ReadAll(io.LimitReader(r, MaxBytes+1))
	if err != nil {
		return nil, err
	}
	if len(data) > MaxBytes {
		return nil, Errors{{Text: fmt.Sprintf("the file has more than %d MiB, which no drawing needs", MaxBytes>>20)}}
	}
	return decode(data)
}

func decode(data []byte) (*model.Diagram, error) {
	v, fault := parse(data)
	if fault != nil {
		return nil, Errors{*fault}
	}
	d := decoder{}
	g := d.drawing(v)
	if len(d.faults) > 0 {
		return nil, d.listed()
	}
	return g, nil
}

// decoder gathers what is wrong while it reads.
type decoder struct {
	faults  Errors
	entries int
	stopped bool // a limit is passed; nothing more is looked at
}

func (d *decoder) fault(at *place, format string, args ...any) {
	if d.stopped {
		return
	}
	d.faults = append(d.faults, Fault{at.String(), fmt.Sprintf(format, args...)})
	d.stopped = len(d.faults) == MaxFaults
}

// faulty reports whether a fault has been found right there.
func (d *decoder) faulty(at *place) bool {
	where := at.String()
	return slices.ContainsFunc(d.faults, func(f Fault) bool { return f.Path == where })
}

// listed returns the faults in order, and says so where there may be more.
func (d *decoder) listed() Errors {
	d.faults.sort()
	if len(d.faults) < MaxFaults {
		return d.faults
	}
	return append(d.faults, Fault{Text: fmt.Sprintf("only the first %d faults are listed", MaxFaults)})
}

// stop reports a passed limit and ends the reading.
func (d *decoder) stop(at *place, format string, args ...any) {
	d.fault(at, format, args...)
	d.stopped = true
}

// enter counts one more thing to hold and reports whether to go on.
func (d *decoder) enter(at *place) bool {
	if d.entries++; d.entries > MaxEntries {
		d.stop(at, "the drawing holds more than %d keys and values", MaxEntries)
	}
	return !d.stopped
}

// drawing reads the whole file. Its result is of use only where there are no
// faults.
func (d *decoder) drawing(v raw) *model.Diagram {
	root := &place{}
	g := &model.Diagram{}
	if !d.header(root, v) {
		return g
	}
	g.Extra = d.object(root, v, func(key string, at *place, v raw) bool {
		switch key {
		case "format", "version":
		case "title":
			g.Title = d.text(at, v)
		case "who":
			g.Block.Who = d.text(at, v)
		case "date":
			g.Block.Date = d.text(at, v)
		case "revision":
			g.Block.Revision = d.text(at, v)
		case "params":
			g.Params = d.params(at, v)
		case "parts":
			d.list(at, v, MaxParts, func(at *place, v raw) { g.Parts = append(g.Parts, d.part(at, v)) })
		case "wires":
			d.list(at, v, MaxWires, func(at *place, v raw) { g.Wires = append(g.Wires, d.wire(at, v)) })
		case "modes":
			d.list(at, v, MaxModes, func(at *place, v raw) { g.Modes = append(g.Modes, d.mode(at, v)) })
		case "what_ifs":
			d.list(at, v, MaxModes, func(at *place, v raw) { g.WhatIfs = append(g.WhatIfs, d.whatIf(at, v)) })
		case "muted":
			d.list(at, v, MaxParts, func(at *place, v raw) { g.Muted = append(g.Muted, d.mute(at, v)) })
		case "story":
			d.list(at, v, MaxModes, func(at *place, v raw) { g.Story = append(g.Story, d.step(at, v)) })
		default:
			return false
		}
		return true
	})
	d.number(g)
	d.checkDrawing(root, g)
	return g
}

// number gives the wires their identities.
func (d *decoder) number(g *model.Diagram) {
	for i, w := range g.Wires {
		w.ID = model.WireID(i + 1)
	}
}

// header reports whether the file is a drawing of a version that can be read.
// What else is wrong with another file is not worth telling.
func (d *decoder) header(root *place, v raw) bool {
	if !v.isObject() {
		d.fault(root, "a drawing is an object, but this file holds %s", v.description())
		return false
	}
	var format, version raw
	for k, value := range v.members() {
		switch string(k) {
		case `"format"`:
			format = value
		case `"version"`:
			version = value
		}
	}
	return d.checkFormat(root.in("format"), format) && d.checkVersion(root.in("version"), version)
}

func (d *decoder) checkFormat(at *place, v raw) bool {
	switch {
	case v == nil:
		d.fault(at, "this is not a drawing, which has %q here", Format)
	case !v.isString() || v.text() != Format:
		d.fault(at, "this is not a drawing, which has %q here and not %s", Format, short(string(v)))
	default:
		return true
	}
	return false
}

func (d *decoder) checkVersion(at *place, v raw) bool {
	if v == nil {
		d.fault(at, "the version is missing, which should be %d", Version)
		return false
	}
	n, ok := d.integer(at, v, 1, MaxCoordinate)
	if ok && n > Version {
		d.fault(at, "the drawing is of version %d, but this program reads up to version %d; it takes a newer program to open it", n, Version)
	}
	return ok && n <= Version
}

// wire reads one wire.
func (d *decoder) wire(at *place, v raw) *model.Wire {
	w := &model.Wire{}
	w.Extra = d.object(at, v, func(key string, at *place, v raw) bool {
		switch key {
		case "points":
			d.list(at, v, MaxEntries, func(at *place, v raw) { w.Points = append(w.Points, d.point(at, v)) })
		case "tag":
			w.Tag = d.text(at, v)
		case "doubt":
			w.Doubt = d.doubt(at, v)
		default:
			return false
		}
		return true
	})
	if v.isObject() && len(w.Points) < 2 {
		d.fault(at.in("points"), "a wire needs two points or more, but this one has %d", len(w.Points))
	}
	return w
}

// mode reads one mode.
func (d *decoder) mode(at *place, v raw) *model.Mode {
	m := &model.Mode{}
	m.Extra = d.object(at, v, func(key string, at *place, v raw) bool {
		switch key {
		case "name":
			m.Name = d.text(at, v)
		case "set":
			m.Set = d.texts(at, v)
		case "each_day":
			m.EachDay = d.text(at, v)
		case "note":
			m.Note = d.text(at, v)
		default:
			return false
		}
		return true
	})
	if v.isObject() && m.Name == "" {
		d.fault(at.in("name"), "the mode has no name")
	}
	return m
}
