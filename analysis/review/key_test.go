package review

import (
	"context"
	"testing"
)

// The rules that tell what sets a load's current are there, and alone are key;
// their flags stand at what sets it.
func TestKeyFindings(t *testing.T) {
	t.Parallel()
	key := 0
	for _, r := range rules() {
		if (Finding{Rule: r.id}).Key() {
			if key++; r.severity != Fact {
				t.Errorf("%s is no fact", r.id)
			}
		}
	}
	if key != 3 {
		t.Errorf("%d rules are key", key)
	}
	d := decode(t, []string{two("BT1", "battery", "p", "GND", `"value": "3 × AA alkaline"`), resistor("R1", "p", "a", "0"), two("D1", "led", "a", "GND", `"value": "white", "count": 12`)}, "")
	out, err := Run(context.Background(), d, Options{})
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range out.Findings {
		if f.Key() && f.Flagged(d)[0] == "R1" && f.Parts[0] == "D1" {
			return
		}
	}
	t.Errorf("the link has no key finding that is flagged there among %+v", out.Findings)
}
