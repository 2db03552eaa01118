package analysis

import (
	"context"
	"math"
	"slices"
	"testing"

	"copperglass/model"
)

// The figures of a latch are of one state, whichever is asked for: no corner and
// no sample jumps to the other.
func TestSpreadStaysInItsState(t *testing.T) {
	t.Parallel()
	battery := `"ref": "BT1", "kind": "battery", "value": "3 × LR6", "tags": {"+": "v", "-": "GND"}`
	latch := decode(t, drawing(append([]string{battery}, flipFlop()[1:]...)...))
	for state, volts := range map[int][2]float64{1: {0, 0.2}, 2: {3.5, 5}} {
		s := spread(t, latch, SpreadOptions{Options: Options{State: state}, Of: []string{"net.c1.volts"}, Samples: 300, Own: map[string]float64{"R3.resistance": 0.2, "R4.resistance": 0.2}})
		q := s.Quantities[0]
		if !(volts[0] < q.Low && q.Low < q.P5 && q.P95 < q.High && q.High < volts[1]) || s.Left != 0 || s.LeftCorners != 0 {
			t.Errorf("state %d: %g to %g V, 90 %% within %g to %g V; %d and %d left", state, q.Low, q.High, q.P5, q.P95, s.Left, s.LeftCorners)
		}
	}
}

// Where a state does not last over the whole range, what leaves it is counted
// and is not among the figures.
func TestSpreadCountsWhatLeaves(t *testing.T) {
	t.Parallel()
	d := decode(t, drawing(trigger(2.2)...)) // between thresholds that lie a few tenths of a volt away
	o := SpreadOptions{Options: Options{State: 2}, Of: []string{"net.c2.volts"}, Samples: 200, Own: map[string]float64{"G2.voltage": 0.6}}
	s, err := Spread(context.Background(), d, o)
	if err != nil {
		t.Fatal(err)
	}
	q := s.Quantities[0]
	if s.Left == 0 || s.Left == s.Converged || len(q.Samples) != s.Converged-s.Left {
		t.Errorf("%d of %d left, %d are told of", s.Left, s.Converged, len(q.Samples))
	}
	// The other state has c2 at the supply's 9 V.
	if x := slices.Max(q.Samples); x > 8 || q.High > 8 || math.IsNaN(x) {
		t.Errorf("c2 up to %g V in the samples, %g V at worst", x, q.High)
	}
	set := model.Setting{"G2": {"voltage": model.Number(2.2 * 1.6)}}
	if r := solve(t, d, Options{Set: set, Start: s.Result}); r.Volts[r.Nets.Find("c2")] < 8 {
		t.Errorf("at its upper end the input does not turn the trigger over: c2 at %g V", r.Volts[r.Nets.Find("c2")])
	}
}
