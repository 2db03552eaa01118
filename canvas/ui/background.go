package ui

import (
	"context"
	"fmt"
	"io"
	"slices"
	"time"

	"fyne.io/fyne/v2"
)

// longWork is after how long a person wants to know what goes on, and to stop it.
const longWork = 500 * time.Millisecond

// background does work that may take long beside the main goroutine, and tells
// done of its end on it. What is done within the patience is told before
// background returns. What takes long is shown in a dialog that can stop it: then
// the work's context ends, and done is not called.
func (w *Window) background(title string, work func(context.Context) error, done func(error)) {
	w.backgroundToEnd(title, work, func(err error, stopped bool) {
		if !stopped {
			done(err)
		}
	})
}

// backgroundToEnd is background for what has to be followed when it was stopped,
// too: it may have been done by then.
func (w *Window) backgroundToEnd(title string, work func(context.Context) error, done func(err error, stopped bool)) {
	ctx, cancel := context.WithCancel(context.Background())
	over := make(chan error, 1)
	go func() { over <- guardedWork(ctx, work) }()
	select {
	case err := <-over:
		cancel()
		done(err, false)
		return
	case <-time.After(w.program.options.Patience):
	}
	var shown *asking
	hush := w.later(longWork, func() { shown = w.showWork(title, cancel) })
	go func() {
		err := <-over
		fyne.Do(func() {
			if !w.closed {
				hush()
				w.withdraw(shown)
				done(err, ctx.Err() != nil)
			}
			cancel()
		})
	}()
}

// guardedWork turns a fault of the program into an error.
func guardedWork(ctx context.Context, work func(context.Context) error) (err error) {
	defer func() {
		if fault := recover(); fault != nil {
			err = fmt.Errorf("this was not done by a fault of the program (%v); please report it", fault)
		}
	}()
	return work(ctx)
}

// showWork says what goes on.
func (w *Window) showWork(title string, stop func()) *asking {
	if w.closed {
		return nil
	}
	w.ask(title, paragraph("This takes a while.", dialogWidth, textSize, w.look.Ink), answer{label: "Stop", do: stop})
	return w.asking[len(w.asking)-1]
}

// withdraw closes a dialog, if it is still open, without an answer.
func (w *Window) withdraw(a *asking) {
	if i := slices.Index(w.asking, a); i >= 0 {
		w.asking = slices.Delete(w.asking, i, i+1)
		a.popUp.Hide()
	}
}

// stoppable is a writer for as long as a context lasts.
type stoppable struct {
	ctx context.Context
	out io.Writer
}

func (s stoppable) Write(data []byte) (int, error) {
	if err := s.ctx.Err(); err != nil {
		return 0, err
	}
	return s.out.Write(data)
}
