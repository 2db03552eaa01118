//go:build linux

package main

import "testing"

// BenchmarkFirstWindow is the time from the start of the program, with the
// server of a screen before it, to the example painted in its window.
func BenchmarkFirstWindow(b *testing.B) {
	for b.Loop() {
		launch(b, setup{}).cmd.Process.Kill()
	}
}
