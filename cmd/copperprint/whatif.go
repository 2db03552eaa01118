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

// variations are the flags of whatif that say what to compare with.
type variations struct {
	conditions
	changes settings
	named   string
	all     bool
}

// variation is a change with what it is called, "" for one that is not saved.
type variation struct {
	name  string
	set   model.Setting
	modes []*whatif.Comparison // in every mode; nil where one is asked for
}

// whatIf compares the drawing with variations of it, or lists those that are
// saved in it.
func (p *program) whatIf(args []string) error {
	var c variations
	fs := p.flags("whatif")
	c.conditions.flags(fs)
	fs.Var(&c.changes, "change", "`REF.param=value` that is different: R4.resistance=12; may be repeated")
	fs.StringVar(&c.named, "name", "", "`NAME` of a what-if that is saved in the drawing")
	fs.BoolVar(&c.all, "all", false, "all what-ifs that are saved in the drawing, one after the other")
	var out output
	out.flags(fs, "a table for people")
	d, _, err := p.open(fs, args, 1)
	if err != nil {
		return err
	}
	list, err := c.wanted(d)
	switch {
	case err != nil:
		return err
	case list == nil:
		return p.publish(out, nil, func(w io.Writer) error { return listWhatIfs(w, d, out.inJSON) })
	}
	results, err := p.compareAll(d, &c, list)
	if err != nil {
		return err
	}
	return p.publish(out, faultyOrNot(allSolved(results)), func(w io.Writer) error {
		if out.inJSON {
			return writeJSON(w, comparisonsJSON(&c, list, results))
		}
		return writeComparisons(w, d, list, results)
	})
}

// wanted are the variations that the flags ask for, nil where those saved in
// the drawing are to be listed.
func (c *variations) wanted(d *model.Diagram) ([]variation, error) {
	asked := 0
	for _, is := range []bool{len(c.changes) > 0, c.named != "", c.all} {
		if is {
			asked++
		}
	}
	switch {
	case asked > 1:
		return nil, failure{misused, misuse("whatif: say one of --change, --name and --all"), "copperprint help whatif"}
	case c.named != "":
		w, err := savedWhatIf(d, c.named)
		if err != nil {
			return nil, err
		}
		return []variation{{name: w.Name, set: w.Setting()}}, nil
	case len(c.changes) > 0:
		set, err := c.changed(d)
		return []variation{{set: set}}, err
	case len(d.WhatIfs) == 0:
		return nil, failure{misused, misuse("whatif: say what is different, with --change REF.param=value; none are saved in the drawing"), "copperprint help whatif"}
	case !c.all:
		return nil, nil
	}
	var list []variation
	for _, w := range d.WhatIfs {
		list = append(list, variation{name: w.Name, set: w.Setting()})
	}
	return list, nil
}

// changed reads the --change flags.
func (c *variations) changed(d *model.Diagram) (model.Setting, error) {
	set := model.Setting{}
	for _, text := range c.changes {
		if err := setOne(d, set, text); err != nil {
			return nil, misuse("--change %s: %v", text, err)
		}
	}
	return set, nil
}

// savedWhatIf finds a what-if of the drawing by its name.
func savedWhatIf(d *model.Diagram, name string) (*model.WhatIf, error) {
	var names []string
	for _, w := range d.WhatIfs {
		if w.Name == name {
			return w, nil
		}
		names = append(names, w.Name)
	}
	return nil, misuse("the drawing has no what-if %q; %s", name, perhaps(name, names))
}

// compareAll compares the drawing with each variation, and names what stands in
// the way of a solution.
func (p *program) compareAll(d *model.Diagram, c *variations, list []variation) ([]*whatif.Comparison, error) {
	set, err := c.check(d)
	if err != nil {
		return nil, err
	}
	var results []*whatif.Comparison
	for i, v := range list {
		r, err := whatif.Compare(context.Background(), d, analysis.Options{Mode: c.mode, Set: set}, v.set)
		if err != nil {
			return nil, err
		}
		if c.mode == "" {
			if list[i].modes, err = whatif.InModes(context.Background(), d, set, v.set); err != nil {
				return nil, err
			}
		}
		if i == 0 {
			p.nameFaults(r.Before)
		}
		if r.Before.Solved {
			p.nameFaults(r.After)
		}
		results = append(results, r)
	}
	return results, nil
}

func allSolved(results []*whatif.Comparison) bool {
	return !slices.ContainsFunc(results, func(c *whatif.Comparison) bool { return !c.Before.Solved || !c.After.Solved })
}

// listWhatIfs lists the what-ifs that are saved with what each changes.
func listWhatIfs(w io.Writer, d *model.Diagram, inJSON bool) error {
	if inJSON {
		list := []object{}
		for _, f := range d.WhatIfs {
			list = append(list, object{{"name", f.Name}, {"changes", changesJSON(f.Set)}})
		}
		return writeJSON(w, object{{"what_ifs", list}})
	}
	t := &table{}
	for _, f := range d.WhatIfs {
		t.row(f.Name, changeWords(d, f.Setting()))
	}
	_, err := io.WriteString(w, t.String())
	return err
}

func changesJSON(set model.Params) object {
	o := object{}
	for _, target := range slices.SortedFunc(maps.Keys(set), model.NaturalCompare) {
		if x, ok := set[target].Num(); ok {
			o.put(target, number(x))
		} else {
			o.put(target, set[target].String())
		}
	}
	return o
}

// changeWords tells changes in a row: "R4.resistance 12 Ω, BT1.cells 2".
func changeWords(d *model.Diagram, set model.Setting) string {
	var words []string
	for ref, params := range set {
		for name, v := range params {
			text := v.String()
			if x, ok := v.Num(); ok {
				text = quantity.Short(x, unitOf(d, ref+"."+name))
			}
			words = append(words, ref+"."+name+" "+text)
		}
	}
	slices.SortFunc(words, model.NaturalCompare)
	return strings.Join(words, ", ")
}

// comparisonsJSON is one comparison, or where --all asks for them the list of
// all with their names.
func comparisonsJSON(c *variations, list []variation, results []*whatif.Comparison) object {
	if !c.all {
		return comparisonJSON(results[0])
	}
	all := []object{}
	for i, r := range results {
		all = append(all, append(object{{"name", list[i].name}}, comparisonJSON(r)...))
	}
	return object{{"what_ifs", all}}
}

func comparisonJSON(c *whatif.Comparison) object {
	list := []object{}
	for _, x := range c.Differences {
		list = append(list, object{{"of", x.Of}, {"before", number(x.Before)}, {"after", number(x.After)}, {"relative", number(100 * x.Relative())}})
	}
	over := []object{}
	for _, o := range c.Overloads {
		over = append(over, object{{"rule", o.After.Rule}, {"part", o.After.Part}, {"before", number(o.Before.Value)}, {"after", number(o.After.Value)}, {"limit", number(o.After.Limit)}, {"text", o.Words()}})
	}
	return object{{"mode", orNull(c.Before.Mode)}, {"differences", list}, {"over_ratings", over}, {"faults", faultsJSON(c.After)}}
}

func writeComparisons(w io.Writer, d *model.Diagram, list []variation, results []*whatif.Comparison) error {
	var b strings.Builder
	for i, c := range results {
		if i > 0 {
			b.WriteByte('\n')
		}
		writeHeading(&b, d.Title, c.Before.Mode)
		if name := list[i].name; name != "" {
			fmt.Fprintf(&b, "What if: %s (%s)\n", excerpt(name), changeWords(d, list[i].set))
		}
		writeDifferences(&b, c)
		writeSupplies(&b, list[i].modes)
		writeOverloads(&b, c, list[i].modes)
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// writeDifferences tells what differs in one mode.
func writeDifferences(b *strings.Builder, c *whatif.Comparison) {
	list := c.Telling()
	if c.Solved() && len(list) == 0 {
		b.WriteString("It changes no voltage, current or power by as much as 0.1 %.\n")
		return
	}
	t := &table{right: map[int]bool{1: true, 2: true, 3: true}}
	t.row("quantity", "as drawn", "what if", "change")
	for _, x := range list {
		n := float64(x.Count)
		t.row(ofEach(x), quantity.Solved(x.Before/n, x.Unit), quantity.Solved(x.After/n, x.Unit), change(x.Relative()))
	}
	b.WriteString(t.String())
}

// writeOverloads tells what is above its rating on one side, in one mode or in
// each that is told of.
func writeOverloads(b *strings.Builder, c *whatif.Comparison, modes []*whatif.Comparison) {
	if modes == nil {
		modes = []*whatif.Comparison{c}
	}
	before := "\n"
	for _, m := range modes {
		for _, o := range m.Overloads {
			text := o.Words()
			if len(modes) > 1 {
				text = "In " + m.Before.Mode + ", " + text
			}
			b.WriteString(before + text + "\n")
			before = ""
		}
	}
}

// ofEach names what one of a stack has, or what a single part or a net has.
func ofEach(x whatif.Difference) string {
	if ref, what, _ := strings.Cut(x.Of, "."); x.Count > 1 {
		return ref + "#1." + what
	}
	return x.Of
}

// writeSupplies tells what the sources give in each mode, where there are several.
func writeSupplies(b *strings.Builder, all []*whatif.Comparison) {
	if len(all) < 2 {
		return
	}
	b.WriteString("\nThe supply current in each mode:\n\n")
	t := &table{right: map[int]bool{1: true, 2: true, 3: true}}
	t.row("mode", "as drawn", "what if", "change")
	for _, c := range all {
		t.row(c.Before.Mode, quantity.Solved(c.Supply[0], quantity.Ampere), quantity.Solved(c.Supply[1], quantity.Ampere), supplyChange(c))
	}
	b.WriteString(t.String())
}

// supplyChange is "none" where nothing worth a line changes in the whole mode.
func supplyChange(c *whatif.Comparison) string {
	if c.Solved() && len(c.Telling()) == 0 {
		return "none"
	}
	return change(c.Supply[1]/c.Supply[0] - 1)
}

func change(x float64) string {
	const many = 10
	switch {
	case math.IsNaN(x) || math.IsInf(x, 0):
		return "–"
	case math.Abs(x) > many:
		return fmt.Sprintf("× %.3g", 1+x)
	}
	return strings.Replace(fmt.Sprintf("%+.1f %%", 100*x), "-", "−", 1)
}
