package review

import (
	"context"

	"copperglass/analysis"
	"copperglass/model"
	"copperglass/model/quantity"
)

// Rating is a figure of a part, of a stack each one's, with what it may be at
// most.
type Rating struct {
	Rule         string // by which more than that is a finding
	Part         string
	Count        int // how many alike there are of it
	Unit         quantity.Unit
	Value, Limit float64 // SI
}

// Over reports whether the figure is above its limit.
func (r Rating) Over() bool { return r.Value > r.Limit }

// Rated returns the figures that have a rating at an operating point of d, none
// where it is not solved.
func Rated(ctx context.Context, d *model.Diagram, r *analysis.Result) []Rating {
	if !r.Solved {
		return nil
	}
	var list []Rating
	s := newSight(ctx, d, r, r.Set)
	for _, l := range limits() {
		for _, p := range s.parts(l.kinds...) {
			if most := l.rating(s, p); most > 0 {
				list = append(list, Rating{l.id, p.Ref, p.Multiple(), l.unit, l.figure(s, p), most})
			}
		}
	}
	return list
}
