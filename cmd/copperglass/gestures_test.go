//go:build linux

package main

import (
	"image"
	"path/filepath"
	"slices"
	"testing"

	"copperglass/canvas/symbol"
	"copperglass/model"
	"copperglass/model/file"
	"copperglass/model/geom"
	"copperglass/model/net"
)

// sketchbook is a drawing that is made in the window and looked at in its file.
type sketchbook struct {
	*program
	path string
}

// openSketchbook starts the program on an empty sheet with a file of its own.
func openSketchbook(t *testing.T) *sketchbook {
	t.Helper()
	b := &sketchbook{launch(t, setup{}, "--empty"), filepath.Join(t.TempDir(), "gestures.cglass")}
	b.untilTitle(untitled)
	b.saveAs(b.path)
	b.untilTitle("gestures.cglass – Copperglass")
	b.untilBlock("the bar without a dialog over it", window, image.Pt(10, 10), b.look.Bar)
	return b
}

// saved saves the drawing until the file is as it should be, and returns it;
// what completes the sentence "waited until".
func (b *sketchbook) saved(what string, met func(d *model.Diagram) bool) *model.Diagram {
	b.t.Helper()
	var d *model.Diagram
	b.until(what, func() bool {
		b.keys("ctrl+s")
		read, err := file.Load(b.path)
		d = read
		return err == nil && met(read)
	})
	return d
}

// choose selects what is at a point of the grid, and with shift what is at the
// others.
func (b *sketchbook) choose(x, y int, more ...image.Point) {
	b.t.Helper()
	b.click(b.grid(x, y))
	if len(more) == 0 {
		return
	}
	b.xdotool("keydown", "shift")
	for _, p := range more {
		b.click(b.grid(p.X, p.Y))
	}
	b.xdotool("keyup", "shift")
}

// leave goes to bare paper and lets go of all that is selected.
func (b *sketchbook) leave() {
	b.t.Helper()
	b.click(b.grid(36, 26))
	b.keys("Escape")
}

// command does something by the list of all commands.
func (b *sketchbook) command(words string) {
	b.t.Helper()
	b.keys("ctrl+k")
	b.usualAnswer()
	b.typeText(words)
	calm := b.untilCalm()
	b.keys("Return")
	b.untilChanged(calm)
}

// kinds counts the parts of each kind.
func kinds(d *model.Diagram) map[string]int {
	count := map[string]int{}
	for _, p := range d.Parts {
		count[p.Kind]++
	}
	return count
}

// partAt returns the part at a place, nil where none is.
func partAt(d *model.Diagram, x, y int) *model.Part {
	i := slices.IndexFunc(d.Parts, func(p *model.Part) bool { return p.Placed && p.At == geom.Pt(x, y) })
	if i < 0 {
		return nil
	}
	return d.Parts[i]
}

// joined reports whether two pins are one net.
func joined(d *model.Diagram, refA, pinA, refB, pinB string) bool {
	if d.Part(refA) == nil || d.Part(refB) == nil {
		return false
	}
	nets := net.Build(d)
	return nets.Pin(refA, pinA) == nets.Pin(refB, pinB)
}

// steepPiece returns where the only piece of a wire runs that goes down.
func steepPiece(w *model.Wire) (x int, ok bool) {
	n := 0
	for i := 1; i < len(w.Points); i++ {
		if w.Points[i-1].X == w.Points[i].X {
			x, n = w.Points[i].X, n+1
		}
	}
	return x, n == 1
}

// TestWiresInTheWindow slides a piece of a wire, turns a part on a rail, leaves
// wires behind and takes a whole net away.
func TestWiresInTheWindow(t *testing.T) {
	t.Parallel()
	b := openSketchbook(t)
	b.put(b.grid(4, 4), "r")
	b.put(b.grid(20, 10), "r")
	b.drag(b.grid(6, 4), b.grid(18, 10))
	d := b.saved("there is a wire", func(d *model.Diagram) bool { return len(d.Wires) == 1 })
	x, ok := steepPiece(d.Wires[0])
	if !ok {
		t.Fatalf("the wire runs %v", d.Wires[0].Points)
	}
	to := 10
	if x == to {
		to = 14
	}
	ends := d.Wires[0].Ends()
	b.leave()
	b.drag(b.grid(x, 7), b.grid(to, 7))
	d = b.saved("its middle has slid", func(d *model.Diagram) bool {
		now, ok := steepPiece(d.Wires[0])
		return ok && now == to
	})
	if d.Wires[0].Ends() != ends {
		t.Errorf("it joined %v and joins %v", ends, d.Wires[0].Ends())
	}

	b.hold(b.grid(20, 10), b.grid(24, 16))
	b.keys("v")
	b.xdotool("mouseup", left)
	d = b.saved("R2 is elsewhere", func(d *model.Diagram) bool { return partAt(d, 24, 16) != nil })
	if joined(d, "R1", "2", "R2", "1") || d.Wires[0].Ends() != ends {
		t.Errorf("the wire was to stay behind at %v: %v", ends, d.Wires[0].Points)
	}
	b.keys("ctrl+z")
	b.saved("R2 is back", func(d *model.Diagram) bool { return partAt(d, 20, 10) != nil && joined(d, "R1", "2", "R2", "1") })

	b.put(b.grid(to, 14), "r", "period")
	b.drag(b.grid(to, 12), b.grid(to, 10)) // a branch
	b.put(b.grid(30, 20), "r")
	b.drag(b.grid(28, 20), b.grid(26, 20)) // a wire of another net
	b.saved("there is another net", func(d *model.Diagram) bool { return len(d.Parts) == 4 && len(d.Wires) == 3 })
	b.leave()
	b.choose(8, 4)
	b.keys("a", "Delete")
	d = b.saved("only one wire is left", func(d *model.Diagram) bool { return len(d.Wires) == 1 })
	if !d.Wires[0].Touches(geom.Pt(28, 20)) || len(d.Parts) != 4 {
		t.Errorf("left are %d parts and a wire %v", len(d.Parts), d.Wires[0].Points)
	}
	b.close()
	b.untilEnded()
}

// TestPartsInTheWindow aligns, renumbers, changes and mirrors parts, cuts them
// out and pastes them, and takes all of a kind away.
func TestPartsInTheWindow(t *testing.T) {
	t.Parallel()
	b := openSketchbook(t)
	b.put(b.grid(10, 16), "r")
	b.put(b.grid(4, 10), "r")
	b.put(b.grid(7, 4), "r")
	b.choose(10, 16, image.Pt(4, 10), image.Pt(7, 4))
	b.command("Align left")
	d := b.saved("their left edges are in line", func(d *model.Diagram) bool {
		edge := func(i int) float64 { return symbol.Extent(d.Parts[i]).Min.X }
		return len(d.Parts) == 3 && edge(0) == edge(1) && edge(1) == edge(2)
	})
	column := d.Part("R1").At.X
	for y, ref := range map[int]string{16: "R1", 10: "R2", 4: "R3"} {
		if p := d.Part(ref); p.At.Y != y {
			t.Errorf("%s went from row %d to %v", ref, y, p.At)
		}
	}

	b.command("Renumber")
	b.saved("they are numbered from above", func(d *model.Diagram) bool {
		is := func(ref string, y int) bool { p := partAt(d, column, y); return p != nil && p.Ref == ref }
		return is("R1", 4) && is("R2", 10) && is("R3", 16)
	})

	b.leave()
	b.drag(b.grid(column+2, 4), b.grid(column+2, 10))
	b.choose(column, 10)
	b.keys("i")
	b.usualAnswer()
	b.typeText("capac")
	calm := b.untilCalm()
	b.keys("Return")
	b.untilChanged(calm)
	d = b.saved("R2 is a capacitor", func(d *model.Diagram) bool { return kinds(d)["capacitor"] == 1 })
	if p := d.Part("C2"); p == nil || p.At != geom.Pt(column, 10) || !joined(d, "R1", "2", "C2", "2") {
		t.Errorf("it is %+v, and joined to R1: %v", p, joined(d, "R1", "2", "C2", "2"))
	}

	b.put(b.grid(20, 10), "q")
	b.choose(20, 10)
	b.keys("slash")
	d = b.saved("a transistor is mirrored", func(d *model.Diagram) bool {
		p := partAt(d, 20, 10)
		return p != nil && p.Orient.Mirror
	})
	if base := d.Part("Q1").PlacedPins(); !slices.ContainsFunc(base, func(pin model.Pin) bool { return pin.Name == "B" && pin.At.X > 20 }) {
		t.Errorf("its base is not at the right: %v", base)
	}
	b.keys("ctrl+x")
	b.saved("it is cut out", func(d *model.Diagram) bool { return d.Part("Q1") == nil })
	b.put(b.grid(26, 16), "ctrl+v")
	d = b.saved("it is pasted", func(d *model.Diagram) bool { return partAt(d, 26, 16) != nil })
	if p := partAt(d, 26, 16); p.Ref != "Q1" || !p.Orient.Mirror {
		t.Errorf("pasted is %+v", p)
	}

	b.leave()
	b.choose(column, 4)
	b.keys("ctrl+shift+a", "Delete")
	d = b.saved("no resistor is left", func(d *model.Diagram) bool { return kinds(d)["resistor"] == 0 })
	if d.Part("C2") == nil || d.Part("Q1") == nil {
		t.Errorf("left are %v", kinds(d))
	}
	b.close()
	b.untilEnded()
}

// tailIs reports whether an arrow's tail is there about its tip, before it is turned.
func tailIs(p *model.Part, x, y float64) bool {
	tx, ty := model.ArrowTail(p)
	return tx == x && ty == y
}

// TestArrowsInTheWindow draws the ends of an arrow to other places.
func TestArrowsInTheWindow(t *testing.T) {
	t.Parallel()
	b := openSketchbook(t)
	b.put(b.grid(16, 8), "y")
	b.typeText("here")
	b.keys("Return", "Escape")
	b.leave()
	b.choose(15, 8)
	b.untilCalm()
	b.drag(b.grid(16, 8), b.grid(20, 12))
	b.saved("the tip is elsewhere", func(d *model.Diagram) bool {
		return len(d.Parts) == 1 && d.Parts[0].At == geom.Pt(20, 12) && tailIs(d.Parts[0], -8, -4)
	})
	b.drag(b.grid(12, 8), b.grid(28, 9))
	d := b.saved("the tail is on the other side", func(d *model.Diagram) bool {
		return len(d.Parts) == 1 && d.Parts[0].Orient.Turn == 180 && tailIs(d.Parts[0], -8, 3)
	})
	if p := d.Parts[0]; p.At != geom.Pt(20, 12) || p.Value != "here" {
		t.Errorf("the arrow is %+v", p)
	}
	b.close()
	b.untilEnded()
}
