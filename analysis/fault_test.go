package analysis

import (
	"context"
	"math"
	"slices"
	"strings"
	"testing"

	"copperglass/model"
	"copperglass/model/geom"
)

// Parts that come up again and again, joined by tags.
const (
	battery = `"ref": "BT1", "kind": "battery", "params": {"voltage": 4.5, "resistance": 0.5}, "tags": {"+": "v", "-": "GND"}`
	ideal   = `"ref": "G1", "kind": "supply", "params": {"voltage": 5, "resistance": 0}, "tags": {"+": "v", "-": "GND"}`
	load    = `"ref": "R1", "kind": "resistor", "value": "1k", "tags": {"1": "v", "2": "GND"}`
)

// wired is a drawing of a battery whose pins stand at (0, 0) and (0, 4), with
// wires given as JSON.
func wired(wires string, more ...string) string {
	parts := append([]string{`"ref": "BT1", "kind": "battery", "at": [0, 2], "params": {"voltage": 4.5, "resistance": 0}`}, more...)
	return strings.TrimSuffix(drawing(parts...), "}") + `, "wires": [` + wires + `]}`
}

func TestFaults(t *testing.T) {
	chip := `"ref": "IC1", "kind": "chip", "pins": [{"number": "1", "name": "VDD", "role": "supply"}, {"number": "2", "name": "VSS", "role": "ground"},
		{"number": "3", "name": "OUT", "role": "output"}, {"number": "4", "role": "input"}, {"number": "5", "role": "none"}, {"number": "6", "role": "open_drain"}], "tags": {"1": "v", "2": "GND"}`
	tests := []struct {
		name    string
		drawing string
		stops   bool
		want    []string
	}{
		{"a sound circuit", drawing(battery, load), false, nil},
		{"nothing", drawing(), true, []string{"there is nothing to compute yet; place a battery and what it feeds"}},
		{"only a note", drawing(`"ref": "N1", "kind": "note", "value": "hello"`), true, []string{"there is nothing to compute yet; place a battery and what it feeds"}},
		{"a pin that goes nowhere", drawing(battery, load, `"ref": "D3", "kind": "led", "value": "red", "tags": {"A": "v"}`), false,
			[]string{"D3's cathode (K) goes nowhere"}},
		{"pins by their names", drawing(battery, load, `"ref": "Q1", "kind": "nmos", "tags": {"D": "v"}`, `"ref": "R2", "kind": "resistor", "value": "1k"`), false,
			[]string{
				"Q1's gate floats; it is taken as off here, though any charge may turn it on: tie the gate to the source with 10 to 100 kΩ",
				"Q1's gate (G) goes nowhere",
				"Q1's source (S) goes nowhere", "R2 is joined to nothing yet",
			}},
		{"parts that are not joined yet", drawing(battery, load, `"ref": "R3", "kind": "resistor", "value": "1k"`, `"ref": "R2", "kind": "resistor", "value": "1k"`), false,
			[]string{"R2 and R3 are joined to nothing yet"}},
		{"a ground symbol beside the wire", drawing(battery, load, `"ref": "GND1", "kind": "ground", "at": [9, 9]`), false,
			[]string{"GND1 is joined to nothing; put it on a pin or a wire"}},
		{"unused pins of a chip are no fault", drawing(battery, chip), false, nil},
		{"a chip's ground is", drawing(battery, load, strings.Replace(chip, `, "2": "GND"`, "", 1)), false, []string{
			"IC1's supply current has no way back, so it is left out; join both of its supply pins",
			"IC1's pin 2 (VSS) goes nowhere",
		}},
		{"a potentiometer may be a variable resistor", drawing(battery, `"ref": "RV1", "kind": "potentiometer", "value": "10k", "tags": {"1": "v", "W": "GND"}`), false, nil},
		{"its wiper may not stay open", drawing(battery, `"ref": "RV1", "kind": "potentiometer", "value": "10k", "tags": {"1": "v", "2": "GND"}`), false,
			[]string{"RV1's wiper (W) goes nowhere"}},

		{"shorted by a wire", wired(`{"points": [[0, 0], [3, 0], [3, 4], [0, 4]]}`), true, []string{
			"BT1 is shorted by W1; take that away, or give BT1 a resistance",
			"nothing is joined to ground; voltages are counted from BT1's minus (−)",
		}},
		{"shorted by wires and not by others", wired(`{"points": [[0, 0], [3, 0]]}, {"points": [[3, 0], [9, 0]]}, {"points": [[3, 0], [3, 4]]}, {"points": [[3, 4], [0, 4]]}`,
			`"ref": "R1", "kind": "resistor", "value": "1k", "at": [11, 0]`), true, []string{
			"BT1 is shorted by W1, W3 and W4; take that away, or give BT1 a resistance",
			"R1's pin 2 goes nowhere",
			"nothing is joined to ground; voltages are counted from BT1's minus (−)",
		}},
		{"a wire under a resistor", wired(`{"points": [[0, 0], [0, -4], [20, -4], [20, 4], [0, 4]]}`, `"ref": "R1", "kind": "resistor", "value": "1k", "at": [8, -4]`), true, []string{
			"BT1 is shorted by W1; take that away, or give BT1 a resistance",
			"R1 is bridged by the wire under it; move R1 aside, or take the wire away there",
			"nothing is joined to ground; voltages are counted from BT1's minus (−)",
		}},
		{"a wire under a transistor", strings.TrimSuffix(drawing(battery, load,
			`"ref": "Q1", "kind": "npn", "at": [0, 20], "tags": {"B": "v", "E": "GND"}`), "}") + `, "wires": [{"points": [[0, 18], [0, 22]]}]}`, false,
			[]string{"Q1's collector (C) and emitter (E) are joined by the wire under it; move Q1 aside, or take the wire away there"}},
		{"shorted by a link and a switch", drawing(ideal, load, `"ref": "R7", "kind": "resistor", "value": "0", "tags": {"1": "v", "2": "x"}`,
			`"ref": "S1", "kind": "switch", "params": {"state": "closed"}, "tags": {"1": "x", "2": "GND"}`), true,
			[]string{"G1 is shorted by R7 and S1; take that away, or give G1 a resistance"}},
		{"shorted behind its resistance", drawing(battery, load, `"ref": "R7", "kind": "resistor", "value": "0", "tags": {"1": "v", "2": "GND"}`), false,
			[]string{"BT1 is shorted by R7; only its own resistance limits the current"}},
		{"shorted by a tag", drawing(load, `"ref": "G1", "kind": "supply", "value": "5 V", "tags": {"+": "v", "-": "v"}`), true, []string{
			"G1 is shorted by the tag v on both of its pins; take that away, or give G1 a resistance"}},
		{"unequal sources in parallel", drawing(ideal, load, `"ref": "G2", "kind": "supply", "value": "3.3 V", "tags": {"+": "v", "-": "GND"}`), true,
			[]string{"G1 and G2 are joined in a loop without any resistance; give one of them a resistance"}},
		{"three sources in a ring", drawing(ideal, load, `"ref": "G3", "kind": "supply", "value": "2 V", "tags": {"+": "v", "-": "m"}`, `"ref": "G2", "kind": "supply", "value": "3 V", "tags": {"+": "m", "-": "GND"}`), true,
			[]string{"G1, G2 and G3 are joined in a loop without any resistance; give one of them a resistance"}},
		{"a current source with an open end", drawing(battery, load, `"ref": "G2", "kind": "current_source", "value": "1 mA", "tags": {"+": "x", "-": "GND"}`), true, []string{
			"G2's current has no way from its plus (+) through the circuit to its minus (−); give it one, or take G2 out",
			"G2's plus (+) goes nowhere",
		}},
		{"current sources that disagree", drawing(battery, load, `"ref": "G2", "kind": "current_source", "value": "1 mA", "tags": {"+": "x", "-": "GND"}`,
			`"ref": "G3", "kind": "current_source", "value": "2 mA", "tags": {"+": "GND", "-": "x"}`), true, []string{
			"G2's current has no way from its plus (+) through the circuit to its minus (−); give it one, or take G2 out",
			"G3's current has no way from its plus (+) through the circuit to its minus (−); give it one, or take G3 out",
			"net x floats: nothing that conducts leads from there to ground",
		}},
		{"current sources that agree", drawing(battery, load, `"ref": "G2", "kind": "current_source", "value": "1 mA", "tags": {"+": "x", "-": "GND"}`,
			`"ref": "G3", "kind": "current_source", "value": "1 mA", "tags": {"+": "GND", "-": "x"}`), false,
			[]string{"net x floats: nothing that conducts leads from there to ground"}},

		{"no ground", drawing(`"ref": "BT2", "kind": "battery", "params": {"voltage": 3, "resistance": 1}, "tags": {"+": "a", "-": "b"}`,
			`"ref": "BT1", "kind": "battery", "params": {"voltage": 3, "resistance": 1}, "tags": {"+": "c", "-": "a"}`,
			`"ref": "R1", "kind": "resistor", "value": "1k", "tags": {"1": "c", "2": "b"}`), false,
			[]string{"nothing is joined to ground; voltages are counted from BT2's minus (−)"}},
		{"no ground and no source", drawing(`"ref": "R1", "kind": "resistor", "value": "1k", "tags": {"1": "c", "2": "b"}`, `"ref": "R2", "kind": "resistor", "value": "1k", "tags": {"1": "c", "2": "b"}`), false,
			[]string{"nothing is joined to ground; voltages are counted from net b"}},
		{"an island", drawing(battery, load, `"ref": "R2", "kind": "resistor", "value": "1k", "tags": {"1": "x", "2": "y"}`, `"ref": "R3", "kind": "resistor", "value": "1k", "tags": {"1": "x", "2": "y"}`), false,
			[]string{"nets x and y float: nothing that conducts leads from there to ground"}},
		{"behind an open switch", drawing(battery, load, `"ref": "S1", "kind": "switch", "tags": {"1": "v", "2": "y"}`, `"ref": "R3", "kind": "resistor", "value": "1k", "tags": {"1": "x", "2": "y"}`, `"ref": "R4", "kind": "resistor", "value": "1k", "tags": {"1": "x", "2": "y"}`), false,
			[]string{"nets x and y float while S1 is open: nothing that conducts leads from there to ground"}},
		{"two gates", drawing(battery, `"ref": "Q1", "kind": "nmos", "tags": {"D": "v", "G": "g", "S": "GND"}`, `"ref": "Q2", "kind": "nmos", "tags": {"D": "v", "G": "g", "S": "GND"}`), false,
			[]string{
				"Q1's gate floats; it is taken as off here, though any charge may turn it on: tie the gate to the source with 10 to 100 kΩ",
				"Q2's gate floats; it is taken as off here, though any charge may turn it on: tie the gate to the source with 10 to 100 kΩ",
				"net g floats: nothing that conducts leads from there to ground",
			}},

		{"a loose end", wired(`{"points": [[0, 0], [3, 0]]}, {"points": [[0, 4], [0, 6]]}`), false, []string{
			"BT1's minus (−) goes nowhere",
			"BT1's plus (+) goes nowhere",
			"a wire's loose end near BT1's minus (−): lead it to a pin or a wire, or take it away",
			"a wire's loose end near BT1's plus (+): lead it to a pin or a wire, or take it away",
			"nothing is joined to ground; voltages are counted from BT1's minus (−)",
		}},
		{"a missing value", drawing(battery, load, `"ref": "R2", "kind": "resistor", "tags": {"1": "v", "2": "GND"}`), false,
			[]string{"R2 is left open: its resistance is not known; enter it"}},
		{"a value out of its range", drawing(battery, load, `"ref": "R2", "kind": "resistor", "params": {"resistance": -5}, "tags": {"1": "v", "2": "GND"}`), false,
			[]string{"R2.resistance: −5 Ω is outside 0 Ω to 1e15 Ω; correct it: until then R2 is left open"}},
		{"a value that cannot be read", drawing(battery, load, `"ref": "R2", "kind": "resistor", "value": "abc", "tags": {"1": "v", "2": "GND"}`), false,
			[]string{`R2: "abc" has no number in it; write a number such as 4.7k: until then R2 is left open`}},
		{"a bare motor has the catalogue's winding", drawing(battery, load, `"ref": "M1", "kind": "motor", "tags": {"+": "v", "-": "GND"}`), false, nil},
		{"one of two values is out of its range", drawing(battery, load, `"ref": "E1", "kind": "lamp", "params": {"rated_voltage": -5}, "tags": {"1": "v", "2": "GND"}`), false, []string{
			"E1 is left open: its rated power is not known; enter it",
			"E1.rated_voltage: −5 V is outside 1 µV to 1 MV; correct it: until then E1 is left open",
		}},
		{"two missing values", drawing(battery, load, `"ref": "E1", "kind": "lamp", "tags": {"1": "v", "2": "GND"}`), false,
			[]string{"E1 is left open: its rated voltage and rated power are not known; enter them"}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			d := decode(t, tt.drawing)
			r, err := Solve(context.Background(), d, Options{})
			if err != nil {
				t.Fatal(err)
			}
			if r.Solved == tt.stops {
				t.Errorf("solved: %v", r.Solved)
			}
			if got := texts(r.Faults); !slices.Equal(got, tt.want) {
				t.Errorf("got\n\t%s\nwant\n\t%s", strings.Join(got, "\n\t"), strings.Join(tt.want, "\n\t"))
			}
			if r.Solved {
				checkBalance(t, d, r)
			}
		})
	}
}

// What a file may not hold can still come about while a drawing is edited.
func TestFaultsOfEditing(t *testing.T) {
	chip := `"ref": "IC1", "kind": "chip", "pins": [{"number": "1", "role": "supply"}, {"number": "2", "role": "ground"}, {"number": "3", "role": "output"}, {"number": "4", "role": "input"}], "tags": {"1": "v", "2": "GND"}`
	contact := `"ref": "S1", "kind": "switch", "tags": {"1": "v", "2": "GND"}`
	tests := []struct {
		name  string
		edit  func(d *model.Diagram)
		set   model.Setting
		stops bool
		want  []string
	}{
		{"two parts of one name", func(d *model.Diagram) { d.Parts[1].Ref = "BT1" }, nil, true,
			[]string{"more than one part is called BT1; rename the others"}},
		{"a tag on no pin", func(d *model.Diagram) { d.Parts[1].Tags = map[string]string{"1": "v", "2": "GND", "3": "x"} }, nil, false,
			[]string{"R1 has the tag x on pin 3, which it does not have; move the tag"}},
		{"an unknown kind", func(d *model.Diagram) { d.Parts[1].Kind = "valve" }, nil, false,
			[]string{`R1 is of an unknown kind "valve"`}},
		{"a mode that sets what is not there", func(d *model.Diagram) {
			d.Modes = []*model.Mode{{Name: "On", Set: map[string]string{
				"IC1.9": "low", "IC1.4": "high", "IC1.3": "up", "S9": "closed", "R1": "closed", "S1": "open",
			}}}
		}, nil, false, []string{
			`IC1.3: "up" is not one of high, low, off`,
			"mode On sets IC1.4, but that pin is no output; make it one or leave it out of the mode",
			"mode On sets IC1.9, but IC1 has no pin 9",
			"mode On sets R1, but R1 has no states; name one of its pins or set a switch",
			"mode On sets S9, but there is no S9",
		}},
		{"settings of what is not there", func(*model.Diagram) {}, model.Setting{
			"R9":          {"resistance": model.Number(5)},
			"R1":          {"length": model.Number(5), "resistance": model.Number(100)},
			"IC1":         {"3": model.Word("low")},
			model.Drawing: {"temperature": model.Number(300), "weather": model.Word("fine")},
		}, false, []string{
			"R1.length is set, but R1 has no such quantity",
			"R9.resistance is set, but there is no R9",
			"drawing.weather is set, but the drawing has no such quantity",
		}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			d := decode(t, drawing(battery, load, chip, contact))
			tt.edit(d)
			r, err := Solve(context.Background(), d, Options{Set: tt.set})
			if err != nil {
				t.Fatal(err)
			}
			if r.Solved == tt.stops {
				t.Errorf("solved: %v", r.Solved)
			}
			if got := texts(r.Faults); !slices.Equal(got, tt.want) {
				t.Errorf("got\n\t%s\nwant\n\t%s", strings.Join(got, "\n\t"), strings.Join(tt.want, "\n\t"))
			}
		})
	}
}

// No figure stands beside a fault that stops the analysis.
func TestNoFiguresUnsolved(t *testing.T) {
	d := decode(t, drawing(ideal, load, `"ref": "R7", "kind": "resistor", "value": "0", "tags": {"1": "v", "2": "GND"}`))
	r, err := Solve(context.Background(), d, Options{})
	if err != nil {
		t.Fatal(err)
	}
	for n, v := range r.Volts {
		if !math.IsNaN(v) {
			t.Errorf("net %d stands at %g", n, v)
		}
	}
	for ref, p := range r.Parts {
		for _, pin := range p.Pins {
			if !math.IsNaN(pin.Amps) {
				t.Errorf("%s.%s carries %g", ref, pin.Name, pin.Amps)
			}
		}
		if !math.IsNaN(p.Power) {
			t.Errorf("%s absorbs %g", ref, p.Power)
		}
	}
	if _, err := Quantity(r, d, "net.v.volts"); err == nil {
		t.Error("a quantity of an unsolved circuit has a value")
	}
}

func TestFaultsPointAtTheDrawing(t *testing.T) {
	d := decode(t, wired(`{"points": [[0, 0], [3, 0], [3, 4], [0, 4]]}, {"points": [[3, 2], [5, 2]]}`))
	r, err := Solve(context.Background(), d, Options{})
	if err != nil {
		t.Fatal(err)
	}
	short, loose := r.Faults[0], r.Faults[1]
	if !short.Stops || !slices.Equal(short.Parts, []string{"BT1"}) || !slices.Equal(short.Wires, []int{0}) {
		t.Errorf("the short points at %+v", short)
	}
	if loose.At == nil || *loose.At != geom.Pt(5, 2) || !slices.Equal(loose.Wires, []int{1}) {
		t.Errorf("the loose end points at %+v", loose)
	}
}
