package ui

import (
	"fmt"
	"sync/atomic"
	"time"
)

// progress is how far a study is. What works on it tells, the page that waits for
// it looks.
type progress struct {
	done, all atomic.Int64
	looking   bool // whether the page is to look again; belongs to the main goroutine
}

// tell is for any goroutine.
func (w *progress) tell(done, all int) {
	w.done.Store(int64(done))
	w.all.Store(int64(all))
}

// words are "5 of 26 done", or "" before anything is.
func (w *progress) words() string {
	if w.done.Load() == 0 {
		return ""
	}
	return fmt.Sprintf("%d of %d done", w.done.Load(), w.all.Load())
}

// lookTime is between two looks.
const lookTime = 150 * time.Millisecond

// watch returns the words and has the page look again in a while.
func (w *progress) watch(in *inspector) string {
	if !w.looking {
		w.looking = true
		in.later(lookTime, func() {
			w.looking = false
			in.refresh()
		})
	}
	return w.words()
}
