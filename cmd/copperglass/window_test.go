//go:build linux

package main

import (
	"context"
	"image"
	"math"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"copperglass/analysis"
	"copperglass/model"
	"copperglass/model/file"
)

const untitled = "Untitled drawing – Copperglass"

func TestOpensOnTheExample(t *testing.T) {
	t.Parallel()
	p := launch(t, setup{})
	p.untilTitle("Tent lantern – Copperglass")
	p.close()
	p.untilEnded()
}

// TestMainJob draws a circuit by hand, saves it, closes the window and solves
// the file.
func TestMainJob(t *testing.T) {
	t.Parallel()
	path := filepath.Join(t.TempDir(), "by hand.cglass")
	p := launch(t, setup{}, "--empty")
	p.untilTitle(untitled)
	drawByHand(p)
	p.untilTitle("• " + untitled)
	p.saveAs(path)
	p.untilTitle("by hand.cglass – Copperglass")
	p.close()
	p.untilEnded()
	checkByHand(t, path)
}

// drawByHand draws a battery, a resistor, an LED and a ground, gives them
// values and joins them.
func drawByHand(p *program) {
	p.t.Helper()
	p.put(p.grid(5, 10), "g")
	p.fill("4.5 V")
	p.put(p.grid(12, 5), "r")
	p.fill("220")
	p.put(p.grid(20, 10), "d", "d")
	p.fill("white")
	p.put(p.grid(5, 16), "0")
	p.drag(p.grid(5, 8), p.grid(10, 5))
	p.drag(p.grid(14, 5), p.grid(20, 8))
	p.drag(p.grid(20, 12), p.grid(5, 12))
	p.drag(p.grid(5, 12), p.grid(5, 16))
}

// put presses the keys of a part and sets it down.
func (p *program) put(at image.Point, keys ...string) {
	p.t.Helper()
	p.move(at)
	p.keys(keys...)
	p.click(at)
}

// fill types the value of the part that was put down last.
func (p *program) fill(value string) {
	p.t.Helper()
	p.typeText(value)
	p.keys("Return")
}

// saveAs saves the drawing to a file by the dialog.
func (p *program) saveAs(path string) {
	p.t.Helper()
	p.keys("ctrl+shift+s")
	p.usualAnswer()
	p.typeText(path)
	p.keys("Return")
	p.until("the file is there", func() bool { return fileExists(path) })
}

func fileExists(path string) bool {
	_, err := os.Stat(path)
	return err == nil
}

// checkByHand compares the solved file with the current worked out by hand.
// Around the loop
//
//	E = I (r + R + R_S) + n V_T ln(I/I_S + 1)
//
// with the battery's E = 4.5 V and its resistance r, R = 220 Ω, and the LED's
// constants; V_T = kT/q at 298.15 K by the exact values of the SI. The right
// side rises with I, so halving an interval finds it.
func checkByHand(t *testing.T, path string) {
	t.Helper()
	d, err := file.Load(path)
	if err != nil {
		t.Fatal(err)
	}
	r, err := analysis.Solve(context.Background(), d, analysis.Options{})
	if err != nil || !r.Solved || len(r.Faults) > 0 || len(d.Parts) != 4 {
		t.Fatalf("%d parts, solved %v, faults %v, %v", len(d.Parts), r.Solved, r.Faults, err)
	}
	battery, led := resolved(t, d, "BT1"), resolved(t, d, "D1")
	const thermal = 1.380649e-23 * 298.15 / 1.602176634e-19
	ohms := battery.Num("resistance") + 220 + led.Num("series_resistance")
	want := halve(0, 4.5/220, func(i float64) float64 {
		return i*ohms + led.Num("emission_coefficient")*thermal*math.Log(i/led.Num("saturation_current")+1) - 4.5
	})
	if got := r.Parts["R1"].Pins[0].Amps; math.Abs(math.Abs(got)-want) > 1e-9*want {
		t.Errorf("%g A through the resistor, by hand %g A", got, want)
	}
	if want < 5e-3 || want > 10e-3 {
		t.Errorf("%g A: an LED of about 3 V leaves about 1.5 V to 220 Ω", want)
	}
}

func resolved(t *testing.T, d *model.Diagram, ref string) model.Values {
	t.Helper()
	p := d.Part(ref)
	if p == nil {
		t.Fatalf("there is no %s", ref)
	}
	v, problems := d.Resolve(p, nil)
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	return v
}

// halve finds where a rising function is zero.
func halve(low, high float64, f func(float64) float64) float64 {
	for range 100 {
		if middle := (low + high) / 2; f(middle) < 0 {
			low = middle
		} else {
			high = middle
		}
	}
	return low
}

// TestUnsavedChanges closes a window with a change in it: Cancel keeps it,
// and dropping the change lets it go.
func TestUnsavedChanges(t *testing.T) {
	t.Parallel()
	path := writeDrawing(t, twoParts)
	p := launch(t, setup{}, path)
	p.untilTitle("Two parts – Copperglass")
	p.put(p.sheet().Min.Add(image.Pt(60, 60)), "0")
	p.untilTitle("• Two parts – Copperglass")
	calm := p.untilCalm()
	p.close()
	p.usualAnswer()
	p.keys("Escape")
	p.until("the dialog is gone", func() bool { return differing(calm, p.shot()) <= p.cursor() })
	p.close()
	p.click(p.otherAnswer())
	p.untilEnded()
	if text, err := os.ReadFile(path); err != nil || string(text) != twoParts {
		t.Errorf("the file has changed: %v %s", err, text)
	}
}

// TestSavesOnClosing closes a window with a change in it and saves it then.
func TestSavesOnClosing(t *testing.T) {
	t.Parallel()
	path := writeDrawing(t, twoParts)
	p := launch(t, setup{}, path)
	p.untilTitle("Two parts – Copperglass")
	p.put(p.sheet().Min.Add(image.Pt(60, 60)), "n")
	p.untilTitle("• Two parts – Copperglass")
	p.close()
	p.click(p.usualAnswer())
	p.untilEnded()
	if d, err := file.Load(path); err != nil || len(d.Parts) != 3 {
		t.Errorf("%v, want the note in the file", err)
	}
}

func TestUndoAndRedo(t *testing.T) {
	t.Parallel()
	p := launch(t, setup{}, "--empty")
	p.untilTitle(untitled)
	p.put(p.grid(8, 8), "r")
	p.untilTitle("• " + untitled)
	p.keys("ctrl+z")
	p.untilTitle(untitled)
	p.keys("ctrl+shift+z")
	p.untilTitle("• " + untitled)
	p.keys("ctrl+z")
	p.untilTitle(untitled)
	p.close()
	p.untilEnded()
}

// TestHostileFiles gives the program files that are no drawings: it says so in
// a dialog and goes on.
func TestHostileFiles(t *testing.T) {
	t.Parallel()
	for name, text := range map[string]string{
		"no JSON":      "\x7fELF\x00\xff\xfe",
		"empty":        "",
		"deeply":       strings.Repeat(`[`, 100000),
		"another form": `{"format": "copperglass", "version": 1, "parts": [{"ref": 7, "kind": []}], "wires": {}}`,
		"a newer one":  `{"format": "copperglass", "version": 99}`,
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			p := launch(t, setup{}, writeDrawing(t, text))
			p.usualAnswer()
			p.keys("Escape")
			p.untilTitle(untitled)
			p.untilCalm()
			p.close()
			p.untilEnded()
		})
	}
}

// TestModeByItsCard clicks on the second card and sees it chosen.
func TestModeByItsCard(t *testing.T) {
	t.Parallel()
	p := launch(t, setup{})
	p.untilCalm()
	first := p.chosenCard()
	p.click(image.Pt(first.Max.X+60, first.Min.Y+20))
	p.until("another card is chosen", func() bool { return p.chosenCard().Min.X >= first.Max.X })
	p.close()
	p.untilEnded()
}

// TestKeepsADrawingWhenTheSystemEndsTheProgram ends the program by each of the
// signals that say so: the next one offers what was not saved.
func TestKeepsADrawingWhenTheSystemEndsTheProgram(t *testing.T) {
	t.Parallel()
	home, on := t.TempDir(), openScreen(t, windowWidth, windowHeight)
	for _, signal := range []syscall.Signal{syscall.SIGTERM, syscall.SIGINT, syscall.SIGHUP} {
		p := launch(t, setup{home: home, on: on}, "--empty")
		if signal == syscall.SIGTERM {
			p.put(p.grid(8, 8), "r")
		} else {
			p.click(p.usualAnswer())
		}
		p.untilTitle("• " + untitled)
		p.cmd.Process.Signal(signal)
		p.untilOver()
		if text := p.messages.String(); p.cmd.ProcessState.ExitCode() != 0 || !strings.HasPrefix(text, "copperglass: the unsaved drawing is kept in "+home) {
			t.Errorf("%v: ended with status %d and says %q", signal, p.cmd.ProcessState.ExitCode(), text)
		}
	}
	p := launch(t, setup{home: home, on: on}, "--empty")
	p.click(p.usualAnswer())
	p.untilTitle("• " + untitled)
}

// TestAWindowForEachFile closes one after another.
func TestAWindowForEachFile(t *testing.T) {
	t.Parallel()
	p := begun(t, setup{}, writeDrawing(t, twoParts), writeDrawing(t, strings.Replace(twoParts, "Two parts", "The other", 1)))
	show := func(title string) {
		p.until(title+" is shown", func() (there bool) {
			p.window, there = p.findWindow(title + " – Copperglass")
			return there
		})
	}
	show("The other")
	show("Two parts") // it is on top
	p.until("the window is painted", func() bool { return painted(p.shot()) })
	p.close()
	p.until("one window is left", func() bool { _, there := p.findWindow("Two parts"); return !there })
	show("The other")
	p.until("the other window is painted", func() bool { return painted(p.shot()) })
	p.close()
	p.untilEnded()
}

// TestClosesWithAMenuOpen has a menu of the sheet and then one of the bar open.
func TestClosesWithAMenuOpen(t *testing.T) {
	t.Parallel()
	p := launch(t, setup{}, "--empty")
	calm := p.untilCalm()
	p.press(p.grid(8, 8), right)
	p.untilChanged(calm)
	p.close()
	p.untilEnded()
	p = launch(t, setup{}, "--empty")
	calm = p.untilCalm()
	p.click(fileMenu)
	p.untilChanged(calm)
	p.close()
	p.untilEnded()
}

// TestNoticesThatAFileHasChanged while nobody touches the window.
func TestNoticesThatAFileHasChanged(t *testing.T) {
	t.Parallel()
	path := writeDrawing(t, twoParts)
	p := launch(t, setup{}, path)
	p.untilTitle("Two parts – Copperglass")
	if err := os.WriteFile(path, []byte(strings.Replace(twoParts, "Two parts", "Theirs", 1)), 0o600); err != nil {
		t.Fatal(err)
	}
	p.usualAnswer() // theirs, as nothing here is unsaved
	p.keys("Return")
	p.untilTitle("Theirs – Copperglass")
	p.close()
	p.untilEnded()
}

const twoParts = `{
  "format": "copperglass",
  "version": 1,
  "title": "Two parts",
  "parts": [
    {"ref": "BT1", "kind": "battery", "at": [0, 4], "value": "3 V"},
    {"ref": "R1", "kind": "resistor", "at": [6, 4], "value": "1k"}
  ],
  "wires": []
}
`

func writeDrawing(t testing.TB, text string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "drawing.cglass")
	if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}
