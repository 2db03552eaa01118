package tool_test

import "testing"

// A wire that is led straight ahead past a pin goes around it and comes back to
// where it was aimed, so that the corner it gets next is the one that was clicked.
func TestAHangingWireComesBackToItsLine(t *testing.T) {
	t.Parallel()
	tests := []struct {
		name   string
		x, y   float64
		follow string
	}{
		{"down", 18, 6, "18,0 18,6"},
		{"up", 18, -6, "18,0 18,-6"},
		{"on", 24, 0, "24,0"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			t.Parallel()
			h := draw(t, "R1 resistor 0,0", "R2 resistor 10,2 90")
			h.BeginWire(at(2, 0))
			h.click(18, 0)
			h.wants("R1 resistor 0,0", "R2 resistor 10,2 90", "2,0 9,0 9,-1 11,-1 11,0 18,0")
			h.click(test.x, test.y)
			h.wants("R1 resistor 0,0", "R2 resistor 10,2 90", "2,0 9,0 9,-1 11,-1 11,0 "+test.follow)
		})
	}
}
