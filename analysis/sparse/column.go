package sparse

// Column calls f with the row and the slot of each entry of column c.
func (m *Matrix) Column(c int, f func(row, slot int)) {
	for k := m.start[c]; k < m.start[c+1]; k++ {
		f(m.row[k], m.slot[k])
	}
}
