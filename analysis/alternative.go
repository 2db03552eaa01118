package analysis

import (
	"context"
	"math"

	"copperglass/analysis/newton"
	"copperglass/model"
	"copperglass/model/net"
)

const (
	// mostForced bounds the transistors that are forced in the search for other
	// operating points.
	mostForced = 16
	// forcing is the conductance in siemens that forces a transistor.
	forcing = 10
	// apart is by how many volts some net must differ between two operating
	// points, beside a thousandth of its voltage.
	apart = 0.01
)

// Alternatives returns stable operating points of d other than r, where the
// circuit has some: a latch or a trigger stays in the one it was last in. Each
// names the transistors that do something else than in r in a fault that does
// not stop the analysis; as Options.Start it keeps later solutions on its
// side.
//
// Each transistor in turn is forced into the opposite of what it does, by a
// short circuit of its control or of its switched path, and the circuit is left
// to settle from there. That is a search, not a proof that there are no more.
// The error is the context's.
func Alternatives(ctx context.Context, d *model.Diagram, r *Result) ([]*Result, error) {
	if !r.Solved {
		return nil, nil
	}
	c, fixed := recompile(d, r.Nets, r.Set)
	var forced []*part
	for _, p := range c.parts {
		if transistorForce(p, Active) != nil {
			forced = append(forced, p)
		}
	}
	if len(forced) < 2 || len(forced) > mostForced {
		return nil, nil
	}
	var found []*Result
	for _, p := range forced {
		other, err := r.force(ctx, c, fixed, p)
		if err != nil {
			return nil, err
		}
		if other != nil && !isAmong(other, append(found, r)) {
			other.Faults = append(faults{r.contrast(other)}, other.Faults...).sorted()
			found = append(found, other)
		}
	}
	return found, nil
}

// recompile builds the circuit of a drawing again that has been solved before.
func recompile(d *model.Diagram, nets *net.Netlist, set model.Setting) (*circuit, []int) {
	c, _ := compile(d, nets, set)
	fixed, _ := c.reference()
	c.strandedSources()
	return c, fixed
}

// transistorForce returns a conductor that makes the part's transistor do the
// opposite of the state, nil where it has none.
func transistorForce(p *part, s State) *conductor {
	for _, e := range p.elements {
		switch q := e.(type) {
		case *bipolar:
			if s == CutOff {
				return &conductor{ends: ends{a: q.collector, b: q.emitter}, siemens: forcing}
			}
			return &conductor{ends: ends{a: q.base, b: q.emitter}, siemens: forcing}
		case *fieldEffect:
			if s == CutOff {
				return &conductor{ends: ends{a: q.drain, b: q.source}, siemens: forcing}
			}
			return &conductor{ends: ends{a: q.gate, b: q.source}, siemens: forcing}
		}
	}
	return nil
}

// force returns where the circuit settles once p is no longer forced; nil where
// it does not.
func (r *Result) force(ctx context.Context, c *circuit, fixed []int, p *part) (*Result, error) {
	own := p.elements
	p.elements = append(own[:len(own):len(own)], transistorForce(p, r.Parts[p.Ref].State))
	x, stats := newton.Solve(ctx, newSystem(c, fixed), newton.Point{}, newton.Settings{})
	p.elements = own
	if stats.Status != newton.Converged {
		return nil, ctx.Err()
	}
	other := &Result{Mode: r.Mode, Set: r.Set, Nets: r.Nets}
	other.blank(c)
	settled, stats := newton.Solve(ctx, newSystem(c, fixed), x, newton.Settings{Settle: true})
	if stats.Status != newton.Converged {
		return nil, ctx.Err()
	}
	other.Method, other.Iterations = stats.Method, stats.Iterations
	found := other.verify(other.report(c, settled, stats.Open))
	if found.stop() {
		return nil, nil
	}
	other.Solved, other.Faults = true, c.openFaults(stats.Open)
	return other, nil
}

// isAmong reports whether r is one of the results, as far as voltages tell.
func isAmong(r *Result, results []*Result) bool {
	for _, q := range results {
		same := true
		for n, v := range r.Volts {
			w := q.Volts[n]
			same = same && !(math.Abs(v-w) > apart+1e-3*math.Abs(v))
		}
		if same {
			return true
		}
	}
	return false
}

// contrast says what is otherwise in another operating point.
func (r *Result) contrast(other *Result) Fault {
	f := Fault{Text: "the circuit has another steady state, and stays in the one it was last in"}
	var states []string
	for ref, p := range other.Parts {
		if was := r.Parts[ref]; was != nil && p.State != was.State {
			f.Parts = append(f.Parts, ref)
		}
	}
	f.Parts = sortedNames(f.Parts)
	for _, ref := range f.Parts {
		states = append(states, ref+" is "+other.Parts[ref].StateInWords()+" instead of "+r.Parts[ref].StateInWords())
	}
	if len(states) > 0 {
		f.Text = "in another steady state of the circuit " + list(states) + "; it stays in the one it was last in"
	}
	return f
}
