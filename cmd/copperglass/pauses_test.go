//go:build linux

package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"runtime"
	"strings"
	"testing"
	"time"

	"fyne.io/fyne/v2"
)

// pausesTo is the variable that names the file to which the program, as a test
// starts it, writes how long its main loop was away.
const pausesTo = "COPPERGLASS_TEST_PAUSES"

// worthTelling is the shortest pause that is written down, slow the one from
// which on a person feels it. What takes too long does not end, as not even a busy
// machine keeps the program so long from answering.
const (
	worthTelling = 50 * time.Millisecond
	slow         = 200 * time.Millisecond
	tooLong      = 20 * time.Second
)

// pause is a time in which the main loop did not answer.
type pause struct {
	Began time.Time
	Long  time.Duration
	Work  time.Duration // of the main thread: little where the machine was busy elsewhere
	Wait  time.Duration // of the main thread for a processor: input piles up then, and is worked off at once
	Stack string        // what went on in the middle of it, if it was slow
}

// watchPauses asks the main loop again and again whether it is there, once the
// test has made the file.
func watchPauses(path string) {
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_APPEND, 0)
	for ; err != nil; f, err = os.OpenFile(path, os.O_WRONLY|os.O_APPEND, 0) {
		time.Sleep(worthTelling)
	}
	for out := json.NewEncoder(f); ; time.Sleep(20 * time.Millisecond) {
		if p := onePause(); p.Long > worthTelling {
			out.Encode(p)
		}
	}
}

func onePause() pause {
	answer := make(chan bool)
	p := pause{Began: time.Now()}
	work, wait := processorTime()
	fyne.Do(func() { close(answer) })
	select {
	case <-answer:
	case <-time.After(slow):
		p.Stack = mainStack()
		select {
		case <-answer:
		case <-time.After(tooLong):
		}
	}
	p.Long = time.Since(p.Began)
	worked, waited := processorTime()
	p.Work, p.Wait = worked-work, waited-wait
	return p
}

// mainStack is what the main goroutine does.
func mainStack() string {
	text := make([]byte, 1<<20)
	text = text[:runtime.Stack(text, true)]
	for one := range strings.SplitSeq(string(text), "\n\n") {
		if strings.HasPrefix(one, "goroutine 1 ") {
			return one
		}
	}
	return ""
}

// processorTime is how long the main thread, to which the toolkit ties its loop,
// has run on a processor, and how long it has waited for one (Linux kernel,
// Documentation/scheduler/sched-stats.rst).
func processorTime() (run, wait time.Duration) {
	text, _ := os.ReadFile(fmt.Sprintf("/proc/self/task/%d/schedstat", os.Getpid()))
	fmt.Sscan(string(text), &run, &wait)
	return run, wait
}

// readPauses returns the pauses of which a file tells.
func readPauses(t *testing.T, path string) []pause {
	t.Helper()
	f, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	var list []pause
	for in := json.NewDecoder(f); ; {
		var p pause
		err := in.Decode(&p)
		switch {
		case errors.Is(err, io.EOF), errors.Is(err, io.ErrUnexpectedEOF): // the last line of a program that was ended
			return list
		case err != nil:
			t.Fatal(err)
		}
		list = append(list, p)
	}
}
