package scene

import (
	"math"
	"strings"
	"testing"
)

// The paths of the examples' transistors go as their notes say: from the cells
// round, and with the transistor's own current.
func TestPathsOfExamples(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct{ example, mode, ref, control, load string }{
		{"high-side", "Drive low", "Q1", "BT1 Q1 R1 S1", "BT1 Q1 E1"},
		{"lantern", "White", "Q1", "BT1 Q1 R1 IC1", "BT1 Q1 R4 D1"},
		{"lantern", "White", "Q2", "", ""},
		{"lantern", "Amber", "Q2", "BT1 Q2 R2 IC1", "BT1 Q2 R5 D2"},
	} {
		d := example(t, tt.example)
		r := solve(t, d, tt.mode)
		control, _ := ControlPath(d, r, tt.ref)
		load, _ := LoadPath(d, r, tt.ref)
		if got := strings.Join(control.Parts, " "); got != tt.control {
			t.Errorf("%s, %s: the control path of %s is %q, want %q", tt.example, tt.mode, tt.ref, got, tt.control)
		}
		if got := strings.Join(load.Parts, " "); got != tt.load {
			t.Errorf("%s, %s: the load path of %s is %q, want %q", tt.example, tt.mode, tt.ref, got, tt.load)
		}
		if tt.load != "" && (control.Amps != math.Abs(r.Parts[tt.ref].Pin("B").Amps) || load.Amps != math.Abs(r.Parts[tt.ref].Pin("C").Amps)) {
			t.Errorf("%s, %s: %v A and %v A go there, not those of base and collector", tt.example, tt.mode, control.Amps, load.Amps)
		}
	}
}

// What is no transistor, is not there or is not solved has no paths.
func TestNoPaths(t *testing.T) {
	t.Parallel()
	d := example(t, "lantern")
	r := solve(t, d, "White")
	for _, ref := range []string{"R1", "gone", ""} {
		if p, ok := LoadPath(d, r, ref); ok {
			t.Errorf("%q has the load path %v", ref, p.Parts)
		}
	}
	if _, ok := ControlPath(d, nil, "Q1"); ok {
		t.Error("without a result there is a control path")
	}
}
