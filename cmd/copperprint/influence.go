package main

import (
	"context"
	"fmt"
	"io"
	"maps"
	"math"
	"slices"
	"strings"

	"copperglass/analysis"
	"copperglass/analysis/whatif"
	"copperglass/model"
	"copperglass/model/quantity"
)

// influence ranks what sets a quantity.
func (p *program) influence(args []string) error {
	var c conditions
	fs := p.flags("influence")
	c.flags(fs)
	c.stateFlag(fs)
	var out output
	out.flags(fs, "a table for people")
	d, operands, err := p.open(fs, args, 2)
	if err != nil {
		return err
	}
	set, err := c.check(d)
	if err != nil {
		return err
	}
	all, err := whatif.Explain(context.Background(), d, analysis.Options{Mode: c.mode, Set: set, State: c.state}, operands[1])
	if err != nil {
		return failure{code: misused, err: err}
	}
	p.nameFaults(all.Result)
	p.nameStates(all.Result)
	return p.publish(out, faultyOrNot(all.Result.Solved), func(w io.Writer) error {
		if out.inJSON {
			return writeJSON(w, influencesJSON(d, all))
		}
		return writeInfluences(w, d, all)
	})
}

func influencesJSON(d *model.Diagram, all *whatif.Causes) object {
	list := []object{}
	for _, s := range all.List {
		list = append(list, object{
			{"parameter", s.Parameter},
			{"value", number(s.Value)},
			{"derivative", number(s.Derivative)},
			{"relative", number(s.Relative)},
		})
	}
	o := object{
		{"mode", orNull(all.Result.Mode)},
		{"of", all.Of},
		{"value", number(all.Value)},
		{"sentence", all.Sentence},
		{"influences", list},
		{"junctions", junctionsJSON(d, all)},
	}
	return append(append(o, statesJSON(all.Result)...), member{"faults", faultsJSON(all.Result)})
}

// junctionsJSON is what 1 % more of each junction's voltage does, in the place of
// the constants that make its curve.
func junctionsJSON(d *model.Diagram, all *whatif.Causes) object {
	o := object{}
	junctions := all.Junctions(d)
	for _, ref := range slices.SortedFunc(maps.Keys(junctions), model.NaturalCompare) {
		j := junctions[ref]
		o.put(ref, object{{"name", j.Name}, {"volts", number(j.Volts)}, {"relative", number(j.Percent)}})
	}
	return o
}

// writeJunctions tells the same of those that people should be told of.
func writeJunctions(b *strings.Builder, d *model.Diagram, all *whatif.Causes) {
	t := &table{right: map[int]bool{2: true, 3: true}}
	junctions := all.Junctions(d)
	for _, ref := range slices.SortedFunc(maps.Keys(junctions), model.NaturalCompare) {
		if j := junctions[ref]; math.Abs(j.Percent/100*all.Value) > slight*effect(all.List[0]) {
			t.row(nameInDrawing(d, ref), j.Name, quantity.Format(j.Volts, quantity.Volt), percent(j.Percent))
		}
	}
	if len(t.rows) > 0 {
		b.WriteString("\nWhat +1 % of a junction’s voltage does, which is its whole curve moved:\n\n" + t.String())
	}
}

// slight is the share of the strongest influence below which people are not
// told of one.
const slight = 1e-4

// writeInfluences writes the influences part by part, the part with the
// strongest first.
func writeInfluences(w io.Writer, d *model.Diagram, all *whatif.Causes) error {
	var b strings.Builder
	writeHeading(&b, d.Title, all.Result.Mode)
	fmt.Fprintf(&b, "%s is %s%s. ", all.Of, quantity.Solved(all.Value, all.Unit), inState(all.Result))
	if len(all.List) == 0 || effect(all.List[0]) == 0 {
		b.WriteString("No parameter has any influence on it.\n")
	} else {
		b.WriteString(all.Sentence)
		b.WriteString("\n\nWhat +1 % of each parameter does to it:\n\n")
		writeRanking(&b, d, all)
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// effect is how far the quantity moves when the parameter doubles, as far as
// the slope tells.
func effect(s analysis.Sensitivity) float64 { return math.Abs(s.Derivative * s.Value) }

func writeRanking(b *strings.Builder, d *model.Diagram, all *whatif.Causes) {
	t := &table{right: map[int]bool{2: true, 3: true, 4: true}}
	left, warm := 0, false
	for _, group := range byPart(all.List) {
		ref := nameInDrawing(d, group.ref)
		for _, s := range group.list {
			if effect(s) <= slight*effect(all.List[0]) {
				left++
				continue
			}
			_, name, _ := strings.Cut(s.Parameter, ".")
			warm = warm || s.Unit == quantity.Kelvin
			t.row(ref, strings.ReplaceAll(name, "_", " "), quantity.Format(s.Value, s.Unit), percent(s.Relative), signed(s.Derivative*s.Value/100, all.Unit))
			ref = ""
		}
	}
	b.WriteString(t.String())
	writeJunctions(b, d, all)
	writeLinks(b, d, all)
	if warm {
		b.WriteString("\nTemperatures count from absolute zero: 1 % of them is about 3 °C.\n")
	}
	if left > 0 {
		fmt.Fprintf(b, "\nLeft out: %d with less than a ten-thousandth of the strongest influence.\n", left)
	}
}

// writeLinks tells what one ohm more does in the place of each link: 1 % of
// nothing would be nothing.
func writeLinks(b *strings.Builder, d *model.Diagram, all *whatif.Causes) {
	t := &table{right: map[int]bool{2: true, 3: true}}
	for _, s := range all.List {
		ref, name, _ := strings.Cut(s.Parameter, ".")
		if p := d.Part(ref); s.Value == 0 && p != nil && p.Kind == "resistor" && math.Abs(s.Derivative) > slight*math.Abs(all.Value) {
			t.row(nameInDrawing(d, ref), strings.ReplaceAll(name, "_", " "), percent(100*s.Derivative/all.Value), signed(s.Derivative, all.Unit))
		}
	}
	if len(t.rows) > 0 {
		b.WriteString("\nWhat 1 Ω does in the place of 0 Ω:\n\n" + t.String())
	}
}

// group is the influences of one part, the strongest first.
type group struct {
	ref  string
	list []analysis.Sensitivity
}

// byPart gathers a ranked list part by part.
func byPart(list []analysis.Sensitivity) []group {
	var groups []group
	at := map[string]int{}
	for _, s := range list {
		ref, _, _ := strings.Cut(s.Parameter, ".")
		i, ok := at[ref]
		if !ok {
			i = len(groups)
			at[ref], groups = i, append(groups, group{ref: ref})
		}
		groups[i].list = append(groups[i].list, s)
	}
	return groups
}

// nameInDrawing is a part's name with its count, or the drawing itself.
func nameInDrawing(d *model.Diagram, ref string) string {
	if part := d.Part(ref); part != nil {
		return stackName(ref, part.Multiple())
	}
	return "the " + ref
}

// percent writes a change in per cent.
func percent(x float64) string {
	if math.IsNaN(x) {
		return "–"
	}
	return signed(x, quantity.None) + " %"
}

// signed writes a change with its sign.
func signed(x float64, unit quantity.Unit) string {
	text := quantity.Format(math.Abs(x), unit)
	if x < 0 {
		return "−" + text
	}
	return "+" + text
}
