package main

import (
	"bytes"
	"encoding/xml"
	"errors"
	"image/png"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// elements counts the elements of an SVG by name.
func elements(t *testing.T, text []byte) map[string]int {
	t.Helper()
	count := map[string]int{}
	d := xml.NewDecoder(bytes.NewReader(text))
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			return count
		}
		if err != nil {
			t.Fatal(err)
		}
		if e, ok := token.(xml.StartElement); ok {
			count[e.Name.Local]++
		}
	}
}

// A plot has a panel for each unit, letters as outlines, and is the same each
// time.
func TestPlots(t *testing.T) {
	t.Parallel()
	folder := t.TempDir()
	plot := func(name string, of ...string) []byte {
		path := filepath.Join(folder, name)
		args := []string{"sweep", "example:lantern", "BT1.charge_left", "0", "1", "21", "--mode", "White", "--back", "-o", path, "--of", strings.Join(of, ",")}
		if code, stdout, stderr := call("", args...); code != done || stdout+stderr != "" {
			t.Fatalf("code %d, %s%s", code, stdout, stderr)
		}
		text, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		return text
	}
	one := plot("one.svg", "D1.A.amps")
	if again := plot("again.svg", "D1.A.amps"); !bytes.Equal(one, again) {
		t.Error("the same plot differs from itself")
	}
	if n := elements(t, one); n["text"] != 0 || n["path"] < 50 {
		t.Errorf("elements %v", n)
	}
	heights := map[string]int{}
	for name, of := range map[string][]string{"one.png": {"D1.A.amps"}, "same.png": {"D1.A.amps", "BT1.+.amps"}, "two.png": {"D1.A.amps", "D1.watts"}} {
		im, err := png.Decode(bytes.NewReader(plot(name, of...)))
		if err != nil {
			t.Fatal(err)
		}
		heights[name] = im.Bounds().Dy()
	}
	if heights["one.png"] != heights["same.png"] || heights["two.png"] < 2*heights["one.png"]-1 {
		t.Errorf("heights %v", heights)
	}
}

// A sweep over what cannot be solved plots what can, and nothing where nothing
// can.
func TestPlotWithGaps(t *testing.T) {
	t.Parallel()
	const fork = `{"format": "copperglass", "version": 1, "parts": [
		{"ref": "V1", "kind": "supply", "params": {"voltage": 1, "resistance": 0}, "tags": {"+": "a", "-": "GND"}},
		{"ref": "V2", "kind": "supply", "params": {"voltage": 2, "resistance": 0}, "tags": {"+": "b", "-": "GND"}},
		{"ref": "R1", "kind": "resistor", "value": "1", "tags": {"1": "a", "2": "b"}}]}`
	path := filepath.Join(t.TempDir(), "gap.svg")
	if code, _, stderr := call(fork, "sweep", "-", "R1.resistance", "0", "1", "11", "--of", "R1.1.amps", "-o", path); code != done || !strings.Contains(stderr, "1 of 11 steps") {
		t.Errorf("code %d, %s", code, stderr)
	}
	text, err := os.ReadFile(path)
	if err != nil || elements(t, text)["path"] < 20 {
		t.Errorf("%v", err)
	}
	if code, _, _ := call(fork, "sweep", "-", "V1.voltage", "0", "1", "3", "--set", "R1.resistance=0", "--of", "R1.1.amps", "-o", path+".png"); code != stopped {
		t.Errorf("code %d, want %d", code, stopped)
	}
}

// The picture shades what the transistor does and marks the value as drawn, where
// that is within: without either it has fewer strokes.
func TestPlotHasStatesAndThePresentPoint(t *testing.T) {
	t.Parallel()
	plot := func(from, to string) string {
		path := filepath.Join(t.TempDir(), "x.svg")
		if code, _, stderr := call("", "sweep", "example:lantern", "R1.resistance", from, to, "21", "--log", "--mode", "White", "--of", "D1.A.amps", "-o", path); code != done {
			t.Fatal(stderr)
		}
		text, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		return string(text)
	}
	const drawn = "stroke-dasharray"
	if both, neither := plot("100", "1M"), plot("10", "100"); !strings.Contains(both, drawn) || strings.Contains(neither, drawn) {
		t.Errorf("the value as drawn is marked: %v, and where it is beyond: %v", strings.Contains(both, drawn), strings.Contains(neither, drawn))
	}
}
