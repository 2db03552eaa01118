package drain

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"strings"
	"testing"

	"copperglass/analysis"
	"copperglass/model"
	"copperglass/model/file"
)

// batteryCase is a case of the list of batteries that run down.
type batteryCase struct {
	ID       string
	Drawing  json.RawMessage
	Data     map[string]json.RawMessage
	Expected []expectation
}

type expectation struct {
	Of        string
	Value     json.RawMessage
	Tol       float64
	Hours     *float64 `json:"at_h"`
	ChargeAmp *float64 `json:"charge_Ah"`
}

func (e expectation) value(t *testing.T) float64 {
	t.Helper()
	var x float64
	if err := json.Unmarshal(e.Value, &x); err != nil {
		t.Fatal(err)
	}
	return x
}

func (c batteryCase) number(t *testing.T, name string) float64 {
	t.Helper()
	var x float64
	if err := json.Unmarshal(c.Data[name], &x); err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	return x
}

func (c batteryCase) pairs(t *testing.T, name string) [][2]float64 {
	t.Helper()
	var x [][2]float64
	if err := json.Unmarshal(c.Data[name], &x); err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	return x
}

func (c batteryCase) diagram(t *testing.T) *model.Diagram {
	t.Helper()
	// The list's batteries have a voltage only; which cells they are is the case's own.
	d, err := file.Decode(bytes.NewReader(c.Drawing))
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// TestReferenceList runs the list of batteries of testdata/battery.json, whose
// sources stand there: own closed forms and arithmetic by hand. The handbook's
// ranges and inequalities of MBA-09 and MBA-10 are tested where the handbook is.
func TestReferenceList(t *testing.T) {
	t.Parallel()
	text, err := os.ReadFile("../../testdata/battery.json")
	if err != nil {
		t.Fatal(err)
	}
	var cases []batteryCase
	if err := json.Unmarshal(text, &cases); err != nil {
		t.Fatal(err)
	}
	figures := map[string]func(*testing.T, batteryCase) func(expectation) (float64, bool){
		"MBA-01": constantCurrent, "MBA-02": fallingVoltage, "MBA-03": steps, "MBA-04": table,
		"MBA-05": schedule, "MBA-06": risingResistance, "MBA-07": inARow,
		"MBA-08": twoVoltages,
	}
	ran := 0
	for _, c := range cases {
		of := figures[c.ID]
		if of == nil {
			continue
		}
		ran++
		t.Run(c.ID, func(t *testing.T) {
			t.Parallel()
			read := of(t, c)
			for _, e := range c.Expected {
				got, known := read(e)
				if want := e.value(t); !known || !(math.Abs(got-want) <= e.Tol) {
					t.Errorf("%s: %.8g (known %v), want %.8g within %.3g", e.Of, got, known, want, e.Tol)
				}
			}
		})
	}
	if ran != len(figures) {
		t.Errorf("%d cases are there, want %d", ran, len(figures))
	}
}

// cross is where a curve over the points of a run reaches a value, read on
// another, straight between the points.
func cross(points []Point, along, read func(Point) float64, x float64) float64 {
	for i := 1; i < len(points); i++ {
		a, b := along(points[i-1]), along(points[i])
		if (a-x)*(b-x) <= 0 && a != b {
			return read(points[i-1]) + (read(points[i])-read(points[i-1]))*(x-a)/(b-a)
		}
	}
	return math.NaN()
}

// curved is cross for curves without a kink, by the cubic through the four
// points about the place.
func curved(points []Point, along, read func(Point) float64, x float64) float64 {
	for i := 2; i+1 < len(points); i++ {
		if a, b := along(points[i-1]), along(points[i]); (a-x)*(b-x) > 0 || a == b {
			continue
		}
		sum := 0.0
		near := points[i-2 : i+2]
		for j := range near {
			term := read(near[j])
			for k := range near {
				if k != j {
					term *= (x - along(near[k])) / (along(near[j]) - along(near[k]))
				}
			}
			sum += term
		}
		return sum
	}
	return cross(points, along, read, x)
}

func hoursOf(p Point) float64 { return p.Hours }
func voltsOf(p Point) float64 { return p.Volts }
func usedOf(p Point) float64  { return 1 - p.ChargeLeft }

func last(out *Discharge) Point { return out.Points[len(out.Points)-1] }

func on(t *testing.T, c batteryCase, cell Cell, set model.Setting) *Discharge {
	t.Helper()
	return run(t, c.diagram(t), Options{Set: set, Cells: map[string]Cell{"BT1": cell}})
}

func constantCurrent(t *testing.T, c batteryCase) func(expectation) (float64, bool) {
	cell := curveCell{c.number(t, "capacity_Ah"), level(c.number(t, "E")), level(c.number(t, "r")), math.NaN()}
	full := on(t, c, cell, nil)
	part := on(t, c, cell, model.Setting{"BT1": {"charge_left": model.Number(0.6)}})
	return func(e expectation) (float64, bool) {
		switch e.Of {
		case "run time from full, h":
			return last(full).Hours, true
		case "run time from charge_left 0.6, h":
			return last(part).Hours, true
		case "terminal voltage":
			return full.Points[0].Volts, true
		case "energy to the load from full, Wh":
			return full.Books.Delivered / 3600, true
		case "heat in the cell from full, Wh":
			return full.Books.Heat / 3600, true
		case "charge_left after 10 h":
			return 1 - cross(full.Points, hoursOf, usedOf, 10), true
		}
		return 0, false
	}
}

func fallingVoltage(t *testing.T, c batteryCase) func(expectation) (float64, bool) {
	const e0, slope = 3.2, 0.6 // V and V/Ah, as the case's text has it
	r, load, stop := c.number(t, "r"), c.number(t, "R"), c.number(t, "stop_V")
	cell := curveCell{4.5, falling(e0, slope), level(r), stop}
	out := on(t, c, cell, nil)
	taken := func(p Point) float64 { return usedOf(p) * cell.hours }
	untilStop := cell
	untilStop.hours = curved(out.Points, voltsOf, taken, stop)
	short := on(t, c, untilStop, nil)
	return func(e expectation) (float64, bool) {
		switch e.Of {
		case "time constant, h": // from the run: the voltage falls to 1/e within it
			return -out.Ends.EndPoint / math.Log(stop/out.Points[0].Volts), true
		case "terminal voltage":
			return curved(out.Points, hoursOf, voltsOf, max(*e.Hours, 1e-9)), true
		case "charge taken, Ah":
			return curved(out.Points, hoursOf, taken, *e.Hours), true
		case "run time to 1.8 V at the terminals, h":
			return out.Ends.EndPoint, true
		case "charge taken then, Ah":
			return untilStop.hours, true
		case "energy to the load then, Wh":
			return short.Books.Taken / 3600, load > 0
		}
		return 0, false
	}
}

func steps(t *testing.T, c batteryCase) func(expectation) (float64, bool) {
	list := c.pairs(t, "steps [open V, Ah]")
	whole := 0.0
	ends := map[string]float64{}
	for _, s := range list {
		whole += s[1]
		ends[fmt.Sprintf("time at the end of the %.2f V step, h", s[0])] = whole
	}
	volts := func(taken float64) float64 {
		sum := 0.0
		for _, s := range list {
			if sum += s[1]; taken < sum-1e-12 {
				return s[0]
			}
		}
		return list[len(list)-1][0]
	}
	out := on(t, c, curveCell{whole, volts, level(c.number(t, "r")), math.NaN()}, nil)
	return func(e expectation) (float64, bool) {
		if taken, ok := ends[e.Of]; ok {
			if taken == whole {
				return last(out).Hours, true
			}
			return cross(out.Points, usedOf, hoursOf, taken/whole), true
		}
		switch e.Of {
		case "energy to the load, Wh":
			return out.Books.Taken / 3600, true
		case "current in the second step":
			return cross(out.Points, usedOf, func(p Point) float64 { return p.Amps }, 0.4/whole), true
		case "mean current over the whole run":
			return out.Books.Charge["BT1"] / 3600 / last(out).Hours, true
		}
		return 0, false
	}
}

func table(t *testing.T, c batteryCase) func(expectation) (float64, bool) {
	curve := c.pairs(t, "curve [fraction used, open V]")
	volts := func(q float64) float64 {
		for i := 1; i < len(curve); i++ {
			if a, b := curve[i-1], curve[i]; q <= b[0] {
				return a[1] + (b[1]-a[1])*(q-a[0])/(b[0]-a[0])
			}
		}
		return curve[len(curve)-1][1]
	}
	out := on(t, c, curveCell{c.number(t, "capacity_Ah"), volts, level(c.number(t, "r")), c.number(t, "stop_V")}, nil)
	return func(e expectation) (float64, bool) {
		var used float64
		if n, _ := fmt.Sscanf(e.Of, "time to %f used, h", &used); n == 1 {
			if used == 1 {
				return last(out).Hours, true
			}
			return cross(out.Points, usedOf, hoursOf, used), true
		}
		switch e.Of {
		case "run time to 1.1 V at the terminals, h":
			return out.Ends.EndPoint, true
		case "charge taken then, Ah":
			return cross(out.Points, voltsOf, usedOf, c.number(t, "stop_V")), true
		case "energy to the load until empty, Wh":
			return out.Books.Taken / 3600, true
		}
		return 0, false
	}
}

func schedule(t *testing.T, c batteryCase) func(expectation) (float64, bool) {
	const standby, lit, volts, ohms = 8e-6, 0.12, 1.5, 0.5
	d := decode(t, bt1, `"ref": "I1", "kind": "current_source", "value": "8 µA", "tags": {"+": "GND", "-": "p"}`,
		fmt.Sprintf(`"ref": "R1", "kind": "resistor", "params": {"resistance": %v}, "tags": {"1": "p", "2": "q"}`, (volts-ohms*lit)/(lit-standby)),
		`"ref": "S1", "kind": "switch", "tags": {"1": "q", "2": "GND"}`)
	d.Modes = []*model.Mode{{Name: "Lit", Set: map[string]string{"S1": "closed"}}, {Name: "Off", Set: map[string]string{"S1": "open"}}}
	hours := c.number(t, "capacity_Ah")
	cells := map[string]Cell{"BT1": curveCell{hours, level(volts), level(ohms), math.NaN()}}
	both := last(run(t, d, Options{Day: []Phase{{Mode: "Lit", Hours: 0.25}, {Mode: "Off", Hours: 23.75}}, Cells: cells})).Hours / 24
	alone := last(run(t, d, Options{Day: []Phase{{Mode: "Lit", Hours: 0.25}}, Cells: cells})).Hours / 24
	off := last(run(t, d, Options{Mode: "Off", Cells: cells}))
	return func(e expectation) (float64, bool) {
		switch e.Of {
		case "charge a day, Ah":
			return hours / both, true
		case "days":
			return both, true
		case "days without standby":
			return alone, true
		case "years on standby alone": // the run ends after ten
			return off.Hours / 8766 / usedOf(off), true
		}
		return 0, false
	}
}

func risingResistance(t *testing.T, c batteryCase) func(expectation) (float64, bool) {
	const hours, stop = 1.4, 1.0
	cell := curveCell{hours, falling(1.6, 0.4), falling(0.3, -0.5), stop}
	out := on(t, c, cell, nil)
	return func(e expectation) (float64, bool) {
		switch e.Of {
		case "time to take the charge, h":
			if *e.ChargeAmp == hours {
				return last(out).Hours, true
			}
			return curved(out.Points, usedOf, hoursOf, *e.ChargeAmp/hours), true
		case "terminal voltage":
			switch *e.ChargeAmp {
			case 0:
				return out.Points[0].Volts, true
			case hours:
				return last(out).Volts, true
			}
			return curved(out.Points, usedOf, voltsOf, *e.ChargeAmp/hours), true
		case "charge taken when the terminals reach 1.0 V, Ah":
			return hours * curved(out.Points, voltsOf, usedOf, stop), true
		case "run time to 1.0 V, h":
			return out.Ends.EndPoint, true
		}
		return 0, false
	}
}

func inARow(t *testing.T, c batteryCase) func(expectation) (float64, bool) {
	d := decode(t, `"ref": "BT1", "kind": "battery", "value": "LR6", "tags": {"+": "p", "-": "m"}`,
		`"ref": "BT2", "kind": "battery", "value": "LR6", "tags": {"+": "m", "-": "GND"}`,
		fmt.Sprintf(`"ref": "I1", "kind": "current_source", "params": {"current": %v}, "tags": {"+": "GND", "-": "p"}`, c.number(t, "I")))
	var hours []float64
	if err := json.Unmarshal(c.Data["cells [Ah]"], &hours); err != nil {
		t.Fatal(err)
	}
	r := c.number(t, "r_each")
	cell := func(hours float64) Cell { return curveCell{hours, falling(1.5, 0.6/hours), level(r), math.NaN()} }
	out := run(t, d, Options{Cells: map[string]Cell{"BT1": cell(hours[0]), "BT2": cell(hours[1])}})
	var before, after Point // the two points where the weaker cell has just become empty
	for i, p := range out.Points {
		if p.Left["BT2"] == 0 {
			before, after = p, out.Points[i+1]
			break
		}
	}
	used := 1 - before.Left["BT1"]                  // of the stronger
	stronger := 1.5 - 0.6*used - r*c.number(t, "I") // at its poles then; the points follow the weaker
	return func(e expectation) (float64, bool) {
		switch {
		case strings.HasPrefix(e.Of, "time at which the weaker"):
			return before.Hours, true
		case strings.HasPrefix(e.Of, "fraction used of the stronger"):
			return used, true
		case e.Of == "terminal voltage just before":
			return before.Volts + stronger, true
		case e.Of == "terminal voltage just after":
			return after.Volts + stronger, true
		case strings.HasPrefix(e.Of, "time at which the stronger"):
			return last(out).Hours, true
		}
		return 0, false
	}
}

// twoVoltages seeks the resistance with which the solved circuit has both
// voltages that were measured.
func twoVoltages(t *testing.T, c batteryCase) func(expectation) (float64, bool) {
	onLoad := func(name string) float64 {
		var open, under, load float64
		text := c.text(t, name)
		if n, _ := fmt.Sscanf(strings.Replace(text, "V open,", "V,", 1), "%f V, %f V on %f ohm", &open, &under, &load); n != 3 {
			t.Fatalf("%s: %s", name, text)
		}
		return halved(func(r float64) float64 { return under - atPoles(t, open, r, resistor(fmt.Sprint(load))) })
	}
	var light, heavy, before, after float64
	if n, _ := fmt.Sscanf(c.text(t, "dual_pulse"), "%f mA then %f mA; %f V then %f V", &light, &heavy, &before, &after); n != 4 {
		t.Fatal(c.text(t, "dual_pulse"))
	}
	pulse := func(r, milliamps float64) float64 {
		return atPoles(t, before+r*light/1000, r, fmt.Sprintf(`"ref": "I1", "kind": "current_source", "params": {"current": %v}, "tags": {"+": "GND", "-": "p"}`, milliamps/1000))
	}
	own := halved(func(r float64) float64 { return after - pulse(r, heavy) })
	return func(e expectation) (float64, bool) {
		switch e.Of {
		case "LR03: resistance, ohm":
			return onLoad("LR03"), true
		case "LR03, worst acceptable: resistance, ohm":
			return onLoad("LR03_worst"), true
		case "R03, worst acceptable: resistance, ohm":
			return onLoad("R03_worst"), true
		case "dual pulse: resistance, ohm":
			return own, true
		case "dual pulse: voltage change, V":
			return pulse(own, light) - pulse(own, heavy), true
		case "dual pulse: current change, A":
			return (pulse(own, light) - pulse(own, heavy)) / own, true
		}
		return 0, false
	}
}

func (c batteryCase) text(t *testing.T, name string) string {
	t.Helper()
	var s string
	if err := json.Unmarshal(c.Data[name], &s); err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	return s
}

// atPoles is the solved voltage of a battery with that load.
func atPoles(t *testing.T, open, ohms float64, load string) float64 {
	t.Helper()
	d := decode(t, fmt.Sprintf(`"ref": "BT1", "kind": "battery", "params": {"voltage": %v, "resistance": %v}, "tags": {"+": "p", "-": "GND"}`, open, ohms), load)
	r, err := analysis.Solve(context.Background(), d, analysis.Options{})
	if err != nil || !r.Solved {
		t.Fatal(err, r.Faults)
	}
	return r.Volts[r.Parts["BT1"].Pin("+").Net]
}

// halved is where a rising function is nothing, from 0 to 10.
func halved(f func(x float64) float64) float64 {
	low, high := 0.0, 10.0
	for range 50 {
		if middle := (low + high) / 2; f(middle) < 0 {
			low = middle
		} else {
			high = middle
		}
	}
	return high
}
