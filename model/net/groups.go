package net

// Groups are sets of small integers that grow together: a union-find forest
// with path halving (R. E. Tarjan and J. van Leeuwen, Journal of the ACM 31,
// 1984).
type Groups []int

// NewGroups returns the integers from 0 to n−1, each in a group of its own.
func NewGroups(n int) Groups {
	g := make(Groups, n)
	for i := range g {
		g[i] = i
	}
	return g
}

// Add puts one more integer in a group of its own and returns it.
func (g *Groups) Add() int {
	*g = append(*g, len(*g))
	return len(*g) - 1
}

// Find returns the integer that stands for i's group: its least.
func (g Groups) Find(i int) int {
	for g[i] != i {
		g[i] = g[g[i]]
		i = g[i]
	}
	return i
}

// Join makes one group of i's and j's, and reports whether they were two.
func (g Groups) Join(i, j int) bool {
	i, j = g.Find(i), g.Find(j)
	if i == j {
		return false
	}
	g[max(i, j)] = min(i, j)
	return true
}
