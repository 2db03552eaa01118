package analysis

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"

	"copperglass/model"
	"copperglass/model/quantity"
)

var errUnsolved = errors.New("the circuit is not solved; see what stands in its way")

// Quantity returns the quantity of that name, in SI units, of a drawing and
// its result: net.NAME.volts, REF.PIN.amps, REF.watts, REF.NAME for a
// parameter or a figure of the part, or drawing.NAME; REF#N is the Nth part of a
// stack. The volts of a net that floats are NaN.
func Quantity(r *Result, d *model.Diagram, name string) (float64, error) {
	g, err := NewGauge(r, d, name)
	if err != nil {
		return 0, err
	}
	if g.solved && !r.Solved {
		return 0, errUnsolved
	}
	return g.Read(r), nil
}

// Gauge reads one quantity from one result of a drawing after another. It has
// looked the names up and allocates nothing.
type Gauge struct {
	Name   string        // as for Quantity
	Unit   quantity.Unit // of what it reads
	read   func(*Result) float64
	solved bool // whether there is something to read only where the circuit is solved
}

// Read returns the quantity in SI units, NaN where nothing determines it or the
// circuit is not solved.
func (g *Gauge) Read(r *Result) float64 { return g.read(r) }

// NewGauge returns the gauge of the quantity of that name, named as for
// Quantity, for results of d like r: with the same parts joined in the same
// way.
func NewGauge(r *Result, d *model.Diagram, name string) (*Gauge, error) {
	g := &Gauge{Name: name}
	return g, g.find(r, d)
}

// find looks up what the gauge's name stands for.
func (g *Gauge) find(r *Result, d *model.Diagram) error {
	if rest, ok := strings.CutPrefix(g.Name, "net."); ok {
		if netName, ok := strings.CutSuffix(rest, ".volts"); ok {
			return g.ofNet(r, netName)
		}
	}
	ref, what, ok := strings.Cut(g.Name, ".")
	switch {
	case !ok || what == "":
		return fmt.Errorf("%q is no quantity; write net.NAME.volts, REF.PIN.amps, REF.watts or REF.NAME", g.Name)
	case ref == model.Drawing:
		return g.ofDrawing(r, d, what)
	case d.Part(ref) == nil && Stack(d, ref) != nil:
		return g.ofOne(r, d, Stack(d, ref), what)
	case d.Part(ref) == nil:
		return fmt.Errorf("%s: there is no part %s", g.Name, ref)
	}
	if pin, ok := strings.CutSuffix(what, ".amps"); ok {
		return g.ofPin(r, ref, pin)
	}
	if what == "watts" {
		return g.ofPower(r, ref)
	}
	return g.ofPart(r, d.Part(ref), d, what)
}

// Stack returns the part of which REF#N names one among its like, nil where ref
// names no such thing.
func Stack(d *model.Diagram, ref string) *model.Part {
	whole, number, ok := strings.Cut(ref, "#")
	n, err := strconv.Atoi(number)
	if p := d.Part(whole); ok && err == nil && p != nil && n >= 1 && n <= p.Multiple() {
		return p
	}
	return nil
}

// ofOne reads a quantity of one part of a stack: they are alike, so of currents
// and powers each has its share.
func (g *Gauge) ofOne(r *Result, d *model.Diagram, p *model.Part, what string) error {
	whole, err := NewGauge(r, d, p.Ref+"."+what)
	if err != nil {
		return err
	}
	n := shares(p, what)
	g.Unit, g.solved = whole.Unit, whole.solved
	g.read = func(r *Result) float64 { return whole.read(r) / n }
	return nil
}

// shares is among how many a quantity of a stack is shared: its currents and
// powers are.
func shares(p *model.Part, what string) float64 {
	if strings.HasSuffix(what, ".amps") || what == "watts" {
		return float64(p.Multiple())
	}
	return 1
}

func (g *Gauge) ofNet(r *Result, name string) error {
	n := r.Nets.Find(name)
	if n < 0 {
		return fmt.Errorf("there is no net %s", name)
	}
	g.Unit, g.solved = quantity.Volt, true
	g.read = func(r *Result) float64 { return r.Volts[n] }
	return nil
}

func (g *Gauge) ofPin(r *Result, ref, pin string) error {
	p := r.Parts[ref]
	if p == nil {
		return fmt.Errorf("%s carries no current", ref)
	}
	if p.Pin(pin) == nil {
		return fmt.Errorf("%s has no pin %s", ref, pin)
	}
	g.Unit, g.solved = quantity.Ampere, true
	g.read = func(r *Result) float64 { return r.Parts[ref].Pin(pin).Amps }
	return nil
}

func (g *Gauge) ofPower(r *Result, ref string) error {
	if r.Parts[ref] == nil {
		return fmt.Errorf("%s takes no power", ref)
	}
	g.Unit, g.solved = quantity.Watt, true
	g.read = func(r *Result) float64 { return r.Parts[ref].Power }
	return nil
}

// ofPart looks among the part's parameters and then among its figures.
func (g *Gauge) ofPart(r *Result, p *model.Part, d *model.Diagram, name string) error {
	values, _ := d.Resolve(p, r.Set)
	if v, ok := values[name]; ok {
		return g.ofParameter(p, d, name, v)
	}
	if q := r.Parts[p.Ref]; q != nil {
		if p.Kind == "battery" && "."+name == runTimeSuffix {
			g.Unit, g.solved = quantity.Hour, true
			g.read = func(r *Result) float64 { return runTime(d, p, r) }
			return nil
		}
		if name == "forced_beta" {
			g.read = func(r *Result) float64 { return r.Parts[p.Ref].ForcedBeta }
			return nil
		}
		for _, f := range q.Figures {
			if f.Name == name {
				g.Unit = f.Unit
				g.read = func(r *Result) float64 { return r.Parts[p.Ref].Figure(name) }
				return nil
			}
		}
	}
	return fmt.Errorf("%s has no quantity %s", p.Ref, name)
}

func (g *Gauge) ofParameter(p *model.Part, d *model.Diagram, name string, v model.Value) error {
	if _, ok := v.Num(); !ok {
		return fmt.Errorf("%s.%s is %v, which is no number", p.Ref, name, v)
	}
	if q := p.LookupKind().Param(name); q != nil {
		g.Unit = q.Unit
	}
	g.read = func(r *Result) float64 {
		if r.circuit != nil {
			return r.circuit.byRef[p.Ref].values.Num(name)
		}
		values, _ := d.Resolve(p, r.Set)
		return values.Num(name)
	}
	return nil
}

func (g *Gauge) ofDrawing(r *Result, d *model.Diagram, name string) error {
	q := model.DrawingParam(name)
	if q == nil {
		return fmt.Errorf("the drawing has no quantity %s", name)
	}
	g.Unit = q.Unit
	g.read = func(r *Result) float64 { return drawingQuantity(r.Set, d, q) }
	if math.IsNaN(g.read(r)) {
		return fmt.Errorf("drawing.%s is no number", name)
	}
	return nil
}

// drawingQuantity returns a quantity of the drawing, NaN where it is no number.
func drawingQuantity(set model.Setting, d *model.Diagram, q *model.Param) float64 {
	for _, v := range [3]model.Value{set[model.Drawing][q.Name], d.Params[q.Name], q.Default} {
		if x, ok := v.Num(); ok {
			return x
		}
	}
	return math.NaN()
}
