package symbol_test

import (
	"strings"
	"testing"

	"copperglass/canvas"
	"copperglass/canvas/symbol"
	"copperglass/model"
)

// The texts at the pins of a chip are all of one size, and none lies on another,
// however large they are asked to be.
func TestPinTextsAreOfOneSizeAndApart(t *testing.T) {
	t.Parallel()
	chip := &model.Part{Ref: "IC1", Kind: "chip", Placed: true, Pins: []model.ChipPin{
		{Number: "3", Role: "supply"}, {Number: "6", Role: "ground"}, {Number: "5", Name: "button", Role: "input"},
		{Number: "7", Name: "white", Role: "output"}, {Number: "2", Name: "amber", Role: "output"},
	}}
	for _, scale := range []float64{0, 1, 1.25, 1.5, 3, 6} {
		var texts []*canvas.Text
		l := look(symbol.IEC)
		l.TextScale = scale
		for _, item := range symbol.Draw(chip, model.Values{}, l) {
			if text, is := item.(*canvas.Text); is && strings.ContainsAny(text.String, "35672") {
				texts = append(texts, text)
			}
		}
		if len(texts) != len(chip.Pins) {
			t.Fatalf("%v: %d texts", scale, len(texts))
		}
		for i, a := range texts {
			if a.Size != texts[0].Size {
				t.Errorf("%v: %q is %.1f high, %q is %.1f", scale, texts[0].String, texts[0].Size, a.String, a.Size)
			}
			for _, b := range texts[:i] {
				if a.Bounds().Overlaps(b.Bounds()) {
					t.Errorf("%v: %q and %q overlap", scale, a.String, b.String)
				}
			}
		}
	}
}
