package model

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"copperglass/model/geom"
)

var origin = geom.Pt(0, 0)

// testChipPins have every role, and a supply pin more than needed.
var testChipPins = []ChipPin{
	{Number: "1", Name: "VCC", Role: "supply"},
	{Number: "2", Name: "OUT", Role: "output"},
	{Number: "3", Name: "LED", Role: "output"},
	{Number: "4", Name: "INT", Role: "open_drain"},
	{Number: "5", Name: "IN", Role: "input"},
	{Number: "6", Name: "NC", Role: "none"},
	{Number: "7", Name: "GND", Role: "ground"},
	{Number: "8", Name: "AVCC", Role: "supply", Side: "left"},
}

func TestChipOutputs(t *testing.T) {
	t.Parallel()
	chip := &Part{Ref: "IC1", Kind: "chip", Pins: testChipPins, Params: Params{
		"supply_current": Number(1e-3), "output_resistance_high": Number(70), "output_resistance_low": Number(60)}}
	idle := CurrentSource{"7", "1", 1e-3}
	for _, c := range []struct {
		set  Params
		want []Element
	}{
		{nil, []Element{idle}},
		{Params{"2": Word("high"), "3": Word("low")}, []Element{Resistance{"1", "2", 70}, Resistance{"3", "7", 60}, idle}},
		{Params{"2": Word("off"), "4": Word("low")}, []Element{Resistance{"4", "7", 60}, idle}},
		{Params{"4": Word("high")}, []Element{idle}}, // an open drain cannot
		{Params{"5": Word("low"), "6": Word("low")}, []Element{idle}},
		{Params{"supply_current": Number(0)}, nil},
	} {
		got := chip.LookupKind().Elements(chip, resolved(t, chip, Setting{"IC1": c.set}))
		if !slices.EqualFunc(got, c.want, func(a, b Element) bool { return a == b }) {
			t.Errorf("%v: %v, want %v", c.set, got, c.want)
		}
	}
}

func TestUnknownPinStateIsRefused(t *testing.T) {
	t.Parallel()
	chip := &Part{Ref: "IC1", Kind: "chip", Pins: testChipPins}
	_, problems := new(Diagram).Resolve(chip, Setting{"IC1": {"2": Word("hihg")}})
	if len(problems) != 1 || !strings.Contains(problems[0], "IC1.2") {
		t.Errorf("problems %q, want one that names IC1.2", problems)
	}
}

// TestChipLayout lays chips out with every share of pins on the sides: each
// pin stands one step outside the box, two or more from the next, and the box
// is symmetric about the origin.
func TestChipLayout(t *testing.T) {
	t.Parallel()
	for n := range 256 {
		p := &Part{Kind: "chip"}
		for i, side := range []string{"left", "right", "top", "bottom"} {
			for range n >> (2 * i) & 3 {
				number := fmt.Sprint(len(p.Pins) + 1)
				p.Pins = append(p.Pins, ChipPin{Number: number, Name: "PIN", Role: "none", Side: side})
			}
		}
		checkChipLayout(t, p)
	}
}

func checkChipLayout(t *testing.T, p *Part) {
	t.Helper()
	box, pins := ChipBox(p), chipPins(p)
	if box.Min != geom.Pt(-box.Max.X, -box.Max.Y) {
		t.Errorf("%v is not symmetric", box)
	}
	for i, pin := range pins {
		if inner := pin.At.Sub(pin.Out); box.Contains(pin.At) || !box.Contains(inner) {
			t.Errorf("pin %s at %v is not one step outside %v", pin.Name, pin.At, box)
		}
		for _, other := range pins[:i] {
			if d := pin.At.Sub(other.At); d.X*d.X+d.Y*d.Y < 4 {
				t.Errorf("pins %s and %s are at %v and %v", pin.Name, other.Name, pin.At, other.At)
			}
		}
	}
}

func TestChipSidesFollowRoles(t *testing.T) {
	t.Parallel()
	p := &Part{Kind: "chip", Pins: testChipPins}
	want := map[string]geom.Point{"1": upwards, "2": rightwards, "3": rightwards, "4": rightwards,
		"5": leftwards, "6": leftwards, "7": downwards, "8": leftwards}
	for _, pin := range chipPins(p) {
		if pin.Out != want[pin.Name] {
			t.Errorf("pin %s leaves towards %v, want %v", pin.Name, pin.Out, want[pin.Name])
		}
	}
}

// TestNewChipsDoNotShareTheirPins changes one new chip and looks at the next.
func TestNewChipsDoNotShareTheirPins(t *testing.T) {
	t.Parallel()
	k := LookupKind("chip")
	k.NewPart(origin).Pins[0].Name = "RESET"
	if name := k.NewPart(origin).Pins[0].Name; name != "" {
		t.Errorf("a new chip's first pin is called %q", name)
	}
}
