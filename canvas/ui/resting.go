package ui

import (
	"time"

	"fyne.io/fyne/v2"

	"copperglass/analysis/review"
	"copperglass/model"
)

// restTime is how long what is only tried has to stay as it is before the rules
// look at it: they take longer than a frame has.
const restTime = 200 * time.Millisecond

// resting tells whether what is tried has come to rest.
type resting struct {
	later Later
	ready func() // called by the main goroutine when it has
	of    *model.Diagram
	over  bool
	stop  func()
}

// rests reports whether d has been there for a while.
func (r *resting) rests(d *model.Diagram) bool {
	if r.of == d {
		return r.over
	}
	if r.stop != nil {
		r.stop()
	}
	r.of, r.over = d, false
	r.stop = r.later(restTime, func() {
		r.over = true
		r.ready()
	})
	return false
}

// moving reports whether what is shown is only tried and has not come to rest.
func (in *inspector) moving() bool {
	return in.doc.Previewing() && !in.rest.rests(in.doc.Shown())
}

// turns reports whether something is being turned by anything but typing.
func (in *inspector) turns() bool {
	if !in.moving() {
		return false
	}
	c := fyne.CurrentApp().Driver().CanvasForObject(in.object)
	if c == nil {
		return true
	}
	_, types := c.Focused().(*entry)
	return !types
}

// lastReview is the latest that was made of a drawing.
type lastReview struct {
	review *review.Review
	of     *model.History
}

// latestReview is what the rules say of what is shown or, while that is not
// known yet, what they said before; fresh tells which. It is nil where they
// have said nothing of this drawing yet.
func (in *inspector) latestReview() (r *review.Review, fresh bool) {
	if r, ok := in.reviewOf(); ok {
		in.last = lastReview{r, in.doc.history}
		return r, true
	}
	if in.last.of == in.doc.history {
		return in.last.review, false
	}
	return nil, false
}
