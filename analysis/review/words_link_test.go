package review

import (
	"strings"
	"testing"

	"copperglass/analysis"
)

// A link of no resistance loses nothing; one of a milliohm at an ampere loses a
// milliwatt, and is not said to lose nothing.
func TestWhatALinkLoses(t *testing.T) {
	t.Parallel()
	for value, want := range map[string]string{
		"0":     "R1 is a link: 1 A flow through it and nothing is lost.",
		"0.001": "R1 is a link: 999 mA flow through it and 998 µW are lost.",
	} {
		d := decode(t, []string{
			`"ref": "V1", "kind": "supply", "params": {"voltage": 1, "resistance": 0}, "tags": {"+": "v", "-": "GND"}`,
			resistor("R1", "v", "a", value), resistor("R2", "a", "GND", "1"),
		}, "")
		r, err := analysis.Solve(t.Context(), d, analysis.Options{})
		if err != nil || !r.Solved {
			t.Fatal(err, r.Faults)
		}
		if got := Words(t.Context(), d, r)["R1"]; !strings.HasPrefix(got, want) {
			t.Errorf("%s Ω: %q", value, got)
		}
	}
}
