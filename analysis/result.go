// Package analysis computes what a drawn circuit does: it turns a diagram into
// equations, solves them, checks the solution against Kirchhoff's laws and
// hands it back in the drawing's own terms.
package analysis

import (
	"math"
	"time"

	"copperglass/analysis/newton"
	"copperglass/model"
	"copperglass/model/geom"
	"copperglass/model/net"
	"copperglass/model/quantity"
)

// Result is one operating point.
type Result struct {
	Mode   string        // name of the mode it holds for, empty where the drawing has none
	Set    model.Setting // what the mode and the caller set for it
	Nets   *net.Netlist
	Volts  []float64 // by net number; NaN where the net floats or nothing was solved
	Parts  map[string]*PartResult
	Faults []Fault // sorted; the circuit is solved unless one of them Stops

	// Number is that of this stable state where the circuit was found to have
	// several, from 1; 0 otherwise. Others are the other ones, in order. See
	// enumerate for what it goes by.
	Number int
	Others []*Result
	// MayBeMore tells that the search for them was stopped before it was through.
	MayBeMore bool

	Solved          bool
	Method          string  // how it was found, in words
	Iterations      int     // of Newton's method, over all attempts
	ResidualCurrent float64 // largest sum of currents at any net, A
	PowerBalance    float64 // sum of the powers absorbed by all parts, W
	Elapsed         time.Duration

	circuit *circuit      // what was solved
	refused *circuit      // what was not solved
	ordered []*PartResult // Parts in the order of the circuit's
	point   newton.Point
	open    []int  // unknowns that the equations leave open
	notes   faults // what was found before anything was solved
	latches bool   // whether the circuit might have several stable states
	swings  bool   // whether it does not rest at this one, nor at any other that was found near
}

// Restless reports whether the circuit swings about this point without end, so
// that the figures are neither averages nor peaks; one of the Faults says so.
func (r *Result) Restless() bool { return r.swings }

// PartResult is what one part does. Of a stack, currents and power are the
// whole stack's.
type PartResult struct {
	Kind       string
	Count      int         // parts in parallel, at least 1
	Pins       []PinResult // in the order of the kind's pins
	Power      float64     // absorbed, W
	State      State       // of a transistor; empty for other kinds and where its gate floats
	ForcedBeta float64     // collector current over base current; NaN where there is no base current to speak of, or no base
	Figures    []Figure    // what else is worth knowing of it
}

// PinResult is one pin's net and the current into the part there.
type PinResult struct {
	Name string
	Net  int
	Amps float64
}

// Figure is a named quantity of a part, in SI units.
type Figure struct {
	Name  string // as the machine output has it: "open_circuit_voltage"
	Title string // as people read it: "Open-circuit voltage"
	Value float64
	Unit  quantity.Unit
}

// State is what a transistor is doing.
type State string

// The working states of a transistor.
const (
	CutOff    State = "cut-off"   // off
	Active    State = "active"    // the control sets the current
	Saturated State = "saturated" // fully on: the circuit around it sets the current
	Reverse   State = "reverse"   // it carries current the wrong way round
)

// StateInWords returns the state as it is said of that kind of transistor. Of
// a MOSFET "saturated" would mislead: its textbooks use the word otherwise.
func (p *PartResult) StateInWords() string {
	if p.Kind == "nmos" || p.Kind == "pmos" {
		switch p.State {
		case Active:
			return "partly on"
		case Saturated:
			return "fully on"
		}
	}
	return string(p.State)
}

// Figure returns the figure called name, NaN where the part has none.
func (p *PartResult) Figure(name string) float64 {
	for _, f := range p.Figures {
		if f.Name == name {
			return f.Value
		}
	}
	return math.NaN()
}

// Pin returns the pin called name, or nil.
func (p *PartResult) Pin(name string) *PinResult {
	for i := range p.Pins {
		if p.Pins[i].Name == name {
			return &p.Pins[i]
		}
	}
	return nil
}

// Fault is something about the drawing that stands in the way of its analysis,
// or that its reader should know before believing a figure.
type Fault struct {
	Text  string      // one sentence that names the place and says what to do
	Stops bool        // whether nothing can be solved while it is there
	Parts []string    // the parts it is about, in natural order
	Nets  []int       // the nets it is about
	Wires []int       // places in the diagram's list of wires
	At    *geom.Point // where on the sheet, if it is in one place

	Restless   bool // whether it is that the circuit swings without end; see Result.Restless
	Unfinished bool // whether it is of a drawing under way: an end that leads nowhere yet, a net that hangs on nothing yet
}
