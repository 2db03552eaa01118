package model

import (
	"maps"
	"testing"

	"copperglass/model/geom"
)

func TestRecast(t *testing.T) {
	t.Parallel()
	tests := []struct {
		name  string
		part  Part
		to    string
		ref   string
		value string
		pins  map[string]string
	}{
		{"names are the same", Part{Ref: "Q1", Kind: "npn", Value: "X12"}, "pnp", "Q1", "X12", map[string]string{"C": "C", "B": "B", "E": "E"}},
		{"a type of the other kind", Part{Ref: "Q1", Kind: "npn", Value: "2N3904"}, "pnp", "Q1", "", map[string]string{"C": "C", "B": "B", "E": "E"}},
		{"by role", Part{Ref: "Q1", Kind: "npn"}, "nmos", "Q1", "", map[string]string{"C": "D", "B": "G", "E": "S"}},
		{"by role, with a pin too many", Part{Ref: "Q1", Kind: "npn"}, "diode", "", "", map[string]string{"C": "A", "E": "K"}},
		{"a value it cannot have", Part{Ref: "R4", Kind: "resistor", Value: "47k"}, "led", "", "white", map[string]string{"1": "A", "2": "K"}},
		{"a value it can have", Part{Ref: "R4", Kind: "resistor", Value: "47k"}, "potentiometer", "", "47k", map[string]string{"1": "1", "2": "2"}},
		{"a colour is no type of diode", Part{Ref: "D4", Kind: "led", Value: "red"}, "diode", "D4", LookupKind("diode").Suggest, map[string]string{"A": "A", "K": "K"}},
		{"given by hand", Part{Ref: "Rsense", Kind: "resistor", Value: "1"}, "inductor", "Rsense", LookupKind("inductor").Suggest, map[string]string{"1": "1", "2": "2"}},
		{"a marking that says nothing of it", Part{Ref: "R1", Kind: "resistor", Marking: "0"}, "lamp", "", LookupKind("lamp").Suggest, map[string]string{"1": "1", "2": "2"}},
		{"nothing is said", Part{Ref: "R1", Kind: "resistor"}, "lamp", "", "", map[string]string{"1": "1", "2": "2"}},
		{"a marking says it", Part{Ref: "R1", Kind: "resistor", Value: "10 kΩ", Marking: "104"}, "capacitor", "", "", map[string]string{"1": "1", "2": "2"}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			t.Parallel()
			got, pins := test.part.Recast(LookupKind(test.to))
			if got.Kind != test.to || got.Ref != test.ref || got.Value != test.value || !maps.Equal(pins, test.pins) {
				t.Errorf("%s %q %q, pins %v; want %s %q %q, pins %v", got.Kind, got.Ref, got.Value, pins, test.to, test.ref, test.value, test.pins)
			}
		})
	}
}

// All that the other kind understands stays.
func TestRecastKeeps(t *testing.T) {
	t.Parallel()
	p := Part{
		Ref: "Q7", Kind: "npn", Placed: true, At: geom.Pt(3, 4), Orient: geom.Orientation{Turn: 90}, Marking: "1AM",
		Doubt: Guessed, Count: 3, Note: "warm", Tags: map[string]string{"B": "IN", "E": "GND"},
		Params: Params{"temperature": Number(300), "position": Number(0.5)},
	}
	q, _ := p.Recast(LookupKind("pmos"))
	if q.At != p.At || q.Orient != p.Orient || q.Marking != p.Marking || q.Doubt != Guessed || q.Count != 3 || q.Note != "warm" {
		t.Errorf("of %+v it keeps %+v", p, q)
	}
	if q.Tags["G"] != "IN" || q.Tags["S"] != "GND" || len(q.Tags) != 2 {
		t.Errorf("tags %v", q.Tags)
	}
	if _, ok := q.Params["temperature"]; !ok || len(q.Params) != 1 {
		t.Errorf("quantities %v", q.Params)
	}
	if len(p.Params) != 2 {
		t.Error("the part itself was changed")
	}
}

// Any kind may become any other, and its pins are pins of both.
func TestRecastAnyToAny(t *testing.T) {
	t.Parallel()
	for _, from := range Kinds() {
		for _, to := range Kinds() {
			p := from.NewPart(geom.Point{})
			p.Ref = from.Prefix + "1"
			q, pins := p.Recast(to)
			used := map[string]bool{}
			for a, b := range pins {
				if !hasPin(from.Pins(p), a) || !hasPin(to.Pins(q), b) || used[b] {
					t.Errorf("%s to %s: %s becomes %s", from.Name, to.Name, a, b)
				}
				used[b] = true
			}
			if want := min(len(from.Pins(p)), len(to.Pins(q))); from.Load == to.Load && len(pins) > want {
				t.Errorf("%s to %s: %d pins", from.Name, to.Name, len(pins))
			}
			if _, problems := (&Diagram{}).Resolve(q, nil); len(problems) > 0 {
				t.Errorf("%s to %s: %v", from.Name, to.Name, problems)
			}
		}
	}
}

func hasPin(pins []Pin, name string) bool {
	for _, p := range pins {
		if p.Name == name {
			return true
		}
	}
	return false
}
