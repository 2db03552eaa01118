package chart

import (
	"math"
	"strconv"
	"strings"

	"gonum.org/v1/plot"

	"copperglass/model/quantity"
)

// evenly sets ticks at multiples of 1, 2 or 5 times a power of ten, at most so
// many steps with a figure apart, and shorter ones between them.
type evenly struct{ steps float64 }

const (
	labelled = 5 // steps from figure to figure, at most
	minors   = 2 // ticks to such a step
)

func (e evenly) Ticks(low, high float64) []plot.Tick {
	step := roundStep((high - low) / e.steps)
	if !(step > 0) || math.IsInf(step, 0) {
		return []plot.Tick{{Value: low, Label: "-"}}
	}
	const rounding = 1e-9
	var all []plot.Tick
	for i := math.Ceil(low/step*minors - rounding); i <= high/step*minors+rounding; i++ {
		t := plot.Tick{Value: i * step / minors}
		if math.Mod(i, minors) == 0 {
			t.Label = "-" // to be written
		}
		all = append(all, t)
	}
	return all
}

// decades sets ticks at 1 to 9 times powers of ten, with a figure at the powers
// and, where there are too few of these, at 2 and 5 times them.
type decades struct{}

func (decades) Ticks(low, high float64) []plot.Tick {
	const rounding = 1e-9
	if !(low > 0) || !(high/low > 1) || math.IsInf(high, 0) {
		return []plot.Tick{{Value: low, Label: "-"}}
	}
	few := math.Log10(high/low) < 2
	var all []plot.Tick
	for e := math.Floor(math.Log10(low)); math.Pow(10, e) <= high; e++ {
		for i := 1.0; i <= 9; i++ {
			t := plot.Tick{Value: i * math.Pow(10, e)}
			if i == 1 || few && (i == 2 || i == 5) {
				t.Label = "-"
			}
			if low*(1-rounding) <= t.Value && t.Value <= high*(1+rounding) {
				all = append(all, t)
			}
		}
	}
	return all
}

// unlabelled sets the ticks of another Ticker without figures; those that had a
// figure stay long.
type unlabelled struct{ plot.Ticker }

func (u unlabelled) Ticks(low, high float64) []plot.Tick {
	all := u.Ticker.Ticks(low, high)
	for i := range all {
		if all[i].Label != "" {
			all[i].Label = " "
		}
	}
	return all
}

// roundStep returns the least number not below x that is 1, 2 or 5 times a power of
// ten.
func roundStep(x float64) float64 {
	power := math.Pow(10, math.Floor(math.Log10(x)))
	for _, digit := range []float64{1, 2, 5} {
		if x <= digit*power*(1+1e-9) {
			return digit * power
		}
	}
	return 10 * power
}

// ticks labels ticks as the rest of the program writes figures, with more digits
// where three do not tell even neighbours apart.
func ticks(t plot.Ticker, unit quantity.Unit) plot.Ticker {
	_, even := t.(evenly)
	return plot.TickerFunc(func(low, high float64) []plot.Tick {
		marked := t.Ticks(low, high)
		label := func(x float64) string { return quantity.Short(x, unit) }
		if step := spacing(marked); even && step > 0 && step < 0.02*max(math.Abs(low), math.Abs(high)) {
			label = finely(max(math.Abs(low), math.Abs(high)), step, unit)
		}
		for i := range marked {
			if marked[i].Label != "" {
				marked[i].Label = label(settled(marked[i].Value, low, high))
			}
		}
		return marked
	})
}

// spacing is the distance from one labelled tick to the next, 0 without two.
func spacing(marked []plot.Tick) float64 {
	before := math.NaN()
	for _, t := range marked {
		switch {
		case t.Label == "":
		case math.IsNaN(before):
			before = t.Value
		default:
			return t.Value - before
		}
	}
	return 0
}

// finely returns a function that writes figures with the SI prefix of the largest
// and as many decimals as the step needs.
func finely(largest, step float64, unit quantity.Unit) func(float64) string {
	scale := math.Pow(10, 3*math.Floor(math.Log10(largest)/3))
	suffix, prefixed := strings.CutPrefix(quantity.Short(scale, unit), "1")
	if !prefixed || strings.HasPrefix(suffix, "0") { // a unit without prefixes
		scale = 1
		suffix = strings.TrimPrefix(quantity.Short(1, unit), "1")
	}
	const most = 6
	decimals := 0
	for s := step / scale; decimals < most && math.Abs(s-math.Round(s)) > 1e-6*s; s *= 10 {
		decimals++
	}
	return func(x float64) string {
		return strings.ReplaceAll(strconv.FormatFloat(x/scale, 'f', decimals, 64), "-", "−") + suffix
	}
}
