package ui

import (
	"bytes"
	"context"
	"errors"
	"strings"
	"testing"
	"time"

	"fyne.io/fyne/v2"

	"copperglass/canvas"
)

// TestLongWorkCanBeStopped: a dialog says what goes on, and Escape stops it.
func TestLongWorkCanBeStopped(t *testing.T) {
	w := openLantern(t)
	w.program.options.Patience = 0
	var show func()
	w.later = func(_ time.Duration, f func()) func() { show = f; return func() {} }
	ended := make(chan error)
	w.background("Exporting", func(ctx context.Context) error {
		<-ctx.Done()
		_, err := stoppable{ctx, &bytes.Buffer{}}.Write([]byte("more"))
		ended <- err
		return err
	}, func(error) { t.Error("what was stopped is told as done") })
	show()
	if len(w.asking) != 1 {
		t.Fatalf("%d dialogs are open", len(w.asking))
	}
	w.typedInDialog(fyne.KeyEscape)
	if err := <-ended; !errors.Is(err, context.Canceled) || len(w.asking) != 0 {
		t.Errorf("%v, %d dialogs are open", err, len(w.asking))
	}
}

func TestAFaultInTheBackgroundIsTold(t *testing.T) {
	w := openLantern(t)
	var told error
	w.background("Exporting", func(context.Context) error { panic("broken") }, func(err error) { told = err })
	if told == nil || !strings.Contains(told.Error(), "broken") {
		t.Errorf("told %v", told)
	}
}

// picture is what an export would show now.
func (w *Window) picture(c exportChoice) *canvas.Picture { return w.composition(c)() }
