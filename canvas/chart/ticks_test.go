package chart

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"copperglass/model/quantity"
)

// Figures stand at round values, three to six of them, and never at two ticks
// alike.
func TestEvenTicks(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		low, high float64
		want      string
	}{
		{0, 1.63, "0 0.5 1 1.5"}, {0.02, 0.36, "0.1 0.2 0.3"}, {-1, 1, "-1 -0.5 0 0.5 1"}, {4.106, 4.1434, "4.11 4.12 4.13 4.14"}, {0, 1e-6, "0 2e-07 4e-07 6e-07 8e-07 1e-06"},
		{2.7, 2.7, "2.7"}, {-3, -1.2, "-3 -2.5 -2 -1.5"},
	} {
		var said []string
		for _, tick := range (evenly{labelled}).Ticks(tt.low, tt.high) {
			if tick.Value < tt.low-1e-9 || tick.Value > tt.high+1e-9 {
				t.Errorf("%g is outside %g to %g", tick.Value, tt.low, tt.high)
			}
			if tick.Label != "" {
				said = append(said, quantityless(tick.Value))
			}
		}
		if got := strings.Join(said, " "); got != tt.want {
			t.Errorf("%g to %g: %s, want %s", tt.low, tt.high, got, tt.want)
		}
	}
}

// quantityless is a number rid of its rounding.
func quantityless(x float64) string {
	if math.Abs(x) < 1e-12 {
		x = 0
	}
	return fmt.Sprintf("%.6g", x)
}

// Ticks that lie close together have the digits that tell them apart.
func TestCloseTicks(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		largest, step, x float64
		unit             quantity.Unit
		want             string
	}{
		{4.14, 0.01, 4.12, quantity.Volt, "4.12 V"}, {4.14, 0.005, 4.125, quantity.Volt, "4.125 V"}, {0.3601, 2e-4, 0.3602, quantity.Ampere, "360.2 mA"},
		{1000.2, 0.1, 1000.1, quantity.Hour, "1000.1 h"}, {5, 0.05, -4.95, quantity.Volt, "−4.95 V"},
	} {
		if got := finely(tt.largest, tt.step, tt.unit)(tt.x); got != tt.want {
			t.Errorf("%v: %q, want %q", tt.x, got, tt.want)
		}
	}
	ticker := ticks(evenly{labelled}, quantity.Volt)
	said := map[string]bool{}
	for _, tick := range ticker.Ticks(4.106, 4.1434) {
		if tick.Label != "" && said[tick.Label] {
			t.Errorf("two ticks say %s", tick.Label)
		}
		said[tick.Label] = true
	}
	if len(said) < 3 {
		t.Errorf("the ticks say %v", said)
	}
}

// Ticks at equal ratios stay on the axis, and two of them have figures however
// short it is, unless it is within one step.
func TestDecades(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct{ low, high, labels, ticks float64 }{
		{3.4, 34000, 4, 36}, {100, 10000, 3, 19}, {0.02, 0.5, 5, 13}, {1.5, 8, 2, 7}, {1e-9, 1e-3, 7, 55},
	} {
		labels, all := 0.0, decades{}.Ticks(tt.low, tt.high)
		for _, tick := range all {
			if tick.Label != "" {
				labels++
			}
			if tick.Value < 0.999*tt.low || tick.Value > 1.001*tt.high {
				t.Errorf("a tick at %g, the axis goes from %g to %g", tick.Value, tt.low, tt.high)
			}
		}
		if labels != tt.labels || float64(len(all)) != tt.ticks {
			t.Errorf("from %g to %g there are %d ticks and %g figures, want %g and %g", tt.low, tt.high, len(all), labels, tt.ticks, tt.labels)
		}
	}
}
