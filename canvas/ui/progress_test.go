package ui

import (
	"testing"
	"time"
)

// A page that waits looks again in a while, once at a time, and tells how far the
// work is.
func TestProgressIsLookedAt(t *testing.T) {
	w := openLantern(t)
	in := w.inspector
	var looks []func()
	in.later = func(_ time.Duration, f func()) func() {
		looks = append(looks, f)
		return func() {}
	}
	way := &progress{}
	if got := way.watch(in); got != "" || len(looks) != 1 {
		t.Fatalf("before anything is done it says %q, and %d looks are to come", got, len(looks))
	}
	way.tell(5, 26)
	if got := way.watch(in); got != "5 of 26 done" || len(looks) != 1 {
		t.Errorf("it says %q, and %d looks are to come", got, len(looks))
	}
	looks[0]()
	if way.watch(in); len(looks) != 2 {
		t.Errorf("after a look, %d were asked for", len(looks))
	}
}
