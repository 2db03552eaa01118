package symbol_test

import (
	"math"
	"reflect"
	"strings"
	"testing"

	"copperglass/canvas"
	"copperglass/canvas/symbol"
	"copperglass/model"
	"copperglass/model/geom"
)

func look(std symbol.Standard) symbol.Look {
	return symbol.Look{Standard: std, Theme: canvas.LightTheme()}
}

func TestLeadsReachPins(t *testing.T) {
	everywhere(t, func(t *testing.T, s specimen, std symbol.Standard) {
		items := symbol.Draw(s.part, s.values, look(std))
		for _, pin := range s.part.PlacedPins() {
			if !reaches(items, pin) {
				t.Errorf("%+v in standard %v: no lead ends on pin %s at %v from inside", s.part.Orient, std, pin.Name, pin.At)
			}
		}
	})
}

// reaches reports whether a line ends exactly on the pin and comes from within
// the part.
func reaches(items []canvas.Item, pin model.Pin) bool {
	at, out := canvas.OnGrid(pin.At), pin.Out
	inward := func(q canvas.Point) bool {
		d := q.Sub(at)
		return d.X*float64(out.X)+d.Y*float64(out.Y) < 0
	}
	for _, it := range items {
		q, ok := it.(*canvas.Path)
		if !ok || q.Stroke.A == 0 {
			continue
		}
		for i := 1; i < len(q.Segs); i++ {
			a, b := q.Segs[i-1].P, q.Segs[i].P
			if q.Segs[i].Op == canvas.Line && (a == at && inward(b) || b == at && inward(a)) {
				return true
			}
		}
	}
	return false
}

func TestExtentHoldsInk(t *testing.T) {
	everywhere(t, func(t *testing.T, s specimen, std symbol.Standard) {
		extent := symbol.Extent(s.part)
		for _, guessed := range []bool{false, true} {
			l := look(std)
			l.Guessed = guessed
			picture := canvas.Picture{Items: symbol.Draw(s.part, s.values, l)}
			if ink := picture.Bounds(); !extent.Contains(ink.Min) || !extent.Contains(ink.Max) {
				t.Errorf("%+v in standard %v, guessed %v: ink %v is not inside the extent %v", s.part.Orient, std, guessed, ink, extent)
			}
		}
	})
}

func TestExtentIsSnug(t *testing.T) {
	const slack = 6
	ink, extent := map[string]canvas.Rect{}, map[string]canvas.Rect{}
	for _, s := range specimens() {
		k := s.part.Kind
		if _, seen := ink[k]; !seen {
			ink[k], extent[k] = canvas.EmptyRect(), canvas.EmptyRect()
		}
		for _, std := range []symbol.Standard{symbol.IEC, symbol.IEEE} {
			picture := canvas.Picture{Items: symbol.Draw(s.part, s.values, look(std))}
			ink[k] = ink[k].Union(picture.Bounds())
		}
		extent[k] = extent[k].Union(symbol.Extent(s.part))
	}
	for k, r := range ink {
		if r = r.Inset(-slack); !r.Contains(extent[k].Min) || !r.Contains(extent[k].Max) {
			t.Errorf("%s: the extent %v is much larger than the ink, which with %v around it is %v", k, extent[k], slack, r)
		}
	}
}

func TestGuessedBodyIsDashed(t *testing.T) {
	for _, s := range specimens() {
		for _, std := range []symbol.Standard{symbol.IEC, symbol.IEEE} {
			guess := look(std)
			guess.Guessed = true
			sure, unsure := dashed(symbol.Draw(s.part, s.values, look(std))), dashed(symbol.Draw(s.part, s.values, guess))
			if s.part.Kind != "note" && s.part.Kind != "arrow" && unsure <= sure {
				t.Errorf("%s in standard %v: %d dashed lines, guessed %d", s.name, std, sure, unsure)
			}
		}
	}
}

func dashed(items []canvas.Item) int {
	n := 0
	for _, it := range items {
		if q, ok := it.(*canvas.Path); ok && len(q.Dash) > 0 {
			n++
		}
	}
	return n
}

func TestOnlyLightsGlow(t *testing.T) {
	for _, s := range specimens() {
		dark, shining := look(symbol.IEC), look(symbol.IEC)
		shining.Glow = 1
		lit := !reflect.DeepEqual(symbol.Draw(s.part, s.values, shining), symbol.Draw(s.part, s.values, dark))
		if want := s.part.Kind == "led" || s.part.Kind == "lamp"; lit != want {
			t.Errorf("%s shines: %v, want %v", s.name, lit, want)
		}
	}
}

// A drawing that is made to shine is the drawing that shines.
func TestShine(t *testing.T) {
	for _, s := range specimens() {
		for _, guessed := range []bool{false, true} {
			dim, bright := look(symbol.IEC), look(symbol.IEC)
			dim.Guessed, bright.Guessed, bright.Glow = guessed, guessed, 0.6
			d := symbol.NewDrawing(s.part, s.values, dim)
			d.Shine(bright.Glow)
			if want := symbol.Draw(s.part, s.values, bright); !reflect.DeepEqual(d.Items, want) {
				t.Errorf("%s, guessed %v: made to shine it differs from one that shines", s.name, guessed)
			}
		}
	}
}

// TestTextKeepsToItsBody holds every text of a chip, a tag and a meter inside
// the outline that is filled under it, however the part lies; but the state of
// a pin that has a name is beside the lead, within the extent.
func TestTextKeepsToItsBody(t *testing.T) {
	everywhere(t, func(t *testing.T, s specimen, std symbol.Standard) {
		if s.part.Kind == "note" {
			return
		}
		items := symbol.Draw(s.part, s.values, look(std))
		outline := canvas.EmptyRect()
		for _, it := range items {
			switch it := it.(type) {
			case *canvas.Path:
				if it.Fill.A > 0 && it.Stroke.A > 0 {
					outline = it.Bounds()
				}
			case *canvas.Text:
				body := outline
				if it.String == "low" || it.String == "high" {
					body = symbol.Extent(s.part)
				}
				if b := it.Bounds(); !body.Contains(b.Min) || !body.Contains(b.Max) {
					t.Errorf("%+v: %q at %v is not inside %v", s.part.Orient, it.String, b, body)
				}
			}
		}
	})
}

func TestChipTextsDoNotOverlap(t *testing.T) {
	everywhere(t, func(t *testing.T, s specimen, std symbol.Standard) {
		if s.part.Kind != "chip" {
			return
		}
		seen := map[string]canvas.Rect{}
		for _, it := range symbol.Draw(s.part, s.values, look(std)) {
			text, ok := it.(*canvas.Text)
			if !ok {
				continue
			}
			ink := text.Bounds()
			ink.Min.Y, ink.Max.Y = text.At.Y-canvas.CapHeight(text.Size), text.At.Y
			for other, r := range seen {
				if r.Overlaps(ink) {
					t.Errorf("%+v: %q lies on %q", s.part.Orient, text.String, other)
				}
			}
			seen[text.String] = ink
		}
	})
}

func TestChipSaysWhatItsPinsDo(t *testing.T) {
	pins := []model.ChipPin{
		{Number: "3", Role: "supply"}, {Number: "6", Role: "ground"}, {Number: "5", Name: "in", Role: "input"},
		{Number: "7", Name: "white", Role: "output"}, {Number: "2", Name: "amber", Role: "open_drain"}, {Number: "8", Role: "none"}, {Number: "4", Role: "open_drain"},
	}
	p := &model.Part{Kind: "chip", Pins: pins}
	tests := []struct {
		name   string
		values model.Values
		want   string
	}{
		{"at rest", nil, "3 supply|6 ground|5 in|7 white|2 amber|8|4 out"},
		{"driven", model.Values{"7": model.Word("low"), "2": model.Word("off"), "5": model.Word("high"), "4": model.Word("low")}, "3 supply|6 ground|5 in|7 white|low|2 amber|off|8|4 low"},
	}
	for _, test := range tests {
		if got := strings.Join(texts(symbol.Draw(p, test.values, look(symbol.IEC))), "|"); got != test.want {
			t.Errorf("%s: %s, want %s", test.name, got, test.want)
		}
	}
}

func texts(items []canvas.Item) []string {
	var all []string
	for _, it := range items {
		if text, ok := it.(*canvas.Text); ok {
			all = append(all, text.String)
		}
	}
	return all
}

func TestStrokesOfABattery(t *testing.T) {
	for cells, want := range map[float64]int{
		0: 1, 1: 1, 2: 2, 3: 3, 4: 2, 9: 2, -5: 1, 1e300: 2, math.Inf(1): 2, math.NaN(): 1,
	} {
		p := &model.Part{Kind: "battery"}
		thick := 0
		for _, it := range symbol.Draw(p, model.Values{"cells": model.Number(cells)}, look(symbol.IEC)) {
			if q, ok := it.(*canvas.Path); ok && q.Width > 3 {
				thick++
			}
		}
		if thick != want {
			t.Errorf("%v cells: %d thick strokes, want %d", cells, thick, want)
		}
	}
}

func TestHostileParts(t *testing.T) {
	many := make([]model.ChipPin, 1000)
	long, longish := strings.Repeat("long\n", 200_000), strings.Repeat("long\n", 200)
	for i := range many {
		many[i] = model.ChipPin{Number: longish, Name: longish, Role: []string{"input", "output", "supply", "??"}[i%4]}
	}
	accents := strings.Repeat("\u0301", 500_000)
	parts := []*model.Part{
		{Kind: "chip", Pins: many}, {Kind: "chip", Pins: []model.ChipPin{{Number: long, Name: long}}}, {Kind: "chip"}, {Kind: "note", Value: long}, {Kind: "note", Value: accents}, {Kind: "note"},
		{Kind: "note", Value: strings.Repeat("\xff", 1<<20)},
		{Kind: "tag", Value: long}, {Kind: "tag", Value: accents}, {Kind: "tag"}, {Kind: "nothing"}, {}, {Kind: long},
		{Kind: "resistor", At: geom.Pt(math.MaxInt, math.MinInt), Orient: geom.Orientation{Turn: 45}},
	}
	for _, p := range parts {
		for _, glow := range []float64{-1, 7, math.NaN()} {
			hostile := symbol.Look{Standard: symbol.Standard(9), Guessed: true, Glow: glow}
			items := symbol.Draw(p, nil, hostile)
			checkBounded(t, p, items)
		}
	}
}

func checkBounded(t *testing.T, p *model.Part, items []canvas.Item) {
	t.Helper()
	if most := 100 + 2*len(p.Pins) + 4*1000; len(items) > most {
		t.Errorf("%.10s: %d items, more than %d", p.Kind, len(items), most)
	}
	for _, s := range texts(items) {
		if len(s) > 1000 {
			t.Errorf("%.10s: a text of %d bytes", p.Kind, len(s))
		}
	}
	for _, it := range items {
		q, ok := it.(*canvas.Path)
		if !ok {
			continue
		}
		if len(q.Dash) > 5000 {
			t.Errorf("%.10s: %d dashes in a line", p.Kind, len(q.Dash))
		}
		for _, s := range q.Segs {
			if math.IsNaN(s.P.X+s.P.Y+s.C1.X+s.C1.Y+s.C2.X+s.C2.Y) || math.IsInf(s.P.X+s.P.Y, 0) {
				t.Fatalf("%.10s: not a point: %+v", p.Kind, s)
			}
		}
	}
}

func FuzzDraw(f *testing.F) {
	for i, k := range model.Kinds() {
		f.Add(i, k.Suggest, "7", "output", "closed", 90*(i%4), i%2 == 0, float64(i%5))
	}
	f.Fuzz(func(t *testing.T, kind int, value, number, role, state string, turn int, mirror bool, amount float64) {
		kinds := model.Kinds()
		k := kinds[((kind%len(kinds))+len(kinds))%len(kinds)]
		p := &model.Part{Kind: k.Name, Value: value, Orient: geom.Orientation{Turn: turn, Mirror: mirror}}
		p.Pins = []model.ChipPin{{Number: number, Name: value, Role: role, Side: state}, {Number: role, Role: value}}
		v := model.Values{"state": model.Word(state), number: model.Word(value), "cells": model.Number(amount)}
		picture := canvas.Picture{Items: symbol.Draw(p, v, symbol.Look{Theme: canvas.DarkTheme(), Guessed: mirror, Glow: amount})}
		checkBounded(t, p, picture.Items)
		ink, extent := picture.Bounds(), symbol.Extent(p)
		if !ink.Empty() && (!extent.Contains(ink.Min) || !extent.Contains(ink.Max)) {
			t.Errorf("%s: ink %v is not inside the extent %v", k.Name, ink, extent)
		}
	})
}

func BenchmarkExtent(b *testing.B) {
	p := &model.Part{Kind: "npn"}
	for b.Loop() {
		symbol.Extent(p)
	}
}
