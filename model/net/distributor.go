package net

// Distributor does again and again what Distribute does, and keeps its memory.
type Distributor struct{ forest forest }

// Distribute is described at the function of that name, but that moved tells the
// sum of the magnitudes of all currents at each vertex: what is left over stays
// where that is largest. The currents returned are the distributor's own and
// hold until it is asked again.
func (d *Distributor) Distribute(n int, edges [][2]int, out, moved []float64) []float64 {
	return d.forest.distributeMoved(n, edges, out, moved)
}
