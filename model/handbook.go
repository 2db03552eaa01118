package model

import (
	"math"
	"sort"
)

// Status says how well a figure of the handbook is founded.
type Status string

// The degrees of foundation.
const (
	Confirmed      Status = "confirmed"                  // seen in the source named
	Calculated     Status = "calculated"                 // worked out from figures of the source named
	FromMemory     Status = "from memory"                // recalled; the source named is where to look it up
	Estimate       Status = "estimate"                   // our judgement from the source named
	CommonPractice Status = "common practice, no source" // a fact of the trade
)

// HandbookEntry is a text that may be written as the value of a part, with
// data behind it.
type HandbookEntry struct {
	Value  string // "BC807-25", "warm white", "LR6"
	About  string // what stands behind it, for people
	Status Status
	Source string
}

// figure is a number of the handbook with what founds it.
type figure struct {
	value  float64
	status Status
	source string
}

// curvePoint is a point of a tabulated function.
type curvePoint struct{ x, y float64 }

// curve is a function tabulated at rising x, straight between the points and
// level outside them. It is therefore as monotone as its table.
type curve []curvePoint

func (c curve) at(x float64) float64 {
	i := sort.Search(len(c), func(i int) bool { return c[i].x >= x })
	switch {
	case i == 0:
		return c[0].y
	case i == len(c):
		return c[i-1].y
	}
	a, b := c[i-1], c[i]
	return a.y + (b.y-a.y)*(x-a.x)/(b.x-a.x)
}

// logY returns the same table with the logarithms of its values.
func (c curve) logY() curve {
	out := make(curve, len(c))
	for i, p := range c {
		out[i] = curvePoint{p.x, math.Log(p.y)}
	}
	return out
}

// atPower interpolates by power laws between the points; all x and y are
// positive.
func (c curve) atPower(x float64) float64 {
	logs := c.logY()
	for i := range logs {
		logs[i].x = math.Log(logs[i].x)
	}
	return math.Exp(logs.at(math.Log(x)))
}
