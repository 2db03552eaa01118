package ui

import (
	"math"

	"copperglass/model"
	"copperglass/model/quantity"
)

// scale is what lies along a knob: from 0 at its low end to 1 at its high end.
type scale struct {
	low, high float64 // SI
	log       bool    // whether equal ways are equal ratios
	nought    bool    // whether the low end stands for 0, which no ratio reaches
	grain     float64 // what a free value is rounded to; 0 for three digits
	origin    float64 // that it is rounded about
	stops     quantity.Series
}

// freezing is 0 °C, in kelvins.
const freezing = 273.15

// decades is how far a knob goes each way from where it is, as a ratio.
const decades = 100

// scaleFor is the scale of a quantity that is now so large. Shares and voltages
// go in equal steps; what is a matter of size goes in equal ratios.
func scaleFor(q *model.Param, now float64) scale {
	var s scale
	switch {
	case q.Name == "cells":
		s = scale{low: 1, high: max(12, 2*now), grain: 1}
	case q.Unit == quantity.Kelvin:
		s = scale{low: freezing - 40, high: freezing + 125, grain: 1, origin: freezing}
	case q.Min == 0 && q.Max == 1:
		s = scale{low: 0, high: 1, grain: 0.01}
	case q.Unit == quantity.Volt || q.Min < 0:
		s = evenScale(now)
	default:
		s = ratioScale(q, now)
	}
	s.low, s.high = max(s.low, q.Min), min(s.high, q.Max)
	return s.with(now)
}

// evenScale goes from nought to twice what is now, or to a usual voltage.
func evenScale(now float64) scale {
	const usual = 5
	reach := 2 * math.Abs(now)
	if reach < 1e-9 {
		reach = usual
	}
	s := scale{high: reach, grain: math.Pow10(int(math.Floor(math.Log10(reach))) - 2)}
	if now < 0 {
		s.low, s.high = -reach, 0
	}
	return s
}

// ratioScale goes some decades each way; of what is nought now, from a tenth
// of an ohm to the resistors of a base.
func ratioScale(q *model.Param, now float64) scale {
	if now > 0 {
		return scale{low: now / decades, high: now * decades, log: true}
	}
	s := scale{low: 0.1, high: 10e3, log: true, nought: q.Min == 0}
	if q.Unit != quantity.Ohm {
		s.low, s.high = 1e-6, 1
	}
	return s
}

// with is the scale made wide enough for a value.
func (s scale) with(x float64) scale {
	if x > s.high {
		s.high = x
	}
	if x < s.low && (x > 0 || !s.log) {
		s.low = x
	}
	return s
}

// place is where a value is along the scale.
func (s scale) place(x float64) float64 {
	switch {
	case s.high <= s.low || s.log && x <= 0:
		return 0
	case s.log:
		return math.Log(x/s.low) / math.Log(s.high/s.low)
	}
	return (x - s.low) / (s.high - s.low)
}

// value is what lies at a place, rounded as the scale rounds.
func (s scale) value(place float64) float64 {
	if s.nought && place <= 0 {
		return 0
	}
	return s.round(s.raw(place))
}

func (s scale) raw(place float64) float64 {
	if s.log {
		return s.low * math.Pow(s.high/s.low, place)
	}
	return s.low + (s.high-s.low)*place
}

// round is the value nearest to x that the knob stops at.
func (s scale) round(x float64) float64 {
	switch {
	case s.stops != 0 && x > 0:
		return quantity.Nearest(s.stops, x)
	case s.grain > 0:
		return s.bound(tidy(s.origin + math.Round((x-s.origin)/s.grain)*s.grain))
	case x > 0:
		digit := math.Pow10(int(math.Floor(math.Log10(x))) - 2)
		return s.bound(tidy(math.Round(x/digit) * digit))
	}
	return x
}

func (s scale) bound(x float64) float64 { return max(s.low, min(s.high, x)) }

// tidy drops what rounding in binary leaves behind the digits that are meant.
func tidy(x float64) float64 {
	if x == 0 {
		return 0
	}
	digit := math.Floor(math.Log10(math.Abs(x))) - 9
	if digit < 0 {
		up := math.Pow10(int(-digit))
		return math.Round(x*up) / up
	}
	return x
}

// step is the next value up or down: the next stop, or a hundredth of the way.
func (s scale) step(x float64, way int) float64 {
	const least, shares = 1e-6, 100
	if x <= 0 && s.log {
		if way > 0 {
			return s.round(s.low)
		}
		return x
	}
	if s.stops != 0 {
		next := quantity.Above(s.stops, x*(1+least))
		if way < 0 {
			next = quantity.Below(s.stops, x*(1-least))
		}
		if next < s.low*(1-least) || next > s.high*(1+least) {
			return x
		}
		return next
	}
	place := s.place(x) + float64(way)/shares
	return s.value(max(0, min(1, place)))
}
