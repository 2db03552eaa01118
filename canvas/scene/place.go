package scene

import (
	"cmp"
	"slices"

	"copperglass/canvas"
)

// Labels are placed as points are on maps (J. Christensen, J. Marks and
// S. Shieber, "An empirical study of algorithms for point-feature label
// placement", ACM Transactions on Graphics 14, 1995): each has a list of
// candidate places that are free of ink, chosen greedily in order of rank, and
// the choice is then improved by exchanges that lower the total cost. Nothing
// is left to chance, so that the same drawing always looks the same.

// mostImproved is up to how many labels the choice is improved: on a sheet of
// tens of thousands the greedy choice alone takes seconds, and nobody misses one.
const mostImproved = 20_000

// rounds bounds the passes of improvement, blockers how many labels one
// exchange may move out of the way.
const (
	rounds   = 12
	blockers = 6
)

// choose finds places for the labels. Labels of greater loss come first.
func choose(labels []*request) { chooseIn(labels, new([]*request)) }

// chooseIn is choose with memory that is kept.
func chooseIn(labels []*request, kept *[]*request) {
	slices.SortStableFunc(labels, byLoss)
	for _, q := range labels {
		q.at = nowhere
	}
	*kept = introduce(labels, (*kept)[:0])
	for _, q := range labels {
		q.settle()
	}
	if len(labels) > mostImproved {
		return
	}
	for range rounds {
		if !improve(labels) {
			return
		}
	}
}

func byLoss(p, q *request) int { return cmp.Compare(q.loss, p.loss) }

// introduce tells each label the others that may ever be in its way, in their
// order: a sweep from left to right past the rooms they may take. It returns the
// memory of the list of those swept.
func introduce(labels, swept []*request) []*request {
	for i, q := range labels {
		q.near, q.turn, q.reach = q.near[:0], i, canvas.EmptyRect()
		for k := range q.spots {
			q.reach = q.reach.Union(q.spots[k].box).Union(q.spots[k].lead())
		}
		if len(q.spots) > 0 {
			swept = append(swept, q)
		}
	}
	slices.SortFunc(swept, func(p, q *request) int {
		return cmp.Or(cmp.Compare(p.reach.Min.X, q.reach.Min.X), cmp.Compare(p.turn, q.turn))
	})
	open := swept[:0] // those that the sweep is still within, in the place of those it has passed
	for _, q := range swept {
		open = slices.DeleteFunc(open, func(o *request) bool { return o.reach.Max.X < q.reach.Min.X-2*sideOfText })
		for _, o := range open {
			if o.reach.Overlaps(q.reach.Inset(-2 * sideOfText)) {
				q.near, o.near = append(q.near, o), append(o.near, q)
			}
		}
		open = append(open, q)
	}
	for _, q := range labels {
		slices.SortFunc(q.near, func(p, q *request) int { return cmp.Compare(p.turn, q.turn) })
	}
	return swept
}

// cost is what the label costs where it is.
func (q *request) cost() float64 {
	if q.at == nowhere {
		return q.loss
	}
	return q.spots[q.at].cost
}

// settle takes the best place that no other label is in the way of, if it
// costs less than being left out. Of equals it takes the first.
func (q *request) settle() {
	q.at = nowhere
	best, cost := nowhere, q.loss
	for k := range q.spots {
		if q.spots[k].cost < cost && !q.blocked(k) {
			best, cost = k, q.spots[k].cost
		}
	}
	q.at = best
}

// inWayOf reports whether the label stands where it is in the way of a place.
func (q *request) inWayOf(s *spot) bool { return q.at != nowhere && s.meets(&q.spots[q.at]) }

// blocked reports whether another label is in the way of place k.
func (q *request) blocked(k int) bool {
	for _, o := range q.near {
		if o.inWayOf(&q.spots[k]) {
			return true
		}
	}
	return false
}

// inWay adds to found the labels that are in the way of place k, but no more
// than one above blockers.
func (q *request) inWay(k int, found []*request) []*request {
	for _, o := range q.near {
		if len(found) <= blockers && o.inWayOf(&q.spots[k]) {
			found = append(found, o)
		}
	}
	return found
}

// improve lets each label try places it would prefer, moving others out of the
// way, and reports whether anything changed.
func improve(labels []*request) bool {
	changed := false
	for _, q := range labels {
		for k := range q.spots {
			if q.spots[k].cost < q.cost() && q.push(k) {
				changed = true
			}
		}
	}
	return changed
}

// push puts q at place k if, with those in its way resettled, the whole costs
// less than before.
func (q *request) push(k int) bool {
	var room [blockers + 1]*request
	moved := q.inWay(k, room[:0])
	if len(moved) > blockers {
		return false
	}
	var before [blockers]int
	change := q.spots[k].cost - q.cost()
	was := q.at
	for i, o := range moved {
		before[i] = o.at
		change -= o.cost()
		o.at = nowhere
	}
	q.at = k
	for _, o := range moved {
		o.settle()
		change += o.cost()
	}
	if change < -1e-9 {
		return true
	}
	q.at = was
	for i, o := range moved {
		o.at = before[i]
	}
	return false
}
