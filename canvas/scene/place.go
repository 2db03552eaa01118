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

// rounds bounds the passes of improvement, blockers how many labels one
// exchange may move out of the way.
const (
	rounds   = 4
	blockers = 3
)

// choose finds places for the labels. Labels of greater loss come first.
func choose(labels []*request) {
	slices.SortStableFunc(labels, byLoss)
	for _, q := range labels {
		q.at = nowhere
	}
	introduce(labels)
	for _, q := range labels {
		q.settle()
	}
	for range rounds {
		if !improve(labels) {
			return
		}
	}
}

func byLoss(p, q *request) int { return cmp.Compare(q.loss, p.loss) }

// introduce tells each label the others that may ever be in its way.
func introduce(labels []*request) {
	reach := make([]canvas.Rect, len(labels))
	for i, q := range labels {
		reach[i] = canvas.EmptyRect()
		for k := range q.spots {
			reach[i] = reach[i].Union(q.spots[k].box)
		}
		for j := range i {
			if reach[j].Overlaps(reach[i].Inset(-labelGap)) {
				q.near = append(q.near, labels[j])
				labels[j].near = append(labels[j].near, q)
			}
		}
	}
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

// overlaps reports whether the label stands where it is in the way of a box.
func (q *request) overlaps(box canvas.Rect) bool {
	return q.at != nowhere && q.spots[q.at].box.Overlaps(box)
}

// blocked reports whether another label is in the way of place k.
func (q *request) blocked(k int) bool {
	box := q.spots[k].box.Inset(-labelGap)
	for _, o := range q.near {
		if o.overlaps(box) {
			return true
		}
	}
	return false
}

// inWay returns the labels that are in the way of place k.
func (q *request) inWay(k int) []*request {
	var found []*request
	box := q.spots[k].box.Inset(-labelGap)
	for _, o := range q.near {
		if o.overlaps(box) {
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
	moved := q.inWay(k)
	if len(moved) > blockers {
		return false
	}
	before := make([]int, len(moved))
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
