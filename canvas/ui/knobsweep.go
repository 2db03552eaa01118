package ui

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"copperglass/analysis"
	"copperglass/canvas/chart"
	"copperglass/model"
	"copperglass/model/quantity"
)

// tracing is the picture of what quantities do over the whole way of a knob.
type tracing struct {
	of   []sought
	seen memo[*trace]
}

// trace is what they do.
type trace struct {
	sweep  *analysis.SweepResult
	of     string       // the transistor that changes most, "" where none does
	states []chart.Band // that it goes through
}

const (
	mostTraced  = 4   // quantities in one picture
	tracePoints = 121 // over the scale
	traceHeight = 166 // of one panel
)

// usualTrace is what the picture begins with: the main load, and what the part
// itself takes where that says something.
func (k *knob) usualTrace() []sought {
	var list []sought
	if k.aim.of.of != "" {
		list = append(list, k.aim.of)
	}
	if k.heats() {
		list = append(list, sought{k.ref + ".watts", 1, quantity.Watt})
	}
	return list
}

// traced adds the picture and the choice of what is in it.
func (k *knob) traced(p *page) {
	in := k.in
	p.heading("Over its whole way")
	p.dynamic(k.rowsKey, func() []fyne.CanvasObject { return k.traceRows(p) })
	p.dynamic(k.traceKey, func() []fyne.CanvasObject {
		t, done, err := k.look()
		switch {
		case len(k.trace.of) == 0:
			return nil
		case !done:
			return []fyne.CanvasObject{p.waiting()}
		case err != nil:
			return []fyne.CanvasObject{paragraph(sentence(err.Error()), in.width, textSize, in.look.Flag)}
		case t.sweep.Solved() == 0 && len(t.sweep.Faults) > 0:
			return []fyne.CanvasObject{paragraph(sentence(t.sweep.Faults[0].Text), in.width, textSize, in.look.Flag)}
		}
		lines := []fyne.CanvasObject{gap(4), newPlot(k.picture(t), in.width, traceHeight)}
		if t.of != "" {
			lines = append(lines, gap(4), paragraph("The shades tell what "+t.of+" is: "+t.stateWords()+".", in.width, smallSize, in.look.Quiet))
		}
		return lines
	})
}

// rowsKey changes with what stands in the rows.
func (k *knob) rowsKey() string {
	key := "rows"
	for _, s := range k.trace.of {
		key += "\x00" + s.words() + s.figure(s.in(k.in.doc.Shown(), k.in.doc.Result()))
	}
	return key
}

// traceRows are the quantities with what they are now; a click takes one out.
func (k *knob) traceRows(p *page) []fyne.CanvasObject {
	in, t := k.in, &k.trace
	var lines []fyne.CanvasObject
	for i, s := range t.of {
		line := in.tableLine(row{name: sentenceStart(s.words()), figure: s.figure(s.in(in.doc.Shown(), in.doc.Result()))})
		area := newTapArea(line, func() {
			t.of = slices.Delete(slices.Clone(t.of), i, i+1)
			in.refresh()
		})
		lines = append(lines, newHinted(in.tips, "What it is where the knob is now. A click takes it out of the picture.", area), gap(4))
	}
	if len(t.of) < mostTraced {
		lines = append(lines, p.action("Add a quantity…", "Up to four are in one picture.", func() {
			in.seek("Which quantity?", func(s sought) { t.of = append(slices.Clone(t.of), s) })
		}))
	}
	return []fyne.CanvasObject{container.New(column{}, lines...)}
}

// look is what the quantities do, if it is known yet.
func (k *knob) look() (*trace, bool, error) {
	var names []string
	for _, s := range k.trace.of {
		names = append(names, s.of)
	}
	mode, scale, name := k.in.doc.Mode(), k.scale, k.name()
	key := fmt.Sprint(mode, "\x00", names, scale.low, scale.high)
	return k.trace.seen.recall(k.in, "trace", key, func(ctx context.Context, d *model.Diagram) (*trace, error) {
		return traceOver(ctx, d, mode, name, names, scale)
	})
}

func (k *knob) traceKey() string {
	t, done, err := k.look()
	return fmt.Sprintf("trace%p %v %v %v", t, done, err, k.now())
}

// traceOver sweeps the knob over its scale and notes the states meanwhile.
func traceOver(ctx context.Context, d *model.Diagram, mode, name string, of []string, s scale) (*trace, error) {
	values, err := analysis.Spaced(s.low, s.high, tracePoints, s.log)
	if err != nil {
		return nil, err
	}
	o := analysis.Options{Mode: mode}
	t := &trace{}
	if t.sweep, err = analysis.Sweep(ctx, d, analysis.SweepOptions{Options: o, Parameter: name, Values: values, Of: of}); err != nil {
		return nil, err
	}
	var states []analysis.Stretch
	if t.of, states, err = analysis.Stretches(ctx, d, o, name, values); err != nil {
		return nil, err
	}
	for _, x := range states {
		t.states = append(t.states, chart.Band{From: x.From, To: x.To, Name: x.State})
	}
	return t, nil
}

func isTransistor(kind string) bool {
	return slices.Contains([]string{"npn", "pnp", "nmos", "pmos"}, kind)
}

// stateWords are the states from the low end of the knob to its high end.
func (t *trace) stateWords() string {
	var names []string
	for _, b := range t.states {
		names = append(names, b.Name)
	}
	return strings.Join(names, ", then ")
}

// legible leaves the names off bands that are too narrow for them.
func (k *knob) legible(bands []chart.Band) []chart.Band {
	const (
		axis    = 200  // units of width, about
		letters = 10.8 // 9 points at 1.2 units, as a chart has them
	)
	out := slices.Clone(bands)
	for i, b := range out {
		room := axis * (k.scale.place(b.To) - k.scale.place(b.From))
		if float64(textWidth(b.Name, letters, false)) > room {
			out[i].Name = ""
		}
	}
	return out
}

// picture draws the trace with the place where the knob is.
func (k *knob) picture(t *trace) *chart.Chart {
	along, unit := k.along()
	c := &chart.Chart{Axis: strings.TrimPrefix(quantityInWords(k.name()), "the "), Unit: unit, Log: k.scale.log, Theme: k.in.look}
	if k.q.Unit == quantity.Kelvin {
		c.Axis += ", °C"
	}
	for _, b := range k.legible(t.states) {
		c.Bands = append(c.Bands, chart.Band{From: along(b.From), To: along(b.To), Name: b.Name})
	}
	if now := k.now(); now >= k.scale.low && now <= k.scale.high {
		c.Marks = []chart.Mark{{At: along(now), Name: showNumber(k.q, now)}}
	}
	for i, s := range k.trace.of {
		curve := chart.Curve{Name: s.words(), Unit: s.unit}
		for _, p := range t.sweep.Points {
			curve.X, curve.Y = append(curve.X, along(p.Value)), append(curve.Y, p.There[i]/s.share)
		}
		c.Curves = append(c.Curves, upright(curve))
	}
	return c
}

// along is how the axis writes the knob's values, which is how people do: parts
// of a whole in per cent, temperatures in degrees Celsius.
func (k *knob) along() (func(float64) float64, quantity.Unit) {
	switch {
	case k.q.Unit == quantity.Kelvin:
		return func(x float64) float64 { return x - freezing }, quantity.None
	case k.q.Unit == quantity.None && k.q.Min == 0 && k.q.Max == 1:
		return func(x float64) float64 { return 100 * x }, quantity.Percent
	}
	return func(x float64) float64 { return x }, k.q.Unit
}

// upright turns a curve over that is below nought for the most part: which
// sign a current has depends on the pin, and people ask for its size.
func upright(c chart.Curve) chart.Curve {
	sum := 0.0
	for _, y := range c.Y {
		if !math.IsNaN(y) {
			sum += y
		}
	}
	if sum < 0 {
		for i := range c.Y {
			c.Y[i] = -c.Y[i]
		}
	}
	return c
}
