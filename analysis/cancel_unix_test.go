//go:build unix

package analysis

import (
	"context"
	"fmt"
	"runtime"
	"slices"
	"strings"
	"syscall"
	"testing"
	"time"

	"copperglass/model"
)

// stopwatch is a context that notes how much processor time passes between two
// looks at it, and who looked.
type stopwatch struct {
	context.Context
	last time.Duration
	gaps []gap
}

type gap struct {
	took time.Duration
	at   []uintptr // the stack of the look that ended it
}

func (s *stopwatch) Err() error {
	now := processorTime()
	stack := make([]uintptr, 12)
	s.gaps = append(s.gaps, gap{now - s.last, stack[:runtime.Callers(2, stack)]})
	s.last = now
	return nil
}

// processorTime is what the process has had of all processors, which a busy
// machine does not stretch, but which counts the collector of memory too.
func processorTime() time.Duration {
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		panic(err)
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}

// BenchmarkCancel is how long a solution that is no longer wanted may go on: the
// longest processor time between two looks at the context in a drawing of
// 100,000 parts. With -v it says where the longest lie.
func BenchmarkCancel(b *testing.B) {
	for _, c := range []struct {
		name string
		d    *model.Diagram
	}{{"board", board(b, 100_000)}, {"sheet", sheet(100_000)}} {
		b.Run(c.name, func(b *testing.B) {
			var s stopwatch
			for b.Loop() {
				s = stopwatch{Context: b.Context(), last: processorTime()}
				if _, err := Solve(&s, c.d, Options{}); err != nil {
					b.Fatal(err)
				}
				s.Err()
			}
			slices.SortFunc(s.gaps, func(a, b gap) int { return int(b.took - a.took) })
			b.ReportMetric(float64(s.gaps[0].took)/1e6, "ms-longest")
			b.ReportMetric(float64(len(s.gaps)), "looks")
			for _, g := range s.gaps[:min(12, len(s.gaps))] {
				b.Logf("%5.1f ms until %s", float64(g.took)/1e6, g)
			}
		})
	}
}

func (g gap) String() string {
	var names []string
	frames := runtime.CallersFrames(g.at)
	for more := true; more; {
		var f runtime.Frame
		f, more = frames.Next()
		if !strings.Contains(f.Function, "copperglass") {
			break
		}
		names = append(names, fmt.Sprintf("%s:%d", f.Function[strings.LastIndex(f.Function, "/")+1:], f.Line))
	}
	return strings.Join(names, " < ")
}
