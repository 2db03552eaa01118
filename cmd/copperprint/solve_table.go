package main

import (
	"fmt"
	"io"
	"math"
	"strings"

	"copperglass/analysis"
	"copperglass/model"
	"copperglass/model/quantity"
)

// writeSolution writes an operating point as tables for people.
func writeSolution(w io.Writer, d *model.Diagram, r *analysis.Result) error {
	var b strings.Builder
	writeHeading(&b, d.Title, r.Mode)
	writeSection(&b, "Nets", netTable(r))
	writeSection(&b, "Parts", partTable(d, r))
	writeSection(&b, "Stable states", stateTable(r))
	fmt.Fprintf(&b, "Found by %s in %s.\n", r.Method, steps(r.Iterations))
	fmt.Fprintf(&b, "Left over: %s at the worst net, %s over all parts.\n",
		quantity.Format(r.ResidualCurrent, quantity.Ampere), quantity.Format(r.PowerBalance, quantity.Watt))
	_, err := io.WriteString(w, b.String())
	return err
}

// writeWords writes a sentence for each part.
func writeWords(w io.Writer, d *model.Diagram, r *analysis.Result, words map[string]string) error {
	var b strings.Builder
	writeHeading(&b, d.Title, r.Mode)
	for _, ref := range sortedRefs(r.Parts) {
		if text := words[ref]; text != "" {
			b.WriteString(text + "\n")
		}
	}
	_, err := io.WriteString(w, b.String())
	return err
}

func steps(n int) string {
	if n == 1 {
		return "1 iteration"
	}
	return itoa(n) + " iterations"
}

func writeHeading(b *strings.Builder, title, mode string) {
	heading := excerpt(title)
	if mode != "" {
		heading = strings.TrimPrefix(heading+" · "+excerpt(mode), " · ")
	}
	if heading != "" {
		b.WriteString(heading + "\n\n")
	}
}

func writeSection(b *strings.Builder, title string, t *table) {
	if len(t.rows) > 0 {
		b.WriteString(title + "\n" + t.String() + "\n")
	}
}

func netTable(r *analysis.Result) *table {
	t := &table{right: map[int]bool{1: true}}
	for i, n := range r.Nets.Nets {
		if math.IsNaN(r.Volts[i]) {
			t.row(n.Name, "floats")
			continue
		}
		t.row(n.Name, quantity.Format(r.Volts[i], quantity.Volt))
	}
	return t
}

func partTable(d *model.Diagram, r *analysis.Result) *table {
	t := &table{right: map[int]bool{2: true}}
	drawn := make(map[string]*model.Part, len(d.Parts))
	for _, p := range d.Parts {
		drawn[p.Ref] = p
	}
	for _, ref := range sortedRefs(r.Parts) {
		p := r.Parts[ref]
		if len(p.Pins) < 2 {
			continue // a mark on the sheet, through which nothing flows
		}
		t.row(stackName(ref, p.Count), describedAs(d, drawn[ref], r.Set), quantity.Solved(p.Power, quantity.Watt), currents(p), state(p))
	}
	return t
}

func stackName(ref string, count int) string {
	if count > 1 {
		return ref + " ×" + itoa(count)
	}
	return ref
}

// describedAs is what a part is described as under a mode or a caller that set
// something else in the place of its value.
func describedAs(d *model.Diagram, p *model.Part, set model.Setting) string {
	for _, q := range p.LookupKind().Params {
		if !q.Required || !set[p.Ref][q.Name].IsSet() {
			continue
		}
		v, _ := d.Resolve(p, set)
		if x, ok := v[q.Name].Num(); ok {
			return quantity.Short(x, q.Unit)
		}
	}
	return description(p)
}

// description is the part's value, or else its marking, or else its kind.
func description(p *model.Part) string {
	if value := excerpt(p.Value); value != "" {
		return value
	}
	if marking := excerpt(p.Marking); marking != "" {
		return "marked " + marking + reading(p)
	}
	return strings.ReplaceAll(p.Kind, "_", " ")
}

// reading is what the part's marking says, ", 470 Ω", or nothing where it says
// no number.
func reading(p *model.Part) string {
	k := p.LookupKind()
	if k.FromMarking == nil {
		return ""
	}
	params, err := k.FromMarking(p.Marking)
	if err != nil || len(k.Params) == 0 {
		return ""
	}
	x, ok := params[k.Params[0].Name].Num()
	if !ok {
		return ""
	}
	return ", " + quantity.Short(x, k.Params[0].Unit)
}

// excerpt keeps a long or broken text from upsetting a table.
func excerpt(s string) string {
	const most = 48
	words := []rune(strings.Join(strings.Fields(s), " "))
	if len(words) > most {
		return string(words[:most-1]) + "…"
	}
	return string(words)
}

// currents says where the current flows: through two pins as one figure with a
// direction, into each of more.
func currents(p *analysis.PartResult) string {
	if len(p.Pins) == 2 {
		return through(p.Pins[0], p.Pins[1])
	}
	var list []string
	for _, pin := range p.Pins {
		if !math.IsNaN(pin.Amps) && pin.Amps != 0 {
			list = append(list, pinLabel(pin.Name)+": "+quantity.Solved(pin.Amps, quantity.Ampere))
		}
	}
	return strings.Join(list, ", ")
}

// pinLabel keeps the number of a pin apart from the figure behind it.
func pinLabel(name string) string {
	if strings.Trim(name, "0123456789") == "" {
		return "pin " + name
	}
	return name
}

func through(a, b analysis.PinResult) string {
	if a.Amps < 0 {
		a, b = b, a
	}
	if a.Amps == 0 || math.IsNaN(a.Amps) {
		return quantity.Solved(a.Amps, quantity.Ampere)
	}
	return quantity.Solved(a.Amps, quantity.Ampere) + " from " + sign(a.Name) + " to " + sign(b.Name)
}

// sign writes a minus pin with a true minus.
func sign(pin string) string { return strings.Replace(pin, "-", "−", 1) }

// state tells a transistor's state, and how hard it is driven where it conducts.
func state(p *analysis.PartResult) string {
	switch {
	case p.State == "":
		return ""
	case math.IsNaN(p.ForcedBeta) || p.State == analysis.CutOff:
		return string(p.State)
	}
	return fmt.Sprintf("%s, forced β %s", p.State, quantity.Format(p.ForcedBeta, quantity.None))
}
