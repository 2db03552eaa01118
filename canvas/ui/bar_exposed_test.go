package ui

import (
	"errors"
	"strings"
	"testing"
)

// That unsaved work is not protected stands in the bar until it is again, in
// other colours too.
func TestTheBarSaysThatWorkIsNotKept(t *testing.T) {
	w := drawLoop(t)
	says := func() bool { return strings.Contains(w.bar.traced.Text, exposedWords) }
	if says() {
		t.Fatal("it says so from the beginning")
	}
	w.unprotected(errors.New("the disk is full"))
	w.choose(t, "OK")
	w.paint()
	if w.modal() || !says() {
		t.Errorf("after the dialog the bar says %q", w.bar.traced.Text)
	}
	w.command("dark")
	if !says() {
		t.Errorf("in the other theme the bar says %q", w.bar.traced.Text)
	}
	w.unprotected(nil)
	if says() {
		t.Error("it still says so when work is kept again")
	}
}
