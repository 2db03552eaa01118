package tool_test

import (
	"slices"
	"testing"
)

// What deleting would leave a gap at is told: a part of two pins with something
// on either side that stays.
func TestBetween(t *testing.T) {
	t.Parallel()
	drawing := []string{"R1 resistor 0,0", "R2 resistor 10,0", "R3 resistor 20,0", "2,0 8,0", "12,0 18,0", "C1 capacitor 0,20 90", "R4 resistor 10,30", "8,30 8,34 12,34 12,30"}
	tests := []struct {
		name string
		refs []string
		want []string
	}{
		{"between two wires", []string{"R2"}, []string{"R2"}},
		{"at an end", []string{"R1"}, nil},
		{"alone", []string{"C1"}, nil},
		{"bridged by a wire", []string{"R4"}, nil},
		{"several", []string{"R3", "R2", "R1"}, []string{"R2"}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			t.Parallel()
			h := draw(t, drawing...)
			h.Select(test.refs...)
			if got := h.Between(); !slices.Equal(got, test.want) {
				t.Errorf("%v, want %v", got, test.want)
			}
		})
	}
}
