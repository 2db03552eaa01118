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

// figure is a number of the handbook with its source and how reliable that is.
type figure struct {
	value  float64
	status Status
	source string
}

// span is a range of the handbook with its source and how reliable that is.
type span struct {
	low, high float64
	status    Status
	source    string
}

// curvePoint is a point of a tabulated function.
type curvePoint struct{ x, y float64 }

// curve is a function tabulated at rising x, straight between the points and
// level outside them. It is therefore as monotone as its table.
type curve []curvePoint

func (c curve) at(x float64) float64 {
	return c.along(x, func(p curvePoint) curvePoint { return p })
}

// atRatio interpolates by equal ratios of y; all y are positive.
func (c curve) atRatio(x float64) float64 {
	return math.Exp(c.along(x, func(p curvePoint) curvePoint { return curvePoint{p.x, math.Log(p.y)} }))
}

// atPower interpolates by power laws between the points; all x and y are
// positive.
func (c curve) atPower(x float64) float64 {
	return math.Exp(c.along(math.Log(x), func(p curvePoint) curvePoint { return curvePoint{math.Log(p.x), math.Log(p.y)} }))
}

// along interpolates linearly between the points that on maps the table to, such
// as their logarithms; x and the result are on those scales, too.
func (c curve) along(x float64, on func(curvePoint) curvePoint) float64 {
	i := sort.Search(len(c), func(i int) bool { return on(c[i]).x >= x })
	switch {
	case i == 0:
		return on(c[0]).y
	case i == len(c):
		return on(c[i-1]).y
	}
	a, b := on(c[i-1]), on(c[i])
	return a.y + (b.y-a.y)*(x-a.x)/(b.x-a.x)
}
