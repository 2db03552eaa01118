package net

// Distributor does again and again what Distribute does, and keeps its memory.
type Distributor struct{ forest forest }

// Distribute is described at the function of that name. The currents are the
// distributor's own and hold until it is asked again.
func (d *Distributor) Distribute(n int, edges [][2]int, out []float64) []float64 {
	return d.forest.distribute(n, edges, out)
}
