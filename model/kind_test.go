package model

import (
	"math"
	"slices"
	"strings"
	"testing"
	"unicode"
)

// contractKinds are the kinds with the pins and quantities that drawing files
// may rely on.
var contractKinds = []struct {
	name, prefix string
	key          rune
	pins         []string
	params       string
}{
	{"battery", "BT", 'G', []string{"+", "-"}, "cells chemistry size charge_left voltage resistance"},
	{"supply", "G", 'G', []string{"+", "-"}, "voltage resistance"},
	{"current_source", "G", 'G', []string{"+", "-"}, "current"},
	{"resistor", "R", 'R', []string{"1", "2"}, "resistance tolerance power_rating"},
	{"potentiometer", "RV", 'R', []string{"1", "W", "2"}, "resistance position"},
	{"capacitor", "C", 'C', []string{"1", "2"}, "capacitance series_resistance initial_voltage"},
	{"inductor", "L", 'L', []string{"1", "2"}, "inductance series_resistance initial_current"},
	{"diode", "D", 'D', []string{"A", "K"}, junctionNames + " reverse_voltage_rating"},
	{"led", "D", 'D', []string{"A", "K"}, junctionNames + " colour"},
	{"zener", "D", 'D', []string{"A", "K"}, junctionNames},
	{"pnp", "Q", 'Q', []string{"C", "B", "E"}, bipolarNames},
	{"npn", "Q", 'Q', []string{"C", "B", "E"}, bipolarNames},
	{"pmos", "Q", 'Q', []string{"D", "G", "S"}, fieldEffectNames},
	{"nmos", "Q", 'Q', []string{"D", "G", "S"}, fieldEffectNames},
	{"chip", "IC", 'U', []string{"1", "2", "3", "4", "8", "7", "6", "5"}, "supply_current brown_out_voltage output_resistance_high output_resistance_low"},
	{"switch", "S", 'S', []string{"1", "2"}, "state closed_resistance"},
	{"button", "S", 'S', []string{"1", "2"}, "state closed_resistance"},
	{"lamp", "E", 'E', []string{"1", "2"}, "cold_resistance rated_voltage rated_power"},
	{"motor", "M", 'M', []string{"+", "-"}, "winding_resistance back_voltage"},
	{"fuse", "F", 'F', []string{"1", "2"}, "resistance current_rating"},
	{"meter", "P", 'P', []string{"+", "-"}, "measures resistance"},
	{"ground", "GND", '0', []string{"1"}, ""},
	{"tag", "TAG", 'X', []string{"1"}, ""},
	{"note", "N", 'N', nil, ""},
	{"arrow", "A", 'Y', nil, "length rise"},
}

const (
	junctionNames    = "saturation_current emission_coefficient series_resistance breakdown_voltage breakdown_current breakdown_emission current_rating energy_gap"
	bipolarNames     = "saturation_current forward_beta reverse_beta forward_emission reverse_emission early_voltage knee_current base_resistance collector_resistance emitter_resistance collector_current_rating power_rating energy_gap beta_temperature_coefficient"
	fieldEffectNames = "threshold_voltage transconductance channel_modulation body_diode subthreshold drain_current_rating power_rating gate_voltage_rating"
)

func TestContractKinds(t *testing.T) {
	t.Parallel()
	if got := len(Kinds()); got != len(contractKinds) {
		t.Errorf("%d kinds, want %d", got, len(contractKinds))
	}
	for i, want := range contractKinds {
		k := LookupKind(want.name)
		if k == nil {
			t.Errorf("%s: no such kind", want.name)
			continue
		}
		if Kinds()[i] != k {
			t.Errorf("%s is not number %d of the palette", want.name, i+1)
		}
		if k.Prefix != want.prefix || k.Key != want.key {
			t.Errorf("%s: prefix %q, key %q", want.name, k.Prefix, k.Key)
		}
		if got := pinNames(k.NewPart(origin)); !slices.Equal(got, want.pins) {
			t.Errorf("%s: pins %v, want %v", want.name, got, want.pins)
		}
		for _, name := range strings.Fields(want.params + " temperature reference_temperature") {
			if k.Param(name) == nil {
				t.Errorf("%s has no quantity %s", want.name, name)
			}
		}
	}
}

func pinNames(p *Part) []string {
	var names []string
	for _, pin := range p.LookupKind().Pins(p) {
		names = append(names, pin.Name)
	}
	return names
}

func TestKindsAreDescribed(t *testing.T) {
	t.Parallel()
	for _, k := range Kinds() {
		if k.Title == "" || !strings.HasSuffix(k.About, ".") || strings.Count(k.About, ".") != 1 {
			t.Errorf("%s: title %q, about %q is not one sentence", k.Name, k.Title, k.About)
		}
		seen := map[string]bool{}
		for _, q := range k.Params {
			if q.Meaning == "" || seen[q.Name] {
				t.Errorf("%s.%s: meaning %q, or twice", k.Name, q.Name, q.Meaning)
			}
			seen[q.Name] = true
		}
		for _, e := range k.Handbook {
			if e.Value == "" || e.About == "" || e.Status == "" || e.Source == "" {
				t.Errorf("%s: handbook entry %+v is not complete", k.Name, e)
			}
		}
	}
}

func TestDefaultsPassTheirOwnCheck(t *testing.T) {
	t.Parallel()
	for _, k := range Kinds() {
		for _, q := range k.Params {
			if !q.Default.IsSet() {
				continue
			}
			if err := q.Check(q.Default); err != nil {
				t.Errorf("%s.%s: %v", k.Name, q.Name, err)
			}
			isTemperature := strings.HasSuffix(q.Name, "temperature")
			if _, isFlag := q.Default.Enabled(); !isFlag && !isTemperature && q.Source == "" {
				t.Errorf("%s.%s: its default has no source", k.Name, q.Name)
			}
		}
	}
}

// TestNewPartsAreComplete takes each kind as the palette gives it: nothing is
// misunderstood or missing, and what follows from other quantities is allowed.
func TestNewPartsAreComplete(t *testing.T) {
	t.Parallel()
	for _, k := range Kinds() {
		v := resolved(t, k.NewPart(origin), nil)
		if missing := k.Missing(v); len(missing) > 0 {
			t.Errorf("%s: %v not set", k.Name, missing)
		}
		checkAllowed(t, k, v)
	}
}

// TestHandbookValuesAreUnderstood writes each entry of the handbook as a value.
func TestHandbookValuesAreUnderstood(t *testing.T) {
	t.Parallel()
	for _, k := range Kinds() {
		for _, e := range k.Handbook {
			v := resolved(t, &Part{Ref: "X1", Kind: k.Name, Value: e.Value}, nil)
			if missing := k.Missing(v); len(missing) > 0 {
				t.Errorf("%s %q: %v not set", k.Name, e.Value, missing)
			}
			checkAllowed(t, k, v)
		}
	}
}

func checkAllowed(t *testing.T, k *Kind, v Values) {
	t.Helper()
	for _, q := range k.Params {
		if !v[q.Name].IsSet() {
			continue
		}
		if err := q.Check(v[q.Name]); err != nil {
			t.Errorf("%s.%s: %v", k.Name, q.Name, err)
		}
	}
}

// resolved returns the part's quantities, and fails on a problem.
func resolved(t *testing.T, p *Part, s Setting) Values {
	t.Helper()
	v, problems := new(Diagram).Resolve(p, s)
	if len(problems) > 0 {
		t.Errorf("%s %q: %v", p.Kind, p.Value, problems)
	}
	return v
}

// TestEquationsTouchOwnPins follows the elements of each kind: every terminal
// is a pin or hangs together with one, and an inner node has two elements or
// more, so that no node is left floating.
func TestEquationsTouchOwnPins(t *testing.T) {
	t.Parallel()
	for _, p := range sampleParts() {
		v := resolved(t, p, Setting{"X1": {"2": Word("high"), "3": Word("low"), "4": Word("low")}})
		if p.LookupKind().Equation == nil {
			continue
		}
		uses := map[string]int{}
		for _, e := range p.LookupKind().Elements(p, v) {
			for _, terminal := range terminalsOf(e) {
				uses[terminal]++
			}
		}
		pins := pinNames(p)
		for terminal, n := range uses {
			if !slices.Contains(pins, terminal) && n < 2 {
				t.Errorf("%s: %q is neither a pin nor an inner node", p.Kind, terminal)
			}
		}
	}
}

// sampleParts are new parts of every kind and variants that take other ways
// through their equations.
func sampleParts() []*Part {
	var parts []*Part
	for _, k := range Kinds() {
		p := k.NewPart(origin)
		p.Ref = "X1"
		parts = append(parts, p)
	}
	return append(parts,
		&Part{Ref: "X1", Kind: "chip", Pins: testChipPins},
		&Part{Ref: "X1", Kind: "switch", Params: Params{"state": Word("closed")}},
		&Part{Ref: "X1", Kind: "meter", Value: "amps"},
		&Part{Ref: "X1", Kind: "led", Value: "red", Params: Params{"series_resistance": Number(0)}},
		&Part{Ref: "X1", Kind: "nmos", Value: "AO3400A"},
		&Part{Ref: "X1", Kind: "pmos", Params: Params{"body_diode": Flag(false)}},
		&Part{Ref: "X1", Kind: "capacitor", Value: "100µ 16 V", Params: Params{"polarised": Flag(true)}},
	)
}

func terminalsOf(e Element) []string {
	switch e := e.(type) {
	case Resistance:
		return []string{e.A, e.B}
	case VoltageSource:
		return []string{e.Plus, e.Minus}
	case CurrentSource:
		return []string{e.Plus, e.Minus}
	case Junction:
		return []string{e.Anode, e.Cathode}
	case Bipolar:
		return []string{e.Collector, e.Base, e.Emitter}
	case FieldEffect:
		return []string{e.Drain, e.Gate, e.Source}
	case Law:
		return e.Terminals
	}
	panic("model: unknown element")
}

// TestEquations compares the elements of parts with the textbook's.
func TestEquations(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		part Part
		want []Element
	}{
		{Part{Kind: "resistor", Value: "4k7"}, []Element{Resistance{"1", "2", 4700}}},
		{Part{Kind: "resistor", Value: "link"}, []Element{Resistance{"1", "2", 0}}},
		{Part{Kind: "potentiometer", Value: "10k", Params: Params{"position": Number(0.25)}},
			[]Element{Resistance{"1", "W", 2500}, Resistance{"W", "2", 7500}}},
		{Part{Kind: "capacitor", Value: "100n"}, nil},
		{Part{Kind: "inductor", Value: "10µ", Params: Params{"series_resistance": Number(2)}}, []Element{Resistance{"1", "2", 2}}},
		{Part{Kind: "supply", Value: "5 V"}, []Element{VoltageSource{"+", "-", 5, 0}}},
		{Part{Kind: "current_source", Value: "20 mA"}, []Element{CurrentSource{"+", "-", 0.02}}},
		{Part{Kind: "battery", Params: Params{"voltage": Number(4.5), "resistance": Number(1.2)}}, []Element{VoltageSource{"+", "-", 4.5, 1.2}}},
		{Part{Kind: "motor", Value: "10 Ω 2 V"}, []Element{VoltageSource{"+", "-", 2, 10}}},
		{Part{Kind: "switch"}, nil},
		{Part{Kind: "button", Params: Params{"state": Word("closed")}}, []Element{Resistance{"1", "2", 0}}},
		{Part{Kind: "meter"}, nil},
		{Part{Kind: "meter", Value: "amps"}, []Element{Resistance{"+", "-", 0}}},
		{Part{Kind: "meter", Params: Params{"resistance": Number(1e7)}}, []Element{Resistance{"+", "-", 1e7}}},
		{Part{Kind: "fuse", Value: "500 mA"}, []Element{Resistance{"1", "2", 0.2}}},
	} {
		p := c.part
		got := p.LookupKind().Elements(&p, resolved(t, &p, nil))
		if !slices.EqualFunc(got, c.want, func(a, b Element) bool { return a == b }) {
			t.Errorf("%s %q: %v, want %v", p.Kind, p.Value, got, c.want)
		}
	}
}

func TestJunctionBreaksDownOnlyWhereItIsSaid(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		part Part
		want float64
	}{
		{Part{Kind: "diode"}, 0},
		{Part{Kind: "led", Value: "red"}, 0},
		{Part{Kind: "diode", Params: Params{"breakdown_voltage": Number(75)}}, 75},
		{Part{Kind: "zener", Value: "5V1"}, 5.1},
	} {
		if got := junctionOf(t, &c.part, nil).Law.BreakdownVoltage; got != c.want {
			t.Errorf("%s: breaks down at %v V, want %v", c.part.Kind, got, c.want)
		}
	}
}

// junctionOf returns the one junction of a part.
func junctionOf(t *testing.T, p *Part, s Setting) Junction {
	t.Helper()
	for _, e := range p.LookupKind().Elements(p, resolved(t, p, s)) {
		if j, ok := e.(Junction); ok {
			return j
		}
	}
	t.Fatalf("%s has no junction", p.Kind)
	return Junction{}
}

func TestBodyDiodeStandsAgainstTheChannel(t *testing.T) {
	t.Parallel()
	for kind, anode := range map[string]string{"nmos": "S", "pmos": "D"} {
		if got := junctionOf(t, &Part{Kind: kind}, nil).Anode; got != anode {
			t.Errorf("%s: the body diode's anode is at %s, want %s", kind, got, anode)
		}
	}
}

func TestBetaFollowsTemperature(t *testing.T) {
	t.Parallel()
	p := &Part{Ref: "Q1", Kind: "npn", Params: Params{"forward_beta": Number(100), "beta_temperature_coefficient": Number(0.005)}}
	warm := Setting{"Q1": {"temperature": Number(RoomTemperature + 20)}}
	if got := bipolarLaw(resolved(t, p, warm), 1).ForwardBeta; math.Abs(got-110) > 1e-9 {
		t.Errorf("β is %v at 45 °C, want 110", got)
	}
}

func TestPolarisedCapacitorNamesItsPins(t *testing.T) {
	t.Parallel()
	for _, p := range []*Part{
		{Kind: "capacitor", Params: Params{"polarised": Flag(true)}},
		{Kind: "capacitor", Tags: map[string]string{"+": "VCC"}},
		{Kind: "capacitor", Tags: map[string]string{"-": "GND"}},
	} {
		if got := pinNames(p); !slices.Equal(got, []string{"+", "-"}) {
			t.Errorf("pins %v of %+v", got, p)
		}
	}
}

// TestKeysAreTyped keeps the keys to what one stroke gives.
func TestKeysAreTyped(t *testing.T) {
	t.Parallel()
	for _, k := range Kinds() {
		if k.Key > unicode.MaxASCII || !unicode.IsUpper(k.Key) && !unicode.IsDigit(k.Key) {
			t.Errorf("%s: key %q", k.Name, k.Key)
		}
	}
}
