package analysis

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"copperglass/assets"
	"copperglass/model"
)

func influence(t testing.TB, d *model.Diagram, o Options, of string) *Influences {
	t.Helper()
	all, err := Influence(context.Background(), d, o, of)
	if err != nil {
		t.Fatalf("%s: %v", of, err)
	}
	if !all.Result.Solved {
		t.Fatalf("%s: %v", of, texts(all.Result.Faults))
	}
	return all
}

// by returns the sensitivity to a parameter; nought where it has none.
func (all *Influences) by(parameter string) Sensitivity {
	for _, s := range all.List {
		if s.Parameter == parameter {
			return s
		}
	}
	return Sensitivity{}
}

// resolved returns the quantity with the parameter moved to x.
func resolved(t testing.TB, k *Tracker, d *model.Diagram, of, parameter string, x float64) float64 {
	ref, name, _ := strings.Cut(parameter, ".")
	r := move(t, k, Move{ref, name, model.Number(x)})
	if !r.Solved {
		return math.NaN()
	}
	return figure(t, r, d, of)
}

// difference is the derivative by solving again, from central differences at
// four distances, and how far they are apart once they are carried to nought
// (L. F. Richardson, Phil. Trans. Royal Society A 210, 1911).
func difference(t testing.TB, d *model.Diagram, o Options, of string, s Sensitivity) (slope, doubt float64) {
	k := track(t, d, o)
	var raw, better [4]float64
	for i := range raw {
		h := 1e-3 * math.Abs(s.Value) / float64(int(1)<<i)
		raw[i] = (resolved(t, k, d, of, s.Parameter, s.Value+h) - resolved(t, k, d, of, s.Parameter, s.Value-h)) / (2 * h)
		if i > 0 {
			better[i] = (4*raw[i] - raw[i-1]) / 3
		}
		if i > 1 {
			doubt = max(doubt, math.Abs(better[i]-better[i-1]))
		}
	}
	return better[2], doubt
}

// atEnd reports whether the parameter cannot be moved both ways.
func atEnd(d *model.Diagram, s Sensitivity) bool {
	ref, name, _ := strings.Cut(s.Parameter, ".")
	q := model.DrawingParam(name)
	if p := d.Part(ref); p != nil {
		q = p.LookupKind().Param(name)
	}
	return (q.Min != 0 || q.Max != 0) && (s.Value*0.999 < q.Min || s.Value*1.001 > q.Max)
}

// compare checks every derivative of a quantity against solving again, where
// that says anything. What 1 % of a parameter moves by less than the floor of
// 1 % is left to rounding.
func compare(t *testing.T, d *model.Diagram, o Options, of string, floor float64) (checked int) {
	t.Helper()
	all := influence(t, d, o, of)
	o.Start = all.Result
	for _, s := range all.List {
		if s.Value == 0 || atEnd(d, s) {
			continue
		}
		want, doubt := difference(t, d, o, of, s)
		tol := 1e-6*math.Abs(want) + floor*math.Abs(all.Value/s.Value)
		if !(doubt <= tol/4) {
			continue // at a kink, or too little to be seen by solving again
		}
		checked++
		near(t, fmt.Sprintf("%s by %s", of, s.Parameter), s.Derivative, want, tol)
	}
	return checked
}

func TestExamplesByDifferences(t *testing.T) {
	t.Parallel()
	for _, name := range assets.Examples() {
		text, err := assets.Example(name)
		if err != nil {
			t.Fatal(err)
		}
		d := decode(t, string(text))
		r := solve(t, d, Options{})
		checked := 0
		for _, p := range d.Parts {
			q := r.Parts[p.Ref]
			if q == nil || len(q.Pins) < 2 {
				continue
			}
			for _, of := range []string{p.Ref + "." + q.Pins[1].Name + ".amps", p.Ref + ".watts"} {
				if math.Abs(figure(t, r, d, of)) > 1e-9 {
					checked += compare(t, d, Options{}, of, 1e-8)
				}
			}
		}
		if checked < 20 {
			t.Errorf("%s: only %d derivatives could be compared", name, checked)
		}
	}
}

// Random circuits over the whole palette, transistors upside down and nets that
// only leakage determines among them. Of such nets solving again has the
// voltage well enough, but its last digits depend on where it began.
func TestRandomCircuitsByDifferences(t *testing.T) {
	t.Parallel()
	checked := 0
	for seed := range uint64(15) {
		d := decode(t, randomDrawing(seed))
		r, err := Solve(context.Background(), d, Options{})
		if err != nil || !r.Solved {
			continue
		}
		for _, of := range []string{"BT1.+.amps", "X1.watts", "net.n2.volts"} {
			value, err := Quantity(r, d, of)
			if err == nil && math.Abs(value) > 1e-9 {
				checked += compare(t, d, Options{}, of, 1e-6)
			}
		}
	}
	t.Logf("%d derivatives compared", checked)
	if checked < 1500 {
		t.Errorf("only %d derivatives could be compared", checked)
	}
}

// What is nought can be differentiated all the same: links, leads without
// resistance, a knob at its end.
func TestInfluenceOfNothing(t *testing.T) {
	t.Parallel()
	d := decode(t, drawing(
		`"ref": "V1", "kind": "supply", "params": {"voltage": 9, "resistance": 0}, "tags": {"+": "in", "-": "GND"}`,
		`"ref": "R1", "kind": "resistor", "params": {"resistance": 0}, "tags": {"1": "in", "2": "a"}`,
		`"ref": "S1", "kind": "switch", "params": {"state": "closed"}, "tags": {"1": "a", "2": "b"}`,
		`"ref": "P1", "kind": "meter", "params": {"measures": "amps"}, "tags": {"+": "b", "-": "c"}`,
		`"ref": "RV1", "kind": "potentiometer", "params": {"resistance": 200, "position": 0}, "tags": {"1": "c", "W": "d", "2": "GND"}`,
		`"ref": "R2", "kind": "resistor", "params": {"resistance": 300}, "tags": {"1": "d", "2": "GND"}`))
	all := influence(t, d, Options{}, "P1.+.amps")
	near(t, "value", all.Value, 9/120., 1e-12)
	// In series with 200 Ω beside 300 Ω: dI/dR = −I/120 Ω.
	for _, parameter := range []string{"V1.resistance", "R1.resistance", "S1.closed_resistance", "P1.resistance"} {
		if s := all.by(parameter); s.Relative != 0 {
			t.Errorf("%s: %+v", parameter, s)
		}
	}
	for _, parameter := range []string{"V1.resistance", "R1.resistance", "S1.closed_resistance"} {
		near(t, parameter, all.by(parameter).Derivative, -9/120./120, 1e-12)
	}
	// With x of the 200 Ω before the wiper: R = 200x + 200(1−x)·300/(500−200x),
	// whose slope at 0 is 200 − 200·300/500 + 200·300·200/500² = 128.
	near(t, "position", all.by("RV1.position").Derivative, -9/120./120*128, 1e-10)
}

// Links side by side share as equal resistances would, and none of them alone
// has any influence: the others take its place.
func TestInfluenceBesideALink(t *testing.T) {
	t.Parallel()
	d := decode(t, drawing(
		`"ref": "V1", "kind": "supply", "params": {"voltage": 10, "resistance": 0}, "tags": {"+": "in", "-": "GND"}`,
		`"ref": "R1", "kind": "resistor", "params": {"resistance": 0}, "tags": {"1": "in", "2": "a"}`,
		`"ref": "R2", "kind": "resistor", "params": {"resistance": 0}, "tags": {"1": "in", "2": "a"}`,
		`"ref": "R3", "kind": "resistor", "params": {"resistance": 100}, "tags": {"1": "a", "2": "GND"}`))
	all := influence(t, d, Options{}, "R3.1.amps")
	near(t, "R1", all.by("R1.resistance").Derivative, 0, 1e-9)
	near(t, "R3", all.by("R3.resistance").Derivative, -0.001, 1e-9)
	if _, err := Influence(context.Background(), d, Options{}, "R1.1.amps"); err == nil || !strings.Contains(err.Error(), "leaves open how the current divides") {
		t.Error(err)
	}
}

// Whatever can be asked of a part is told or refused in words.
func TestInfluenceOfEverything(t *testing.T) {
	t.Parallel()
	told := 0
	for seed := range uint64(6) {
		d := decode(t, randomDrawing(seed))
		r, err := Solve(context.Background(), d, Options{})
		if err != nil || !r.Solved {
			continue
		}
		for ref, p := range r.Parts {
			of := []string{ref + ".watts", ref + ".forced_beta"}
			for _, pin := range p.Pins {
				of = append(of, ref+"."+pin.Name+".amps")
			}
			for _, f := range p.Figures {
				of = append(of, ref+"."+f.Name)
			}
			for _, name := range of {
				one := &Influences{Of: name}
				if err := r.influence(context.Background(), d, []*Influences{one}, func(string) bool { return true }); err == nil && len(one.List) > 0 {
					told++
				}
			}
		}
	}
	if told < 300 {
		t.Errorf("only %d quantities have influences", told)
	}
}

func TestInfluenceOfOddities(t *testing.T) {
	t.Parallel()
	d := decode(t, drawing(
		`"ref": "V1", "kind": "supply", "value": "5 V", "tags": {"+": "a", "-": "GND"}`,
		`"ref": "C1", "kind": "capacitor", "value": "1u", "tags": {"1": "a", "2": "GND"}`,
		`"ref": "IC1", "kind": "chip"`,
		`"ref": "E1", "kind": "lamp", "tags": {"1": "a", "2": "GND"}`,
		`"ref": "D1", "kind": "diode", "tags": {"A": "loose"}`,
		`"ref": "R1", "kind": "resistor", "value": "1k", "tags": {"1": "a", "2": "GND"}`))
	for of, want := range map[string]string{
		"C1.1.amps": "", "C1.watts": "", "IC1.watts": "", "D1.A.amps": "", "R1.voltage": "", "R1.resistance": "",
		"E1.1.amps":              "left open",
		"net.loose.volts":        "nothing determines",
		"V1.internal_resistance": "no quantity whose influences can be told",
		"drawing.temperature":    "given and not computed",
		"R1.tolerance":           "",
		"nonsense":               "no quantity",
	} {
		_, err := Influence(context.Background(), d, Options{}, of)
		if want == "" && err != nil || want != "" && (err == nil || !strings.Contains(err.Error(), want)) {
			t.Errorf("%s: %v, want %q", of, err, want)
		}
	}
}

// Of a number of cells there is no 1 % more, and the temperature at which a
// handbook's values hold is nothing that a person sets.
func TestInfluencesAreGradual(t *testing.T) {
	t.Parallel()
	d := decode(t, drawing(
		`"ref": "BT1", "kind": "battery", "value": "3 x LR6", "tags": {"+": "p", "-": "GND"}`,
		resistor("R1", 100, "p", "a"),
		`"ref": "D1", "kind": "led", "value": "red", "tags": {"A": "a", "K": "GND"}`))
	var names []string
	for _, s := range influence(t, d, Options{}, "D1.A.amps").List {
		names = append(names, s.Parameter)
	}
	for _, want := range []string{"BT1.voltage", "BT1.charge_left", "R1.resistance", "D1.saturation_current", "drawing.temperature"} {
		if !slices.Contains(names, want) {
			t.Errorf("%s is not listed", want)
		}
	}
	for _, name := range names {
		if strings.HasSuffix(name, ".cells") || strings.HasSuffix(name, ".reference_temperature") {
			t.Errorf("%s is listed", name)
		}
	}
}

// BenchmarkInfluenceAll is what sets the currents of all 50 LEDs of 200 parts.
func BenchmarkInfluenceAll(b *testing.B) {
	d := board(b, 200)
	var names []string
	for i := range 49 {
		names = append(names, fmt.Sprintf("D%d.A.amps", i+1))
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := InfluenceAll(b.Context(), d, Options{}, names, isGradual); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkInfluence is the influences of every parameter on one current, the
// solution itself included.
func BenchmarkInfluence(b *testing.B) {
	b.Run("lantern", func(b *testing.B) { benchmarkInfluence(b, lantern(b), Options{Mode: "White"}, "D1.A.amps") })
	for _, n := range []int{200, 2000} {
		b.Run(fmt.Sprintf("board/%d", n), func(b *testing.B) { benchmarkInfluence(b, board(b, n), Options{}, "BT1.+.amps") })
	}
}

func benchmarkInfluence(b *testing.B, d *model.Diagram, o Options, of string) {
	b.ReportAllocs()
	for b.Loop() {
		if all := influence(b, d, o, of); len(all.List) == 0 {
			b.Fatal("no influences")
		}
	}
}

// A result of which only the figures are kept is found again, in the state that
// it is in, where more than figures is asked of it.
func TestKeptFiguresAreFoundAgain(t *testing.T) {
	t.Parallel()
	d := decode(t, drawing(append([]string{supply(5)}, crossed("x", 1000, 10e3)...)...))
	for _, r := range states(t, d, Options{}) {
		kept := r.Clone()
		if whole := kept.whole(d); whole == nil || !isAmong(whole, []*Result{r}) {
			t.Errorf("state %d is not found again", r.Number)
		}
		if _, err := kept.probe(d, "Rx1.1.amps"); err == nil {
			t.Error("kept figures are differentiated")
		}
		if got, want := Limits(d, kept, []string{"Rx1.1.amps"})[0], Limits(d, r, []string{"Rx1.1.amps"})[0]; math.Abs(got["Rx1"]-want["Rx1"]) > 1e-9 || len(got) == 0 {
			t.Errorf("state %d: %v, not %v", r.Number, got, want)
		}
	}
}

// What sets several currents is the same asked for at once as one by one, where
// one cannot be told, too.
func TestInfluenceAll(t *testing.T) {
	t.Parallel()
	d := board(t, 40)
	names := []string{"D1.A.amps", "R1.watts", "nonsense", "net.c3.volts", "Q2.forced_beta", "R4.resistance"}
	all, err := InfluenceAll(t.Context(), d, Options{}, names, isGradual)
	if err == nil || !strings.Contains(err.Error(), "nonsense") || len(all) != len(names) || len(all[2].List) > 0 {
		t.Fatalf("%v, %d of %d", err, len(all), len(names))
	}
	for i, name := range names {
		if i == 2 {
			continue
		}
		one := influence(t, d, Options{}, name)
		if len(all[i].List) != len(one.List) || all[i].Value != one.Value || all[i].Unit != one.Unit {
			t.Fatalf("%s: %d influences, one by one %d", name, len(all[i].List), len(one.List))
		}
		for _, s := range one.List {
			if got := all[i].by(s.Parameter); math.Abs(got.Derivative-s.Derivative) > 1e-9*math.Abs(s.Derivative)+1e-12*math.Abs(one.Value/max(s.Value, 1e-300)) {
				t.Errorf("%s by %s: %g, one by one %g", name, s.Parameter, got.Derivative, s.Derivative)
			}
		}
	}
}
