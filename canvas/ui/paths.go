package ui

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/driver/desktop"

	"copperglass/analysis"
	"copperglass/canvas/scene"
	"copperglass/model"
	"copperglass/model/quantity"
)

// pathOffers are the ways to light what switches a transistor, and what it
// switches.
func (in *inspector) pathOffers(p *model.Part) []offer {
	switch p.Kind {
	case "npn", "pnp", "nmos", "pmos":
	default:
		return nil
	}
	word := controlWord(p)
	return []offer{
		{"Light the " + word + " path", "The way of what switches it stands out on the sheet, all else stands back.", func() topic { return in.pathTopic(p.Ref, false) }},
		{"Light the load path", "The way of the current that it switches stands out on the sheet, all else stands back.", func() topic { return in.pathTopic(p.Ref, true) }},
	}
}

// controlWord names the pin by which a transistor is switched.
func controlWord(p *model.Part) string {
	if strings.HasSuffix(p.Kind, "mos") {
		return "gate"
	}
	return "base"
}

// pathTopic lights the control path of a transistor or that of its load, and
// tells where it goes.
func (in *inspector) pathTopic(ref string, load bool) topic {
	title := "The load path of " + ref
	if p := in.doc.Shown().Part(ref); p != nil && !load {
		title = "The " + controlWord(p) + " path of " + ref
	}
	light := func() { in.doc.Light(in.pathOf(ref, load).Parts...) }
	return topic{key: fmt.Sprint("path ", ref, load), title: title, enter: light, leave: func() { in.doc.Light() }, build: func(p *page) {
		p.dynamic(func() string { return "path" + in.pathWords(ref, load) }, func() []fyne.CanvasObject {
			other := "Light the load path"
			if q := in.doc.Shown().Part(ref); load && q != nil {
				other = "Light the " + controlWord(q) + " path"
			}
			return []fyne.CanvasObject{
				container.New(atLeast{height: 56}, paragraph(in.pathWords(ref, load), in.width, textSize, in.look.Ink)), gap(10),
				p.action(other, "The other of the transistor’s two paths.", func() { in.ask(in.pathTopic(ref, !load)) }),
			}
		})
		p.onRefresh(light)
	}}
}

// pathOf is a path of a transistor in the chosen mode; of one that does not
// conduct only the transistor itself.
func (in *inspector) pathOf(ref string, load bool) scene.Path {
	find := scene.ControlPath
	if load {
		find = scene.LoadPath
	}
	if p, ok := find(in.doc.Shown(), in.doc.Result(), ref); ok {
		return p
	}
	return scene.Path{Parts: []string{ref}}
}

// pathWords tells in a sentence where a path goes.
func (in *inspector) pathWords(ref string, load bool) string {
	d, r := in.doc.Shown(), in.doc.Result()
	q := d.Part(ref)
	if q == nil || r == nil || !r.Solved || r.Parts[ref] == nil {
		return "The circuit is not solved, so there is no current to follow."
	}
	one := r.Parts[ref]
	if one.State == analysis.CutOff {
		return fmt.Sprintf("%s is cut-off%s: nothing flows that is worth following.", ref, inThisMode(in.doc.Mode()))
	}
	path := in.pathOf(ref, load)
	if len(path.Parts) < 2 {
		return "No single way can be told: what flows here parts into branches of which none has half of it."
	}
	if path.Amps == 0 {
		return gateWords(r, one, path.Parts, ref)
	}
	return currentWords(q, one, path, load)
}

func inThisMode(mode string) string {
	if mode == "" {
		return ""
	}
	return " in " + mode
}

// gateWords tell what holds a gate, into which no current goes.
func gateWords(r *analysis.Result, q *analysis.PartResult, parts []string, ref string) string {
	held := slices.DeleteFunc(slices.Clone(parts), func(p string) bool { return p == ref })
	volts := r.Volts[q.Pin("G").Net] - r.Volts[q.Pin("S").Net]
	side := "above"
	if volts < 0 {
		side = "below"
	}
	verb := "hold"
	if len(held) == 1 {
		verb = "holds"
	}
	return fmt.Sprintf("No current enters the gate of %s: %s %s it %s %s its source.", ref, listed(held), verb, quantity.Format(math.Abs(volts), quantity.Volt), side)
}

// currentWords tell which way a current goes round.
func currentWords(q *model.Part, r *analysis.PartResult, path scene.Path, load bool) string {
	name, pin, to := "base current", "base", "emitter"
	switch field := strings.HasSuffix(q.Kind, "mos"); {
	case load && field:
		name, pin, to = "load current", "drain", "source"
	case load:
		name, pin = "load current", "collector"
	}
	letter := strings.ToUpper(pin[:1])
	if r.Pin(letter).Amps < 0 {
		pin, to = to, pin
	}
	names := slices.Clone(path.Parts)
	for i, ref := range names {
		if ref == q.Ref {
			names[i] = fmt.Sprintf("%s (%s to %s)", ref, pin, to)
		}
	}
	return fmt.Sprintf("The %s of %s goes from %s through %s, and back to %s.", name, quantity.Solved(path.Amps, quantity.Ampere), names[0], listed(names[1:]), names[0])
}

// listed joins names as in a sentence.
func listed(names []string) string {
	if len(names) < 2 {
		return strings.Join(names, "")
	}
	return strings.Join(names[:len(names)-1], ", ") + " and " + names[len(names)-1]
}

// glimpse is an explained object that lights a part while the pointer is on it.
type glimpse struct {
	hinted
	light func(on bool)
}

func newGlimpse(in *inspector, help, ref string, content fyne.CanvasObject) fyne.CanvasObject {
	g := &glimpse{hinted: hinted{hint: hint{in.tips, help}, content: content}, light: func(on bool) { in.doc.Glimpse(ref, on) }}
	g.ExtendBaseWidget(g)
	return g
}

// MouseIn lights the part.
func (g *glimpse) MouseIn(e *desktop.MouseEvent) {
	g.hint.MouseIn(e)
	g.light(true)
}

// MouseOut ends that.
func (g *glimpse) MouseOut() {
	g.hint.MouseOut()
	g.light(false)
}
