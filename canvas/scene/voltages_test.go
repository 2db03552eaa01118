package scene

import (
	"context"
	"strings"
	"testing"

	"copperglass/analysis"
	"copperglass/model"
	"copperglass/model/file"
)

// openLoop is a battery, a resistor, an LED and an open switch in a ring.
const openLoop = `{"format": "copperglass", "version": 1, "parts": [
	{"ref": "BT1", "kind": "battery", "at": [4, 10], "value": "3 × LR6"},
	{"ref": "D1", "kind": "led", "at": [19, 10], "turn": 90, "value": "white"},
	{"ref": "R1", "kind": "resistor", "at": [11, 8], "value": "1k"},
	{"ref": "S1", "kind": "switch", "at": [12, 12]},
	{"ref": "GND1", "kind": "ground", "at": [7, 12]}],
	"wires": [{"points": [[4, 8], [9, 8]]}, {"points": [[19, 12], [14, 12]]},
	{"points": [[13, 8], [19, 8]]}, {"points": [[10, 12], [4, 12]]}]}`

// Each net but ground tells its voltage where there is room, also one beyond a
// resistor that carries nothing; not so the other side of a link.
func TestEachNetTellsItsVoltage(t *testing.T) {
	t.Parallel()
	for value, want := range map[string]int{"1k": 3, "0": 2} {
		d := decoded(t, strings.Replace(openLoop, "1k", value, 1))
		r, err := analysis.Solve(context.Background(), d, analysis.Options{})
		if err != nil || !r.Solved {
			t.Fatal(err, r.Faults)
		}
		told := map[int]bool{}
		for _, l := range Build(d, r, lightOptions()).Labels {
			if l.Kind == VoltageLabel {
				told[l.Net] = true
			}
		}
		if len(told) != want {
			t.Errorf("R1 of %s: nets %v tell their voltage, want %d of them", value, told, want)
		}
	}
}

func decoded(t *testing.T, text string) *model.Diagram {
	t.Helper()
	d, err := file.Decode(strings.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	return d
}
