package drain

import (
	"slices"
	"testing"
)

// The light hangs on the battery that feeds the LED, on both in a row, and on the
// only one; the battery that is followed may light nothing.
func TestLightHangsOn(t *testing.T) {
	t.Parallel()
	const led = `"ref": "D1", "kind": "led", "value": "red", "tags": {"A": "a", "K": "GND"}`
	part := func(ref, kind, value, first, second, from, to string) string {
		return `"ref": "` + ref + `", "kind": "` + kind + `", "value": "` + value + `", "tags": {"` + first + `": "` + from + `", "` + second + `": "` + to + `"}`
	}
	battery := func(ref, value, from, to string) string { return part(ref, "battery", value, "+", "-", from, to) }
	load := func(ref, value, from, to string) string { return part(ref, "resistor", value, "1", "2", from, to) }
	for _, tt := range []struct {
		name  string
		parts []string
		on    []string
		apart int
	}{
		{"apart", []string{battery("BT1", "2 × LR6", "p", "GND"), load("R1", "30", "p", "GND"), battery("BT2", "6LR61", "q", "GND"), load("R2", "470", "q", "a"), led}, []string{"BT2"}, 1},
		{"in a row", []string{battery("BT1", "2 × LR6", "p", "m"), battery("BT2", "2 × LR6", "m", "GND"), load("R1", "100", "p", "a"), led}, []string{"BT1", "BT2"}, 0},
		{"alone", []string{battery("BT1", "2 × LR6", "p", "GND"), load("R1", "100", "p", "a"), led}, []string{"BT1"}, 0},
		{"without light", []string{battery("BT1", "2 × LR6", "p", "GND"), load("R1", "100", "p", "GND")}, nil, 0},
		{"on a supply", []string{battery("BT1", "2 × LR6", "p", "GND"), load("R1", "100", "p", "GND"), part("V1", "supply", "5 V", "+", "-", "v", "GND"), load("R2", "470", "v", "a"), led}, nil, 0},
	} {
		out := run(t, decode(t, tt.parts...), Options{Rough: true})
		if on := out.LightOn(); !slices.Equal(on, tt.on) || len(out.Apart()) != tt.apart {
			t.Errorf("%s: on %v, apart %v", tt.name, on, out.Apart())
		}
		if out.Battery != "BT1" {
			t.Errorf("%s: %s is followed", tt.name, out.Battery)
		}
	}
}
