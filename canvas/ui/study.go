package ui

import (
	"context"
	"fmt"
	"time"

	"fyne.io/fyne/v2"

	"copperglass/model"
)

// studies are questions about the drawing that take longer than an operating
// point. They are worked out beside the main goroutine, one of each name at a
// time, and an answer is shown only with the drawing that it is about.
type studies struct {
	doc    *Document
	ready  func() // called by the main goroutine when one has ended
	byName map[string]*study
}

type study struct {
	about  *model.Diagram
	key    string // what else the answer depends on
	answer any
	err    error
	done   bool
	cancel context.CancelFunc
}

func newStudies(doc *Document, ready func()) *studies {
	return &studies{doc: doc, ready: ready, byName: map[string]*study{}}
}

// find returns the study of that name about the drawing as it is shown. It
// begins it, or first ends the one about another drawing. While a gesture is
// under way nothing is begun, and the answers from before it stay.
func (s *studies) find(name, key string, work func(context.Context, *model.Diagram) (any, error)) *study {
	d := s.doc.Shown()
	old := s.byName[name]
	switch {
	case old != nil && old.about == d && old.key == key:
		return old
	case s.doc.underWay() && old != nil && old.done:
		return old // until the hand lets go
	case s.doc.underWay():
		return &study{}
	case old != nil && !old.done:
		old.cancel() // when it has ended the page asks again
		return &study{}
	}
	ctx, cancel := context.WithCancel(context.Background())
	now := &study{about: d, key: key, cancel: cancel}
	s.byName[name] = now
	answers := make(chan func(), 1)
	go func() {
		answer, err := guarded(ctx, d, work)
		answers <- func() { now.take(answer, err) }
	}()
	s.await(name, now, answers)
	return now
}

// await takes an answer that comes within the solver's patience at once, and
// leaves a later one to the main goroutine.
func (s *studies) await(name string, one *study, answers <-chan func()) {
	deadline := time.NewTimer(s.doc.solver.patience / 2)
	defer deadline.Stop()
	select {
	case take := <-answers:
		take()
	case <-deadline.C:
		go func() {
			take := <-answers
			fyne.Do(func() {
				take()
				if s.byName[name] == one {
					s.ready()
				}
			})
		}()
	}
}

// take takes the answer.
func (one *study) take(answer any, err error) {
	one.cancel()
	one.answer, one.err, one.done = answer, err, true
}

// guarded turns a fault of the program into an error: the drawing must stay
// usable.
func guarded(ctx context.Context, d *model.Diagram, work func(context.Context, *model.Diagram) (any, error)) (answer any, err error) {
	defer func() {
		if fault := recover(); fault != nil {
			err = fmt.Errorf("this could not be worked out by a fault of the program (%v); save the drawing and report it", fault)
		}
	}()
	return work(ctx, d)
}

// stop ends what is being worked out.
func (s *studies) stop() {
	for _, one := range s.byName {
		one.cancel()
	}
	clear(s.byName)
}

// studied returns what is known of a question about the drawing as it is
// shown, if it is there yet. The name tells questions apart; the key is what
// else the answer depends on, such as the mode.
func studied[T any](in *inspector, name, key string, work func(ctx context.Context, d *model.Diagram) (T, error)) (answer T, done bool, err error) {
	one := in.studies.find(name, key, func(ctx context.Context, d *model.Diagram) (any, error) { return work(ctx, d) })
	if one.done && one.err == nil {
		answer = one.answer.(T)
	}
	return answer, one.done, one.err
}
