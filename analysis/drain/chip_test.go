package drain

import (
	"context"
	"math"
	"strings"
	"testing"

	"copperglass/model"
	"copperglass/model/file"
)

// chipLamp is an LED on a CR2032, at a chip's output or beside the chip.
func chipLamp(t *testing.T, from string) *model.Diagram {
	t.Helper()
	d, err := file.Decode(strings.NewReader(`{"format": "copperglass", "version": 1, "parts": [
		{"ref": "BT1", "kind": "battery", "value": "CR2032", "tags": {"+": "p", "-": "GND"}},
		{"ref": "IC1", "kind": "chip", "pins": [{"number": "1", "role": "supply"}, {"number": "2", "role": "output"}, {"number": "3", "role": "ground"}],
			"params": {"brown_out_voltage": 2.8}, "tags": {"1": "p", "2": "o", "3": "GND"}},
		{"ref": "R1", "kind": "resistor", "value": "470", "tags": {"1": "` + from + `", "2": "a"}},
		{"ref": "D1", "kind": "led", "value": "red", "tags": {"A": "a", "K": "GND"}}],
		"modes": [{"name": "On", "set": {"IC1.2": "high"}, "each_day": "2 h"}, {"name": "Off", "set": {"IC1.2": "off"}, "each_day": "rest"}]}`))
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// The light of an LED at a chip's output ends with the chip; that of one beside
// it goes on.
func TestLightEndsWithTheChip(t *testing.T) {
	t.Parallel()
	run := func(from string) (Ends, string) {
		x, err := Run(context.Background(), chipLamp(t, from), Options{Mode: "On"})
		if err != nil || !(x.Ends.BrownOut > 0) {
			t.Fatalf("%+v, %v", x, err)
		}
		return x.Ends, strings.Join(x.Notes, "; ")
	}
	if e, notes := run("o"); !e.WithChip || e.HalfLight != e.BrownOut || !strings.Contains(notes, "ends with the chip") {
		t.Errorf("at the output: %+v, %s", e, notes)
	}
	if e, notes := run("p"); e.WithChip || !(e.HalfLight > e.BrownOut) || strings.Contains(notes, "ends with the chip") {
		t.Errorf("beside the chip: %+v, %s", e, notes)
	}
}

// Two hours of each day are a twelfth of the time.
func TestHoursInTheMode(t *testing.T) {
	t.Parallel()
	x := Discharge{Mode: "On", Day: []Phase{{Mode: "On", Hours: 1.5}, {Mode: "Off", Hours: 22}, {Mode: "On", Hours: 0.5}}}
	if hours, ok := x.InMode(60); !ok || math.Abs(hours-5) > 1e-12 {
		t.Errorf("%v, %v", hours, ok)
	}
	if _, ok := (&Discharge{Mode: "On"}).InMode(60); ok {
		t.Error("told without a day")
	}
}

// Away from room temperature a note says what the curves leave out.
func TestNotesOfTemperature(t *testing.T) {
	t.Parallel()
	for celsius, want := range map[float64]string{-20: "BT1 is at −20 °C: its resistance", 9: "BT1 is at 9 °C", 11: "", 34: "", 36: "BT1 is at 36 °C: that cells"} {
		x, err := Run(context.Background(), chipLamp(t, "o"), Options{Mode: "On", Rough: true, Set: model.Setting{model.Drawing: {"temperature": model.Number(celsius + 273.15)}}})
		if err != nil {
			t.Fatal(err)
		}
		if got := strings.Join(x.Notes, "; "); want == "" && strings.Contains(got, "°C") || !strings.Contains(got, want) {
			t.Errorf("%v °C: %q, want %q", celsius, got, want)
		}
	}
}

// A course ends where the chip stops, with the figures of that time.
func TestCourseEndsWithTheChip(t *testing.T) {
	t.Parallel()
	x := &Discharge{Points: []Point{{Hours: 0, Amps: 3}, {Hours: 4, Amps: 1}, {Hours: 6}}, Ends: Ends{BrownOut: 3}}
	c := x.Course()
	if len(c) != 2 || c[1].Hours != 3 || c[1].Amps != 1.5 || len(x.Points) != 3 || x.Points[1].Hours != 4 {
		t.Errorf("%+v", c)
	}
	for _, stop := range []float64{missing, 0, 7} {
		if x.Ends.BrownOut = stop; len(x.Course()) != 3 {
			t.Errorf("stops at %v: %+v", stop, x.Course())
		}
	}
}
