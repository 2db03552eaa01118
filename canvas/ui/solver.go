package ui

import (
	"context"
	"fmt"
	"time"

	"fyne.io/fyne/v2"

	"copperglass/analysis"
	"copperglass/model"
)

// Answer is what a drawing does, as far as it is known.
type Answer struct {
	Result *analysis.Result       // in the chosen mode; nil while it is being worked out
	Modes  []analysis.ModeSummary // of all modes; nil while they are being worked out
}

// question is what is to be worked out.
type question struct {
	diagram *model.Diagram
	mode    string
	side    *analysis.Result // the stable state to stay in, or nil
}

// solver works drawings out on goroutines of its own and hands over only what
// belongs to the last question asked. Most answers are there well within the
// time of one frame; waiting that long for them keeps the figures of a drawing
// that moves from flickering, without ever showing one that is out of date.
type solver struct {
	patience time.Duration
	deliver  func(a Answer, late bool)
	cancel   context.CancelFunc
	followed trackers
}

// framePatience is half a frame at 60 Hz.
const framePatience = 8 * time.Millisecond

// ask works q out and drops whatever was asked before. What is known after the
// patience is delivered before ask returns, the rest later by the main
// goroutine.
func (s *solver) ask(q question) {
	s.stop()
	ctx, cancel := context.WithCancel(context.Background())
	s.cancel = cancel
	answers := make(chan Answer, 3)
	go s.work(ctx, q, answers)
	s.deliver(s.await(ctx, answers), false)
}

// await returns the last answer that comes within the patience.
func (s *solver) await(ctx context.Context, answers <-chan Answer) (last Answer) {
	deadline := time.NewTimer(s.patience)
	defer deadline.Stop()
	for {
		select {
		case a, more := <-answers:
			if !more {
				return last
			}
			last = a
		case <-deadline.C:
			go s.forward(ctx, answers)
			return last
		}
	}
}

// forward delivers what comes late, unless it is out of date by then.
func (s *solver) forward(ctx context.Context, answers <-chan Answer) {
	for a := range answers {
		fyne.Do(func() {
			if ctx.Err() == nil {
				s.deliver(a, true)
			}
		})
	}
}

// stop drops what is being worked out.
func (s *solver) stop() {
	if s.cancel != nil {
		s.cancel()
	}
}

// work sends the operating point of the chosen mode, then all modes as well, and
// then that there are other stable states, if any are found.
func (s *solver) work(ctx context.Context, q question, answers chan<- Answer) {
	defer close(answers)
	s.followed.busy.Lock()
	defer s.followed.busy.Unlock()
	defer func() {
		if fault := recover(); fault != nil {
			s.followed.byMode = nil
			answers <- Answer{Result: broken(fault)}
		}
	}()
	solve := s.followed.solve
	if q.side != nil {
		solve = stay
	}
	r, err := solve(ctx, q.diagram, q.mode, q.side)
	if err != nil {
		return
	}
	a := Answer{Result: r}
	answers <- a
	if a.Modes, err = s.followed.modes(ctx, q.diagram, r); err != nil {
		return
	}
	answers <- a
	if q.side == nil {
		if a.Result = s.followed.survey(ctx, r.Mode); a.Result != nil {
			answers <- a
		}
	}
}

// broken is the result of a solver that failed by a fault of the program: the
// drawing must stay usable.
func broken(fault any) *analysis.Result {
	return &analysis.Result{Faults: []analysis.Fault{{
		Stops: true,
		Text:  fmt.Sprintf("the solver failed on this drawing by a fault of the program (%v); save the drawing and report it", fault),
	}}}
}
