package main

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"copperglass/analysis"
)

// nameStates tells of a circuit with several stable states which there are.
func (p *program) nameStates(r *analysis.Result) { p.nameStatesWhere("", r) }

func (p *program) nameStatesWhere(where string, r *analysis.Result) {
	lines := r.StateLines()
	if lines == nil {
		return
	}
	var words []string
	for _, one := range lines {
		words = append(words, fmt.Sprintf("%d %s", one.Number, one.Words))
	}
	if more := len(r.Others) + 1 - len(lines); more > 0 {
		words = append(words, fmt.Sprintf("and %d more", more))
	}
	stops := ""
	if r.MayBeMore {
		stops = " (the search stops there)"
	}
	p.say("note: %sthe circuit has %s%s and stays in the one it was last in: %s; shown is %d, another by --from-state", where, r.StateCount(), stops, strings.Join(words, "; "), r.Number)
}

// inState says after a figure in which of several stable states it holds.
func inState(r *analysis.Result) string {
	if place := r.StatePlace(); place != "" {
		return " in " + place
	}
	return ""
}

// statesJSON is the machine form of which stable state r is and what the others
// are.
func statesJSON(r *analysis.Result) object {
	return object{{"state", stateJSON(r)}, {"alternatives", alternativesJSON(r)}, {"search_stopped", r.MayBeMore}}
}

func stateTable(r *analysis.Result) *table {
	t := &table{right: map[int]bool{0: true}}
	for _, one := range r.StateLines() {
		shown := ""
		if one.Number == r.Number {
			shown = "shown here"
		}
		t.row(itoa(one.Number), one.Words, shown)
	}
	return t
}

// difference is a quantity that is not the same in another stable state.
type difference struct {
	name        string
	here, there float64
}

// changedNets returns the voltages of the nets, those that differ most first.
func changedNets(r, other *analysis.Result) []difference {
	var list []difference
	for i, n := range r.Nets.Nets {
		list = append(list, difference{n.Name, r.Volts[i], other.Volts[i]})
	}
	return sorted(list)
}

// changedCurrents returns the currents into the first pins of the parts in the
// same way.
func changedCurrents(r, other *analysis.Result) []difference {
	var list []difference
	for _, ref := range sortedRefs(r.Parts) {
		if pins := r.Parts[ref].Pins; len(pins) > 1 {
			list = append(list, difference{ref + "." + pins[0].Name, pins[0].Amps, other.Parts[ref].Pins[0].Amps})
		}
	}
	return sorted(list)
}

func sorted(list []difference) []difference {
	by := func(c difference) float64 { return math.Abs(c.here - c.there) }
	slices.SortStableFunc(list, func(a, b difference) int { return cmp.Compare(by(b), by(a)) })
	return list
}

// alternativesJSON is the machine form of the stable states other than r: of
// each what its transistors do otherwise, and the three voltages and the three
// currents that differ most.
func alternativesJSON(r *analysis.Result) []object {
	list := []object{}
	for _, other := range r.Others {
		states, changes := object{}, object{}
		for _, ref := range analysis.TellApart([]*analysis.Result{r, other}) {
			states.put(ref, object{{"state", string(other.Parts[ref].State)}, {"here", string(r.Parts[ref].State)}})
		}
		put := func(list []difference, form string) {
			for _, c := range list[:min(len(list), 3)] {
				changes.put(fmt.Sprintf(form, c.name), object{{"value", number(c.there)}, {"here", number(c.here)}})
			}
		}
		put(changedNets(r, other), "net.%s.volts")
		put(changedCurrents(r, other), "%s.amps")
		list = append(list, object{{"state", other.Number}, {"transistors", states}, {"changes", changes}})
	}
	return list
}

// stateJSON is the number of the state shown, null where there is but one.
func stateJSON(r *analysis.Result) any {
	if r.Number == 0 {
		return nil
	}
	return r.Number
}
