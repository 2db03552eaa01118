package ui

import (
	"time"

	"fyne.io/fyne/v2"
)

// Later calls f on the main goroutine after d, unless it is stopped first.
type Later func(d time.Duration, f func()) (stop func())

// byClock is the usual Later.
func byClock(d time.Duration, f func()) (stop func()) {
	stopped := false // belongs to the main goroutine
	t := time.AfterFunc(d, func() {
		fyne.Do(func() {
			if !stopped {
				f()
			}
		})
	})
	return func() {
		stopped = true
		t.Stop()
	}
}
