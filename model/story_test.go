package model

import (
	"reflect"
	"testing"
)

// Whatever names a part follows it when it gets another name.
func TestRetarget(t *testing.T) {
	t.Parallel()
	f := NewDraft(&Diagram{
		Modes:   []*Mode{{Name: "On", Set: map[string]string{"IC1.7": "low", "S1": "closed"}}},
		WhatIfs: []*WhatIf{{Name: "less", Set: Params{"IC1.supply_current": Number(1)}}},
		Muted:   []*Mute{{Rule: "r", Parts: []string{"D1", "IC1"}}},
		Story:   []*Step{{Lit: []string{"IC1"}, Set: Params{"IC1.7": Word("high")}, Text: "{IC1.7.amps} and {net.p.volts} at {IC1.watts}"}},
	})
	f.Retarget(func(ref, name string) (string, string) {
		if ref == "IC1" {
			ref = "A2"
		}
		return ref, name
	})
	d := f.Diagram()
	for _, pair := range [][2]any{
		{d.Modes[0].Set, map[string]string{"A2.7": "low", "S1": "closed"}},
		{d.WhatIfs[0].Set, Params{"A2.supply_current": Number(1)}},
		{d.Muted[0].Parts, []string{"A2", "D1"}},
		{d.Story[0].Lit, []string{"A2"}},
		{d.Story[0].Set, Params{"A2.7": Word("high")}},
		{d.Story[0].Text, "{A2.7.amps} and {net.p.volts} at {A2.watts}"},
	} {
		if !reflect.DeepEqual(pair[0], pair[1]) {
			t.Errorf("%v, want %v", pair[0], pair[1])
		}
	}
}

// A mode may set a quantity, written as people write it.
func TestModeSetsAQuantity(t *testing.T) {
	t.Parallel()
	d := &Diagram{Parts: []*Part{{Ref: "IC1", Kind: "chip"}}, Modes: []*Mode{{Name: "Asleep", Set: map[string]string{"IC1.supply_current": "2 µA"}}}}
	v, problems := d.Resolve(d.Parts[0], d.Modes[0].Setting())
	if got := v.Num("supply_current"); got != 2e-6 || problems != nil {
		t.Errorf("%v, %v, want 2 µA", got, problems)
	}
}

// What is put over a drawing holds over its modes too, and what it has not is
// left out.
func TestOverride(t *testing.T) {
	t.Parallel()
	d := &Diagram{
		Parts: []*Part{{Ref: "S1", Kind: "switch"}, {Ref: "R1", Kind: "resistor", Value: "1k"}},
		Modes: []*Mode{{Name: "on", Set: map[string]string{"S1": "open"}}},
	}
	f := NewDraft(d)
	f.Override(Setting{"S1": {"state": Word("closed")}, "R1": {"resistance": Number(12)}, "R9": {"resistance": Number(1)}, Drawing: {"temperature": Number(273)}})
	got := f.Diagram()
	for _, c := range []struct {
		ref, name string
		want      Value
	}{{"S1", "state", Word("closed")}, {"R1", "resistance", Number(12)}} {
		if v, _ := got.Resolve(got.Part(c.ref), got.Modes[0].Setting()); v[c.name] != c.want {
			t.Errorf("%s.%s is %v, want %v", c.ref, c.name, v[c.name], c.want)
		}
	}
	if got.Params["temperature"] != Number(273) || len(got.Parts) != 2 {
		t.Errorf("temperature %v, %d parts", got.Params["temperature"], len(got.Parts))
	}
	if d.Modes[0].Set["S1"] != "open" || d.Parts[1].Params != nil || d.Params != nil {
		t.Error("the drawing itself has changed")
	}
}
