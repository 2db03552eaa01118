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
func (p *program) nameStates(r *analysis.Result) {
	all := r.States()
	if all == nil {
		return
	}
	var words []string
	for i, does := range analysis.InWords(all) {
		words = append(words, fmt.Sprintf("%d %s", i+1, does))
	}
	p.say("note: the circuit has %d stable states and stays in the one it was last in: %s; shown is %d, another by --from-state", len(all), strings.Join(words, "; "), r.Number)
}

func stateTable(r *analysis.Result) *table {
	t := &table{right: map[int]bool{0: true}}
	for i, does := range analysis.InWords(r.States()) {
		shown := ""
		if i+1 == r.Number {
			shown = "shown here"
		}
		t.row(itoa(i+1), does, shown)
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
