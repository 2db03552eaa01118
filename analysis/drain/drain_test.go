package drain

import (
	"bytes"
	"context"
	"fmt"
	"math"
	"strings"
	"testing"

	"copperglass/assets"
	"copperglass/model"
	"copperglass/model/file"
)

// curveCell is a cell given by functions of the charge taken in ampere hours.
type curveCell struct {
	hours    float64 // Ah
	volts    func(taken float64) float64
	ohms     func(taken float64) float64
	endPoint float64
}

func (c curveCell) At(used float64) (volts, ohms float64) {
	return c.volts(used * c.hours), c.ohms(used * c.hours)
}
func (c curveCell) Coulombs(float64) float64 { return 3600 * c.hours }
func (c curveCell) Heaviest() float64        { return math.Inf(1) }
func (c curveCell) EndPoint() float64        { return c.endPoint }

func level(x float64) func(float64) float64 { return func(float64) float64 { return x } }

func falling(x, slope float64) func(float64) float64 {
	return func(taken float64) float64 { return x - slope*taken }
}

func decode(t *testing.T, parts ...string) *model.Diagram {
	t.Helper()
	d, err := file.Decode(strings.NewReader(`{"format": "copperglass", "version": 1, "parts": [{` + strings.Join(parts, "}, {") + `}]}`))
	if err != nil {
		t.Fatal(err)
	}
	return d
}

func run(t *testing.T, d *model.Diagram, o Options) *Discharge {
	t.Helper()
	out, err := Run(context.Background(), d, o)
	if err != nil {
		t.Fatal(err)
	}
	if len(out.Faults) > 0 {
		t.Fatal(out.Faults)
	}
	return out
}

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s: %.10g, want %.10g", what, got, want)
	}
}

const bt1 = `"ref": "BT1", "kind": "battery", "value": "LR6", "tags": {"+": "p", "-": "GND"}`

func resistor(ohms string) string {
	return `"ref": "R1", "kind": "resistor", "value": "` + ohms + `", "tags": {"1": "p", "2": "GND"}`
}

// Constant current: 1.2 Ah at 50 mA last 24 h, 14.4 h from six tenths.
func TestConstantCurrent(t *testing.T) {
	t.Parallel()
	cell := curveCell{1.2, level(1.5), level(0.3), 0.9}
	for _, tt := range []struct {
		left  string
		hours float64
	}{{"1", 24}, {"0.6", 14.4}} {
		d := decode(t, `"ref": "BT1", "kind": "battery", "value": "LR6", "params": {"charge_left": `+tt.left+`}, "tags": {"+": "p", "-": "GND"}`,
			`"ref": "I1", "kind": "current_source", "params": {"current": 0.05}, "tags": {"+": "GND", "-": "p"}`)
		out := run(t, d, Options{Cells: map[string]Cell{"BT1": cell}})
		last := out.Points[len(out.Points)-1]
		near(t, "hours", last.Hours, tt.hours, 1e-9*tt.hours)
		near(t, "volts", last.Volts, 1.5-0.3*0.05, 1e-9)
		near(t, "delivered", out.Books.Delivered/3600, 1.485*0.05*tt.hours, 1e-8)
		near(t, "heat", out.Books.Heat/3600, 0.3*0.05*0.05*tt.hours, 1e-10)
		if out.Stop != Empty || !math.IsNaN(out.Ends.EndPoint) || !math.IsNaN(out.Ends.HalfLight) {
			t.Errorf("stops %q with ends %v", out.Stop, out.Ends)
		}
	}
}

// A resistance on a voltage that falls with the charge q as E − a q: the
// current falls as exp(−t/τ) with τ = (R + r)/a.
func TestResistorOnAFallingVoltage(t *testing.T) {
	t.Parallel()
	const e, a, r, load = 3.2, 0.6, 0.6, 30.0
	out := run(t, decode(t, bt1, resistor("30")), Options{Cells: map[string]Cell{"BT1": curveCell{4, falling(e, a), level(r), 1.8}}})
	tau := (load + r) / a
	for _, p := range out.Points {
		near(t, "volts", p.Volts, e*load/(load+r)*math.Exp(-p.Hours/tau), 1e-8)
	}
	near(t, "hours to 1.8 V", out.Ends.EndPoint, tau*math.Log(e*load/(load+r)/1.8), 1e-6)
}

// A resistance that rises with the charge taken, r + b q, on E − a q: the time
// is −(b/a) q + ((R + r)/a + b E/a²) ln(E/(E − a q)).
func TestResistanceRising(t *testing.T) {
	t.Parallel()
	const e, a, r, b, load = 1.6, 0.4, 0.3, 0.5, 15.0
	cell := curveCell{1.4, falling(e, a), falling(r, -b), 1.0}
	out := run(t, decode(t, bt1, resistor("15")), Options{Cells: map[string]Cell{"BT1": cell}})
	hours := func(q float64) float64 { return -b/a*q + ((load+r)/a+b*e/(a*a))*math.Log(e/(e-a*q)) }
	for _, p := range out.Points {
		near(t, "hours", p.Hours, hours(1.4*(1-p.ChargeLeft)), 1e-7)
	}
	// At the poles load (e − a q)/(load + r + b q) = 1.
	q := (load*e - load - r) / (load*a + b)
	near(t, "hours to 1.0 V", out.Ends.EndPoint, hours(q), 1e-6)
}

// A voltage in straight pieces: each takes (R + r)/slope ln(E/E') hours.
func TestStraightPieces(t *testing.T) {
	t.Parallel()
	curve := [][2]float64{{0, 1.6}, {0.1, 1.48}, {0.5, 1.31}, {0.9, 1.12}, {1, 0.95}}
	volts := func(q float64) float64 {
		for i := 1; i < len(curve); i++ {
			if a, b := curve[i-1], curve[i]; q <= b[0] {
				return a[1] + (b[1]-a[1])*(q-a[0])/(b[0]-a[0])
			}
		}
		return 0.95
	}
	out := run(t, decode(t, bt1, resistor("20")), Options{Cells: map[string]Cell{"BT1": curveCell{1, volts, level(0.5), 1.1}}})
	want, energy := 0.0, 0.0
	for i := 1; i < len(curve); i++ {
		a, b := curve[i-1], curve[i]
		want += 20.5 * (b[0] - a[0]) / (a[1] - b[1]) * math.Log(a[1]/b[1])
		energy += (a[1] + b[1]) / 2 * (b[0] - a[0]) * 20 / 20.5
	}
	near(t, "hours to empty", out.Points[len(out.Points)-1].Hours, want, 1e-5)
	near(t, "energy to the load", out.Books.Taken/3600, energy, 1e-6)
}

// A quarter of an hour a day at 120 mA and 8 µA for the rest take 30.19 mAh a
// day out of 1.1 Ah.
func TestDaySchedule(t *testing.T) {
	t.Parallel()
	d := decode(t, bt1, `"ref": "I1", "kind": "current_source", "value": "8 µA", "tags": {"+": "GND", "-": "p"}`,
		fmt.Sprintf(`"ref": "R1", "kind": "resistor", "params": {"resistance": %v}, "tags": {"1": "p", "2": "q"}`, (1.5-0.5*0.12)/(0.12-8e-6)),
		`"ref": "S1", "kind": "switch", "tags": {"1": "q", "2": "GND"}`)
	d.Modes = []*model.Mode{{Name: "Lit", Set: map[string]string{"S1": "closed"}}, {Name: "Off", Set: map[string]string{"S1": "open"}}}
	cell := curveCell{1.1, level(1.5), level(0.5), 0.9}
	out := run(t, d, Options{Day: []Phase{{Mode: "Lit", Hours: 0.25}, {Mode: "Off", Hours: 23.75}}, Cells: map[string]Cell{"BT1": cell}})
	near(t, "hours", out.Points[len(out.Points)-1].Hours, 1.1/0.03019*24, 1e-4)
}

// Two cells in a row at 0.1 A: the weaker, of 0.8 Ah, is empty after 8 h, the
// other after 10 h.
func TestUnequalCellsInARow(t *testing.T) {
	t.Parallel()
	d := decode(t, `"ref": "BT1", "kind": "battery", "value": "LR6", "tags": {"+": "p", "-": "m"}`,
		`"ref": "BT2", "kind": "battery", "value": "LR6", "tags": {"+": "m", "-": "GND"}`,
		`"ref": "I1", "kind": "current_source", "params": {"current": 0.1}, "tags": {"+": "GND", "-": "p"}`)
	cell := func(hours float64) Cell { return curveCell{hours, falling(1.5, 0.6/hours), level(0.3), 0.9} }
	out := run(t, d, Options{Cells: map[string]Cell{"BT1": cell(1), "BT2": cell(0.8)}})
	var weak Point
	for _, p := range out.Points {
		if p.Left["BT2"] == 0 {
			weak = p
			break
		}
	}
	near(t, "the weaker is empty", weak.Hours, 8, 8e-6)
	near(t, "the weaker just before", weak.Volts, 1.5-0.6-0.3*0.1, 1e-6)
	near(t, "what the stronger has left then", weak.Left["BT1"], 0.2, 1e-7)
	near(t, "the stronger is empty", out.Points[len(out.Points)-1].Hours, 10, 1e-5)
	if out.Battery != "BT2" {
		t.Errorf("follows %s", out.Battery)
	}
	near(t, "the weaker's poles turned round", weakAfter(out).Volts, -0.3*0.1, 1e-9)
	if !strings.Contains(strings.Join(out.Notes, "\n"), "BT2 is empty after 8 h; the others then drive 100 mA on through it and turn its poles round, 30 mV the wrong way") {
		t.Errorf("notes: %q", out.Notes)
	}
	hours, end := out.Lasts() // 1.5 V − 0.75 V/Ah × 0.1 A t − 0.03 V = 0.9 V
	near(t, "lasts", hours, 7.6, 1e-6)
	if end != AtEndPoint {
		t.Errorf("ends by %s", end)
	}
}

// weakAfter is the first point at which the battery that is followed is empty
// and the jump has been.
func weakAfter(out *Discharge) Point {
	for i, p := range out.Points {
		if p.ChargeLeft == 0 {
			return out.Points[i+1]
		}
	}
	return Point{}
}

// The books of a lantern: what the cells give is what the poles and their own
// resistance take, and the poles give what the circuit takes.
func TestBooksBalance(t *testing.T) {
	t.Parallel()
	out := run(t, lantern(t), Options{Mode: "White"})
	b := out.Books
	near(t, "energy", (b.Heat+b.Delivered)/b.Energy, 1, 1e-9)
	near(t, "delivered", b.Taken/b.Delivered, 1, 1e-9)
	if !(out.Ends.HalfLight > 0) || len(out.Points) < 20 {
		t.Errorf("ends %v after %d points", out.Ends, len(out.Points))
	}
	for i, p := range out.Points[1:] {
		if q := out.Points[i]; p.Amps > q.Amps || p.Light > q.Light || p.ChargeLeft > q.ChargeLeft || p.Hours <= q.Hours {
			t.Fatalf("from %v to %v", q, p)
		}
	}
}

func lantern(t *testing.T) *model.Diagram {
	t.Helper()
	return example(t, "lantern")
}

func example(t *testing.T, name string) *model.Diagram {
	t.Helper()
	text, err := assets.Example(name)
	if err != nil {
		t.Fatal(err)
	}
	d, err := file.Decode(bytes.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	return d
}
