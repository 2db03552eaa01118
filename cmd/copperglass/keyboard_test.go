//go:build linux

package main

import (
	"image"
	"path/filepath"
	"slices"
	"testing"
)

// keyboard is a person without a mouse, who knows where the cursor is.
type keyboard struct {
	*program
	at image.Point // of the cursor, in steps of the grid
}

// walk brings the cursor, and what hangs on it, to a point.
func (k *keyboard) walk(x, y int) {
	k.t.Helper()
	by := image.Pt(x, y).Sub(k.at)
	k.at = image.Pt(x, y)
	var keys []string
	for _, way := range []struct {
		key   string
		steps int
	}{{"Right", by.X}, {"Left", -by.X}, {"Down", by.Y}, {"Up", -by.Y}} {
		keys = append(keys, slices.Repeat([]string{way.key}, max(way.steps, 0))...)
	}
	if len(keys) > 0 {
		k.keys(keys...)
	}
}

// put hangs a part on the cursor and sets it down.
func (k *keyboard) put(x, y int, keys ...string) {
	k.t.Helper()
	k.keys(keys...)
	k.walk(x, y)
	k.keys("Return")
}

// wire draws through points, x and y in turn, with a corner at each that is on
// bare paper.
func (k *keyboard) wire(xy ...int) {
	k.t.Helper()
	for p := range slices.Chunk(xy, 2) {
		k.walk(p[0], p[1])
		k.keys("Return")
	}
}

// TestDrawnByTheKeysAlone is TestMainJob without a mouse, from the empty sheet
// to the closed window.
func TestDrawnByTheKeysAlone(t *testing.T) {
	t.Parallel()
	path := filepath.Join(t.TempDir(), "by keys.cglass")
	k := &keyboard{program: launch(t, setup{}, "--empty")}
	k.untilTitle(untitled)
	k.put(0, 0, "g") // the first part comes in the middle of the sheet
	k.fill("4.5 V")
	k.put(7, -5, "r")
	k.fill("220")
	k.put(15, 0, "d", "d")
	k.fill("white")
	k.put(0, 6, "0")
	k.keys("Escape")
	k.wire(0, -2, 5, -5)
	k.wire(9, -5, 12, -5, 12, -8)
	k.keys("Return") // the second time there: it ends loosely, and is drawn on from there
	k.wire(12, -8, 15, -8, 15, -2)
	k.wire(15, 2, 0, 2)
	k.keys("Return", "Return") // a wire that goes nowhere
	k.wire(0, 2, 0, 6)
	k.untilTitle("• " + untitled)
	k.saveAs(path)
	k.untilTitle("by keys.cglass – Copperglass")
	k.keys("ctrl+q")
	k.untilEnded()
	checkByHand(t, path)
}

// TestACommandIsFoundAndRunByTheKeys opens an example from the list of all
// commands.
func TestACommandIsFoundAndRunByTheKeys(t *testing.T) {
	t.Parallel()
	p := launch(t, setup{}, "--empty")
	p.untilTitle(untitled)
	p.keys("F1")
	p.usualAnswer()
	p.typeText("lantern")
	p.keys("Return")
	p.untilTitle("Tent lantern – Copperglass")
}
