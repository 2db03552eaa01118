package symbol_test

import (
	"testing"

	"copperglass/canvas/symbol"
	"copperglass/model"
	"copperglass/model/geom"
)

// specimen is a part as a drawing might have it.
type specimen struct {
	name   string
	part   *model.Part
	values model.Values
}

// variants are the specimens that are more than their kind with nothing set.
func variants() map[string][]specimen {
	of := func(name string, p model.Part, v model.Values) specimen {
		return specimen{name, &p, v}
	}
	state := func(s string) model.Values { return model.Values{"state": model.Word(s)} }
	cells := func(n float64) model.Values { return model.Values{"cells": model.Number(n)} }
	polarised := model.Params{"polarised": model.Flag(true)}
	return map[string][]specimen{
		"capacitor": {of("plain", model.Part{}, nil), of("polarised", model.Part{Params: polarised}, nil)},
		"battery": {
			of("1 cell", model.Part{}, cells(1)), of("2 cells", model.Part{}, cells(2)),
			of("3 cells", model.Part{}, cells(3)), of("6 cells", model.Part{}, cells(6)),
		},
		"switch": {of("open", model.Part{}, state("open")), of("closed", model.Part{}, state("closed"))},
		"button": {of("at rest", model.Part{}, state("open")), of("pressed", model.Part{}, state("closed"))},
		"meter": {
			of("volts", model.Part{}, model.Values{"measures": model.Word("volts")}),
			of("amps", model.Part{}, model.Values{"measures": model.Word("amps")}),
		},
		"chip": {of("five pins", model.Part{Pins: []model.ChipPin{
			{Number: "3", Role: "supply"}, {Number: "6", Role: "ground"}, {Number: "5", Name: "in", Role: "input"},
			{Number: "7", Name: "white", Role: "output"}, {Number: "2", Name: "amber", Role: "open_drain"},
		}}, model.Values{"7": model.Word("low"), "2": model.Word("high")})},
		"tag":   {of("named", model.Part{Value: "Rail"}, nil)},
		"arrow": {of("short", model.Part{Params: model.Params{"length": model.Number(2)}}, nil)},
		"note":  {of("two lines", model.Part{Value: "High-side switch,\ndriven from pin 7"}, nil)},
	}
}

// specimens returns at least one specimen of every kind, in the order of the
// palette.
func specimens() []specimen {
	varied := variants()
	var all []specimen
	for _, k := range model.Kinds() {
		list := varied[k.Name]
		if list == nil {
			list = []specimen{{part: &model.Part{}}}
		}
		for _, s := range list {
			s.part.Kind = k.Name
			s.name = k.Name + " " + s.name
			all = append(all, s)
		}
	}
	return all
}

func orientations() []geom.Orientation {
	var all []geom.Orientation
	for _, turn := range []int{0, 90, 180, 270} {
		all = append(all, geom.Orientation{Turn: turn}, geom.Orientation{Turn: turn, Mirror: true})
	}
	return all
}

// everywhere runs f on every specimen in every orientation and standard.
func everywhere(t *testing.T, f func(t *testing.T, s specimen, std symbol.Standard)) {
	for _, s := range specimens() {
		t.Run(s.name, func(t *testing.T) {
			t.Parallel()
			for _, o := range orientations() {
				s := s
				s.part = s.part.Clone()
				s.part.At, s.part.Orient = geom.Pt(7, -3), o
				f(t, s, symbol.IEC)
				f(t, s, symbol.IEEE)
			}
		})
	}
}
