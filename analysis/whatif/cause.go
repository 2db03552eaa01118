package whatif

import (
	"context"
	"fmt"
	"math"
	"strings"

	"copperglass/analysis"
	"copperglass/analysis/drain"
	"copperglass/analysis/review"
	"copperglass/model"
	"copperglass/model/quantity"
)

// Causes are the influences on a quantity with a sentence of what they come to.
type Causes struct {
	*analysis.Influences
	Sentence string // "" where there is nothing to say
}

// Explain tells what sets a quantity, named as for analysis.Influence or with
// LastsSuffix, and fails as that or Lasting does.
func Explain(ctx context.Context, d *model.Diagram, o analysis.Options, of string) (*Causes, error) {
	if ref, ok := strings.CutSuffix(of, LastsSuffix); ok {
		return Lasting(ctx, d, drain.Options{Mode: o.Mode, Set: o.Set}, ref, nil)
	}
	all, err := analysis.Influence(ctx, d, o, of)
	if err != nil {
		return nil, err
	}
	c := &Causes{Influences: all}
	if all.Result.Solved {
		c.Sentence = c.steady() + c.limits(ctx, d) + c.strongest(d)
	}
	return c, ctx.Err()
}

// Leaks reports whether the quantity is a current so small that nobody means it.
func (c *Causes) Leaks() bool {
	const leak = 1e-8 // A
	return c.Unit == quantity.Ampere && math.Abs(c.Value) < leak
}

// steady says of a run time at the present current that it is that.
func (c *Causes) steady() string {
	ref, is := strings.CutSuffix(c.Of, ".run_time_hours")
	if !is {
		return ""
	}
	return "That would be so if the current stayed as it is now; " + ref + LastsSuffix + " follows it as the cells run down. "
}

// limits say what limits a current: "Limited by the LEDs' own resistance
// (61 %), the cells of BT1 (17 %) and others (22 %); R4 is a link and limits
// nothing. "
func (c *Causes) limits(ctx context.Context, d *model.Diagram) string {
	ref, what, _ := strings.Cut(c.Of, ".")
	ref, _, _ = strings.Cut(ref, "#")
	if !strings.HasSuffix(what, ".amps") || d.Part(ref) == nil || c.Leaks() {
		return ""
	}
	text := "Limited by " + review.Limiting(ctx, d, c.Influences, ref)
	switch links := review.Links(ctx, d, c.Influences, ref); len(links) {
	case 0:
	case 1:
		text += "; " + links[0] + " is a link and limits nothing"
	default:
		text += "; " + strings.Join(links, ", ") + " are links and limit nothing"
	}
	return text + ". "
}

// strongest says which of the values that a person chooses moves it most.
func (c *Causes) strongest(d *model.Diagram) string {
	if c.Leaks() {
		return ""
	}
	for _, s := range c.List {
		ref, name, _ := strings.Cut(s.Parameter, ".")
		p := d.Part(ref)
		if p == nil || strings.HasSuffix(name, "temperature") || Inner(p.Kind, name) || !(math.Abs(s.Relative) >= 0.01) {
			continue
		}
		more := "more"
		switch {
		case c.Unit == quantity.Hour && s.Relative < 0:
			more = "fewer hours"
		case c.Unit == quantity.Hour:
			more = "more hours"
		case s.Relative < 0:
			more = "less"
		}
		return fmt.Sprintf("The strongest lever is %s’s %s: 1 %% more of it makes %s %% %s.", ref, strings.ReplaceAll(name, "_", " "), quantity.Short(math.Abs(s.Relative), quantity.None), more)
	}
	return ""
}

// Inner reports whether a quantity of a kind is one of the constants of a
// junction's curve, which nobody chooses or reads off the part.
func Inner(kind, name string) bool {
	switch kind {
	case "led", "diode":
		return name != "temperature"
	case "npn", "pnp":
		return name != "temperature" && name != "forward_beta"
	}
	return false
}

// Junction is the curve of a part's junction: its voltage as one quantity in the
// place of the constants that make it.
type Junction struct {
	Name    string  // "forward voltage", "base–emitter voltage"
	Volts   float64 // at the operating point
	Percent float64 // by which the quantity moves for 1 % more of them
}

// Junctions are the curves that do anything, by part.
func (c *Causes) Junctions(d *model.Diagram) map[string]Junction {
	all := map[string]Junction{}
	for _, p := range d.Parts {
		if j, ok := c.Curve(d, p.Ref); ok {
			all[p.Ref] = j
		}
	}
	return all
}

// Curve is what a shift of a part's whole curve by 1 % of its voltage does; false
// where the part is no junction or the curve does nothing. With I = I_S exp(V/nV_T)
// a shift by δ is I_S falling by δ/(nV_T) of itself, so
//
//	∂Q/∂V = −(I_S ∂Q/∂I_S)/(n V_T)
func (c *Causes) Curve(d *model.Diagram, ref string) (Junction, bool) {
	p, q := d.Part(ref), c.Result.Parts[ref]
	if p == nil || q == nil {
		return Junction{}, false
	}
	j, from, to, emission := Junction{Name: "forward voltage"}, "A", "K", "emission_coefficient"
	switch p.Kind {
	case "led", "diode":
	case "npn", "pnp":
		j.Name, from, to, emission = "base–emitter voltage", "B", "E", "forward_emission"
	default:
		return Junction{}, false
	}
	v, _ := d.Resolve(p, c.Result.Set)
	j.Volts = math.Abs(c.Result.Volts[q.Pin(from).Net] - c.Result.Volts[q.Pin(to).Net])
	for _, s := range c.List {
		if s.Parameter == ref+".saturation_current" {
			j.Percent = -s.Relative * j.Volts / (v.Num(emission) * model.ThermalVoltage(v.Num("reference_temperature")))
		}
	}
	return j, j.Percent != 0 && !math.IsNaN(j.Percent)
}
