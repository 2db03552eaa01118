package whatif

import (
	"fmt"
	"math"

	"copperglass/analysis/review"
	"copperglass/model/quantity"
)

// Overload is a figure of a part, of a stack each one's, that is above its
// rating before, after, or both.
type Overload struct{ Before, After review.Rating }

// overloads are the figures above their rating on one side at least.
func overloads(before, after []review.Rating) []Overload {
	var list []Overload
	for _, b := range before {
		for _, a := range after {
			if a.Rule == b.Rule && a.Part == b.Part && (a.Over() || b.Over()) {
				list = append(list, Overload{b, a})
			}
		}
	}
	return list
}

// Same reports whether the variation changes nothing of it.
func (o Overload) Same() bool {
	change := math.Abs(o.After.Value/o.Before.Value - 1)
	return change < telling && o.After.Limit == o.Before.Limit
}

// Words are "D1: 31.7 mA each, still over its limit of 25 mA (57.8 mA as
// drawn)."
func (o Overload) Words() string {
	each := ""
	if o.After.Count > 1 {
		each = " each"
	}
	state := "no longer over"
	switch {
	case o.Before.Over() && o.After.Over():
		state = "still over"
	case o.After.Over():
		state = "now over"
	}
	figure := func(r review.Rating) string { return quantity.Solved(r.Value, r.Unit) }
	return fmt.Sprintf("%s: %s%s, %s its limit of %s (%s as drawn).",
		o.After.Part, figure(o.After), each, state, quantity.Short(o.After.Limit, o.After.Unit), figure(o.Before))
}

// OverWords tell of figures above their ratings, each in a sentence; of a
// resistor, which rating would do: "R4 has 157 mW, more than its 125 mW: take
// one for 250 mW."
func OverWords(list []review.Rating) []string {
	var words []string
	for _, r := range list {
		each := ""
		if r.Count > 1 {
			each = " each"
		}
		text := fmt.Sprintf("%s has %s%s, more than its %s", r.Part, quantity.Solved(r.Value, r.Unit), each, quantity.Short(r.Limit, r.Unit))
		if enough := enoughWatts(r.Value); r.Rule == "resistor-over-power" && enough > 0 {
			text += ": take one for " + quantity.Short(enough, quantity.Watt)
		}
		words = append(words, text+".")
	}
	return words
}

// enoughWatts is the least power that resistors are made for from which one
// bears that much; 0 where none does. The steps are common practice, no source.
func enoughWatts(x float64) float64 {
	for _, w := range []float64{0.0625, 0.1, 0.125, 0.25, 0.5, 1, 2, 3, 5, 10, 25, 50} {
		if x <= w {
			return w
		}
	}
	return 0
}
