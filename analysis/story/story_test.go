package story

import (
	"context"
	"strings"
	"testing"

	"copperglass/model/file"
)

// The figures are those of each step: 5 V or 2.5 V on 1 kΩ.
func TestTell(t *testing.T) {
	t.Parallel()
	d, err := file.Decode(strings.NewReader(`{"format": "copperglass", "version": 1, "parts": [
		{"ref": "G1", "kind": "supply", "value": "5 V", "tags": {"+": "p", "-": "GND"}},
		{"ref": "R1", "kind": "resistor", "value": "1k", "tags": {"1": "p", "2": "GND"}}],
		"story": [
		{"title": "As it is", "text": "{R1.2.amps} flow at {net.p.volts}.", "lit": ["R1"]},
		{"title": "Half", "set": {"G1.voltage": 2.5}, "text": "{R1.words} {G1.resistance}"},
		{"title": "Unknown", "text": "{R9.watts}, {net.q.volts} and {R1.state}"}]}`))
	if err != nil {
		t.Fatal(err)
	}
	pages, err := Tell(context.Background(), d)
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range []string{
		"5.00 mA flow at 5.00 V.",
		"R1 drops 2.5 V at 2.5 mA and turns 6.25 mW into heat, 5 % of its limit. 0 Ω",
		"–, – and –",
	} {
		if pages[i].Text != want {
			t.Errorf("%q, want %q", pages[i].Text, want)
		}
	}
	if strings.Join(pages[2].Unknown, " ") != "R9.watts net.q.volts R1.state" || pages[0].Unknown != nil {
		t.Errorf("%v", pages[2].Unknown)
	}
	d.Story[1].Mode = "Off"
	if _, err := Tell(context.Background(), d); err == nil || !strings.HasPrefix(err.Error(), "step 2: there is no mode") {
		t.Errorf("%v", err)
	}
}

// What limits a current is told for the values of the step, as if they were
// drawn: more in the place of the link, less is left to the others.
func TestSentencesOfAStep(t *testing.T) {
	t.Parallel()
	tell := func(ohms, set string) string {
		d, err := file.Decode(strings.NewReader(`{"format": "copperglass", "version": 1, "parts": [
			{"ref": "BT1", "kind": "battery", "value": "3 × AA alkaline", "tags": {"+": "p", "-": "GND"}},
			{"ref": "Q1", "kind": "pnp", "tags": {"E": "p", "B": "b", "C": "c"}},
			{"ref": "R1", "kind": "resistor", "value": "` + ohms + `", "tags": {"1": "b", "2": "GND"}},
			{"ref": "R2", "kind": "resistor", "value": "0", "tags": {"1": "c", "2": "a"}},
			{"ref": "D1", "kind": "led", "value": "white", "count": 12, "tags": {"A": "a", "K": "GND"}}],
			"story": [{"title": "A step", "set": {` + set + `}, "text": "{R2.words}"}]}`))
		if err != nil {
			t.Fatal(err)
		}
		pages, err := Tell(context.Background(), d)
		if err != nil {
			t.Fatal(err)
		}
		return pages[0].Text
	}
	got, want := tell("330", `"R1.resistance": 1500`), tell("1k5", "")
	if got != want || !strings.Contains(want, "the base current through R1") || want == tell("330", "") {
		t.Errorf("%q, drawn so it is %q", got, want)
	}
}
