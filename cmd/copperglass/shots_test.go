//go:build linux

package main

import (
	"bytes"
	"flag"
	"fmt"
	"image"
	"image/png"
	"os"
	"path/filepath"
	"testing"
	"time"

	"copperglass/assets"
)

var (
	shots  = flag.String("shots", "", "write a picture of every view to this `folder`")
	readme = flag.String("readme", "", "write the picture of the window for the documents to this `file`")
)

// view is something that the window can show.
type view struct {
	name     string
	args     []string // of the program
	open     func(p *program)
	settings string // kept from before, as the program writes them
}

// TestShots is no test but the way to look at everything the window shows. It
// runs the program as the tests do, and writes pictures where a flag says so;
// without the flag nobody wants to look and there is nothing to do.
func TestShots(t *testing.T) {
	if *shots == "" {
		return
	}
	if err := os.MkdirAll(*shots, 0o755); err != nil {
		t.Fatal(err)
	}
	for _, v := range views(t) {
		for _, how := range []setup{{scale: 1}, {scale: 2}, {scale: 1, dark: true}, {scale: 2, dark: true}} {
			t.Run(v.file(how), func(t *testing.T) {
				t.Parallel()
				v.shoot(t, how)
			})
		}
	}
}

// TestReadmePicture writes the picture of the window in the documents, where
// the flag says so; otherwise there is nothing to do, as in TestShots.
func TestReadmePicture(t *testing.T) {
	if *readme == "" {
		return
	}
	p := launch(t, setup{}, "--mode", "White", "--select", "Q1")
	img := paletted(p.untilCalm())
	f, err := os.Create(*readme)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if err := (&png.Encoder{CompressionLevel: png.BestCompression}).Encode(f, img); err != nil {
		t.Fatal(err)
	}
}

func (v view) file(how setup) string {
	theme := "light"
	if how.dark {
		theme = "dark"
	}
	return fmt.Sprintf("%s-%s-%dx.png", v.name, theme, how.scale)
}

func (v view) shoot(t *testing.T, how setup) {
	how.home = t.TempDir()
	if v.settings != "" {
		keepSettings(t, how.home, v.settings)
	}
	furnish(t, how.home)
	p := launch(t, how, v.args...)
	if before := p.untilCalm(); v.open != nil {
		v.open(p)
		p.untilChanged(before)
	}
	p.write(filepath.Join(*shots, v.file(how)), p.untilCalm())
}

// furnish puts folders and drawings into a home, for dialogs to list.
func furnish(t *testing.T, home string) {
	t.Helper()
	for _, folder := range []string{"Lamps", "Toys", "Chargers"} {
		if err := os.Mkdir(filepath.Join(home, folder), 0o755); err != nil {
			t.Fatal(err)
		}
	}
	for _, name := range []string{"garden light 2.cglass", "garden light 10.cglass", "night light.cglass", "notes.txt"} {
		if err := os.WriteFile(filepath.Join(home, name), []byte(twoParts), 0o600); err != nil {
			t.Fatal(err)
		}
	}
}

// keepSettings puts settings where the program keeps its own.
func keepSettings(t *testing.T, home, text string) {
	t.Helper()
	folder := filepath.Join(home, "config", "copperglass")
	if err := os.MkdirAll(folder, 0o700); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(folder, "settings.json"), []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
}

// views lists all there is to see.
func views(t *testing.T) []view {
	var list []view
	for _, group := range [][]view{drawings(t), selections(), gestures(), byKeys(), menusAndTips(), dialogs(t), questions(t)} {
		list = append(list, group...)
	}
	return list
}

// drawings are the examples and drawings that go wrong.
func drawings(t *testing.T) []view {
	return []view{
		{name: "lantern-white", args: []string{"--mode", "White"}},
		{name: "lantern-off", args: []string{"--mode", "Off"}},
		{name: "lantern-amber", args: []string{"--mode", "Amber"}},
		{name: "high-side", args: []string{"--example", "high-side"}},
		{name: "low-side", args: []string{"--example", "low-side"}},
		{name: "meter", args: []string{"--example", "meter"}},
		{name: "sensor", args: []string{"--example", "sensor"}},
		{name: "ieee", args: []string{"--mode", "White"}, settings: `{"symbols": "ieee"}`},
		{name: "bare", args: []string{"--mode", "White"}, settings: `{"show": {"Voltages": false, "Currents": false, "Ribbons": false}}`},
		{name: "small", args: []string{"--mode", "White", "--size", "1000x640"}},
		{name: "empty", args: []string{"--empty"}},
		{name: "shorted", args: []string{writeDrawing(t, shorted)}},
		{name: "shorted-battery", args: []string{"--select", "BT1", writeDrawing(t, shorted)}},
		{name: "loose-ends", args: []string{writeDrawing(t, looseEnds)}},
		{name: "title-block", args: []string{writeDrawing(t, titled)}},
		{name: "many-modes", args: []string{writeDrawing(t, manyModes)}},
		{name: "large", args: []string{"--mode", "White"}, settings: `{"text_percent": 150}`},
		{name: "large-part", args: []string{"--mode", "White", "--select", "Q1"}, settings: `{"text_percent": 150}`},
		{name: "large-empty", args: []string{"--empty"}, settings: `{"text_percent": 150}`},
		{name: "large-small", args: []string{"--mode", "White", "--size", "1024x700"}, settings: `{"text_percent": 150}`},
	}
}

// selections are what the inspector has to say.
func selections() []view {
	var list []view
	for _, refs := range []string{"Q1", "BT1", "R1", "C1", "D1", "IC1", "S1", "GND1", "Q1,R4,D1"} {
		list = append(list, view{name: "select-" + refs, args: []string{"--mode", "White", "--select", refs}})
	}
	return append(list,
		view{name: "select-wire", args: []string{"--mode", "White"}, open: func(p *program) { p.click(p.ribbon()) }},
		view{name: "select-all", args: []string{"--mode", "White"}, open: func(p *program) { p.keys("ctrl+a") }},
		view{name: "all-quantities", args: []string{"--mode", "White", "--select", "R1"}, open: func(p *program) {
			p.wheelDown(100)
			p.click(p.lastLink())
		}},
		view{name: "wrong-value", args: []string{"--mode", "White", "--select", "R1"}, open: func(p *program) {
			p.keys("Return")
			p.typeText("12 apples")
		}},
	)
}

// gestures are in the middle of something.
func gestures() []view {
	empty := []string{"--empty"}
	return []view{
		{name: "placing", args: empty, open: func(p *program) {
			p.put(p.grid(5, 10), "g")
			p.move(p.grid(9, 6))
			p.keys("r")
			p.move(p.grid(14, 6))
		}},
		{name: "placing-value", args: empty, open: func(p *program) {
			p.put(p.grid(5, 10), "g")
			p.keys("6", "V")
		}},
		{name: "placing-transistor", args: empty, open: func(p *program) {
			p.move(p.grid(14, 10))
			p.keys("q")
		}},
		{name: "wiring", args: empty, open: func(p *program) {
			p.put(p.grid(5, 10), "g")
			p.put(p.grid(14, 5), "r")
			p.hold(p.grid(5, 8), p.grid(12, 5))
		}},
		{name: "wire-tool", args: empty, open: func(p *program) { p.keys("w") }},
		{name: "box", args: empty, open: func(p *program) {
			p.put(p.grid(5, 10), "g")
			p.put(p.grid(14, 5), "r")
			p.hold(p.grid(2, 2), p.grid(20, 14))
		}},
		{name: "moving", args: empty, open: func(p *program) {
			drawByHand(p)
			p.hold(p.grid(12, 5), p.grid(12, 9))
		}},
		{name: "by-hand", args: empty, open: drawByHand},
	}
}

// byKeys are what the keys alone bring up.
func byKeys() []view {
	typed := func(name, value string) view {
		return view{name: "value-" + name, args: []string{"--select", "C1", "--example", "lantern"}, open: func(p *program) {
			p.keys("F2")
			p.untilCalm()
			p.typeText(value)
		}}
	}
	return []view{
		{name: "cursor", args: []string{"--empty"}, open: func(p *program) {
			k := &keyboard{program: p}
			k.put(0, 0, "g")
			k.put(7, -5, "r")
			k.keys("Escape")
			k.wire(0, -2, 5, -5)
		}},
		{name: "cursor-wire", args: []string{"--empty"}, open: func(p *program) {
			k := &keyboard{program: p}
			k.put(0, 0, "g")
			k.keys("Escape")
			k.walk(0, -2)
			k.keys("Return", "Right", "Right", "Right", "Up")
		}},
		{name: "picked-up", args: []string{"--select", "Q1"}, open: func(p *program) { p.keys("h", "Right", "Right") }},
		{name: "focus-example", args: []string{"--empty"}, open: func(p *program) { p.keys("Tab", "Tab") }},
		{name: "focus-panel", open: func(p *program) { p.keys("Tab", "Tab", "Tab") }},
		{name: "focus-title", open: func(p *program) { p.keys("shift+Tab") }},
		typed("marking", "104"), typed("doubtful", "100"), typed("wrong", "10 apples"),
		{name: "doubt", args: []string{"--select", "R1"}, open: func(p *program) { p.keys("question") }},
	}
}

// menusAndTips are what opens over the window.
func menusAndTips() []view {
	menu := func(name string, title image.Point) view {
		return view{name: "menu-" + name, open: func(p *program) { p.click(title) }}
	}
	return []view{
		menu("file", fileMenu), menu("edit", editMenu), menu("view", viewMenu), menu("help", helpMenu),
		{name: "menu-part", args: []string{"--select", "Q1"}, open: func(p *program) { p.press(p.ribbon(), right) }},
		{name: "menu-sheet", args: []string{"--empty"}, open: func(p *program) { p.press(p.grid(5, 5), right) }},
		{name: "menu-mode", open: func(p *program) { p.press(p.chosenCard().Min.Add(image.Pt(60, 30)), right) }},
		{name: "tip-wire", args: []string{"--mode", "White"}, open: func(p *program) { p.rest(p.ribbon()) }},
		{name: "tip-palette", open: func(p *program) { p.rest(image.Pt(50, 110)) }},
		{name: "tip-part", args: []string{"--select", "Q1"}, open: func(p *program) {
			p.rest(image.Pt(p.sheet().Max.X+30, p.sheet().Min.Y+34)) // its head
		}},
		{name: "tip-solved", open: func(p *program) { p.rest(image.Pt(windowWidth-60, 48)) }},
		{name: "tip-mode", open: func(p *program) { p.rest(p.chosenCard().Min.Add(image.Pt(60, 30))) }},
	}
}

// questions are topics of the inspector.
func questions(t *testing.T) []view {
	knob := func(p *program) { p.click(p.link(1)) }
	lesson := writeDrawing(t, lesson)
	return []view{
		{name: "findings", args: []string{"--mode", "White"}, settings: `{"show": {"Voltages": true, "Currents": true, "Ribbons": true, "Findings": true, "States": true, "Facts": true}}`},
		{name: "control-ties", args: []string{"--mode", "White"}, settings: `{"show": {"Ribbons": true, "Currents": true, "States": true, "Control": true}}`},
		{name: "mode-differences", args: []string{"--mode", "Off"}, settings: `{"changes": true}`, open: func(p *program) { p.keys("Next") }},
		{name: "modes-compared", args: []string{"--mode", "White"}, open: func(p *program) { p.click(p.link(0)) }},
		{name: "modes-compared-stacks", args: []string{"--mode", "Two", writeDrawing(t, stacks)}, open: func(p *program) { p.click(p.link(0)) }},
		{name: "drain", args: []string{"--mode", "White"}, open: func(p *program) { p.click(p.link(1)) }},
		{name: "drain-cells", args: []string{"--mode", "White"}, open: func(p *program) {
			p.click(p.link(1))
			p.untilCalm()
			p.wheelDown(20)
		}},
		{name: "drain-day", args: []string{"--mode", "White", writeDrawing(t, evenings(t))}, open: func(p *program) {
			p.click(p.link(1))
			time.Sleep(4 * time.Second) // longer than the days take to follow
		}},
		{name: "guesses", args: []string{"--mode", "White"}, open: func(p *program) { p.wheelDown(100) }},
		{name: "influence", args: []string{"--mode", "White", "--select", "D1"}, open: func(p *program) {
			p.click(p.link(0))
			p.untilCalm()
			p.rest(image.Pt(windowWidth-200, 420)) // on a bar
		}},
		{name: "influence-misread", args: []string{"--mode", "White", "--select", "D1"}, open: func(p *program) {
			p.click(p.link(0))
			p.untilCalm()
			p.click(image.Pt(windowWidth-90, 167)) // on the other of the two
		}},
		{name: "resistor-for-led", args: []string{"--mode", "White", "--select", "D1"}, open: func(p *program) {
			p.click(p.link(1))
			p.untilCalm()
			p.typeText("20 mA")
		}},
		{name: "lit-base", args: []string{"--mode", "White", "--select", "Q1"}, open: func(p *program) { p.click(p.link(1)) }},
		{name: "lit-load", args: []string{"--mode", "White", "--select", "Q1"}, open: func(p *program) { p.click(p.link(2)) }},
		{name: "lesson", args: []string{"--example", "lesson"}},
		{name: "lesson-saturated", args: []string{"--example", "lesson"}, open: func(p *program) {
			p.click(p.link(0))
			p.untilCalm()
			p.keys("Right", "Right", "Right", "Right")
		}},
		{name: "knob", args: []string{"--mode", "White", "--select", "R4"}, open: func(p *program) {
			knob(p)
			p.untilCalm()
			p.click(image.Pt(windowWidth-210, 236)) // on the slider
		}},
		{name: "knob-aim", args: []string{"--mode", "White", "--select", "R4"}, open: func(p *program) {
			knob(p)
			p.untilCalm()
			p.click(image.Pt(windowWidth-100, 489))
			p.typeText("20 mA")
		}},
		{name: "knob-states", args: []string{"--select", "G2", lesson}, open: knob},
		{name: "what-if", args: []string{lesson}, open: func(p *program) { p.click(p.link(1)) }},
		{name: "what-if-new", args: []string{"--mode", "White"}, open: func(p *program) {
			p.click(p.link(4))
			p.usualAnswer()
			p.typeText("zinc")
			p.keys("Return")
		}},
		{name: "story", args: []string{lesson}, open: func(p *program) {
			p.click(p.link(0))
			p.untilCalm()
			p.keys("Right")
		}},
		{name: "story-edit", args: []string{lesson}, open: func(p *program) {
			p.click(p.link(0))
			p.untilCalm()
			p.click(p.link(2))
		}},
	}
}

// wheelDown turns the wheel over the inspector.
func (p *program) wheelDown(notches int) {
	p.t.Helper()
	p.move(image.Pt(windowWidth-inspectorWidth/2, windowHeight/2))
	for range notches {
		p.xdotool("click", down)
	}
}

// evenings is the lantern with the hours of a day that each of its modes lasts.
func evenings(t *testing.T) string {
	t.Helper()
	text, err := assets.Example("lantern")
	if err != nil {
		t.Fatal(err)
	}
	for mode, each := range map[string]string{"Off": "rest", "White": "2 h", "Amber": "30 min"} {
		name := fmt.Sprintf(`{"name": %q,`, mode)
		text = bytes.Replace(text, []byte(name), fmt.Appendf(nil, `%s "each_day": %q,`, name, each), 1)
	}
	return string(text)
}

// stacks is lit in two of its modes by parts in stacks, one of them too hot.
const stacks = `{
  "format": "copperglass",
  "version": 1,
  "title": "Two of three",
  "parts": [
    {"ref": "BT1", "kind": "battery", "at": [4, 10], "value": "3 × LR6", "tags": {"+": "P", "-": "GND"}},
    {"ref": "S1", "kind": "switch", "at": [12, 4], "tags": {"1": "P", "2": "A"}},
    {"ref": "S2", "kind": "switch", "at": [12, 12], "tags": {"1": "P", "2": "B"}},
    {"ref": "R1", "kind": "resistor", "at": [20, 4], "value": "22", "count": 4, "tags": {"1": "A", "2": "C"}},
    {"ref": "R2", "kind": "resistor", "at": [20, 12], "value": "150", "tags": {"1": "B", "2": "D"}},
    {"ref": "D1", "kind": "led", "at": [28, 6], "turn": 90, "value": "red", "count": 4, "tags": {"A": "C", "K": "GND"}},
    {"ref": "D2", "kind": "led", "at": [28, 14], "turn": 90, "value": "white", "tags": {"A": "D", "K": "GND"}}
  ],
  "modes": [
    {"name": "None", "set": {"S1": "open", "S2": "open"}},
    {"name": "One", "set": {"S1": "open", "S2": "closed"}},
    {"name": "Two", "set": {"S1": "closed", "S2": "closed"}},
    {"name": "Other", "set": {"S1": "closed", "S2": "open"}}
  ]
}`

// link is a place on one of the lines of the inspector that can be clicked,
// counted from the top from 0.
func (p *program) link(n int) image.Point {
	p.t.Helper()
	panel := p.pixels(image.Rect(windowWidth-inspectorWidth+1, barHeight, windowWidth, windowHeight))
	img := p.shot()
	for top := panel.Min.Y; ; n-- {
		first := bluish(img, image.Rect(panel.Min.X, top, panel.Max.X, panel.Max.Y))
		if first.Empty() {
			p.t.Fatal("there are fewer lines to click")
		}
		line := image.Rect(panel.Min.X, first.Min.Y, panel.Max.X, first.Min.Y+14*p.scale)
		if n == 0 {
			at := bluish(img, line)
			return image.Pt(at.Min.X, (at.Min.Y+at.Max.Y)/2).Div(p.scale).Add(image.Pt(12, 0))
		}
		top = line.Max.Y
	}
}

// bluish returns the bounds of all pixels within r that are as blue as what
// can be clicked: thin letters have hardly a pixel in their very colour.
func bluish(img *image.RGBA, r image.Rectangle) (found image.Rectangle) {
	const excess = 60 // of blue over red, which no other text of the panel has
	r = r.Intersect(img.Rect)
	for y := r.Min.Y; y < r.Max.Y; y++ {
		for x := r.Min.X; x < r.Max.X; x++ {
			if c := at(img, x, y); int(c.B)-int(c.R) > excess {
				found = found.Union(image.Rect(x, y, x+1, y+1))
			}
		}
	}
	return found
}

// rest leaves the pointer somewhere until the explanation of what lies there
// comes.
func (p *program) rest(at image.Point) {
	p.t.Helper()
	before := p.untilCalm()
	p.move(at)
	time.Sleep(700 * time.Millisecond) // longer than the pointer has to rest
	p.untilChanged(before)
}

// dialogs are the questions the program asks.
func dialogs(t *testing.T) []view {
	key := func(name, key string) view {
		return view{name: "dialog-" + name, open: func(p *program) {
			p.keys(key)
			p.usualAnswer()
		}}
	}
	return []view{
		key("open", "ctrl+o"), key("save-as", "ctrl+shift+s"), key("export", "ctrl+e"),
		{name: "dialog-unsaved", args: []string{"--empty"}, open: func(p *program) {
			p.put(p.grid(8, 8), "r")
			p.close()
			p.usualAnswer()
		}},
		{name: "dialog-not-opened", args: []string{writeDrawing(t, `{"format": "copperglass", "version": 99}`)}},
		{name: "dialog-many-faults", args: []string{writeDrawing(t, `{"parts": [{"ref": 7, "kind": []}, {"value": 3}], "wires": {}}`)}},
		{name: "dialog-write-over", args: []string{writeDrawing(t, twoParts)}, open: func(p *program) {
			p.keys("ctrl+shift+s")
			p.usualAnswer()
			p.typeText(writeDrawing(t, twoParts))
			p.keys("Return")
		}},
		{name: "dialog-no-folder", open: func(p *program) {
			p.keys("ctrl+shift+s")
			p.usualAnswer()
			p.typeText("/nowhere/at/all.cglass")
			p.keys("Return")
		}},
		{name: "add-mode", open: func(p *program) {
			r := p.strip()
			p.click(image.Pt(r.Max.X-130, r.Max.Y-60))
		}},
		{name: "dialog-mode", open: func(p *program) {
			p.keys("ctrl+k")
			p.usualAnswer()
			p.typeText("rename or")
			p.keys("Return")
			p.usualAnswer()
		}},
		key("commands", "ctrl+k"),
		{name: "dialog-commands-found", args: []string{"--select", "Q1"}, open: func(p *program) {
			p.keys("F1")
			p.usualAnswer()
			p.typeText("turn")
		}},
		{name: "dialog-typical", args: []string{"--select", "D1"}, open: func(p *program) {
			p.keys("k")
			p.usualAnswer()
		}},
		key("open-points", "o"), key("title-block", "b"),
		{name: "dialog-mouse", open: func(p *program) { p.helpItem(1) }},
		{name: "dialog-about", open: func(p *program) { p.helpItem(3) }},
	}
}

// helpItem chooses an item of the help menu.
func (p *program) helpItem(n int) {
	p.t.Helper()
	p.click(helpMenu)
	p.untilCalm()
	p.click(helpMenu.Add(image.Pt(20, 28+29*n)))
	p.usualAnswer()
}

const shorted = `{
  "format": "copperglass",
  "version": 1,
  "title": "A shorted battery",
  "parts": [
    {"ref": "BT1", "kind": "battery", "at": [0, 4], "value": "3 V", "params": {"resistance": 0}},
    {"ref": "R1", "kind": "resistor", "at": [8, 4], "turn": 90, "value": "1k"},
    {"ref": "GND1", "kind": "ground", "at": [0, 8]}
  ],
  "wires": [
    {"points": [[0, 2], [0, 0], [8, 0], [8, 2]]},
    {"points": [[0, 6], [0, 8], [8, 8], [8, 6]]},
    {"points": [[4, 0], [4, 8]]}
  ]
}
`

const titled = `{
  "format": "copperglass",
  "version": 1,
  "title": "A lamp with notes",
  "who": "M. Maker",
  "date": "2026-11-25",
  "revision": "B",
  "parts": [
    {"ref": "BT1", "kind": "battery", "at": [0, 4], "value": "3 V"},
    {"ref": "E1", "kind": "lamp", "at": [8, 4], "turn": 90, "value": "2.5 V 0.3 A"},
    {"ref": "GND1", "kind": "ground", "at": [0, 8]},
    {"ref": "N1", "kind": "note", "at": [12, 1], "value": "The lamp gets warm;\nkeep paper away."},
    {"ref": "A1", "kind": "arrow", "at": [9, 4], "turn": 180, "value": "gets warm", "params": {"length": 4, "rise": 1}}
  ],
  "wires": [
    {"points": [[0, 2], [0, 0], [8, 0], [8, 2]]},
    {"points": [[0, 6], [0, 8], [8, 8], [8, 6]]}
  ]
}
`

const looseEnds = `{
  "format": "copperglass",
  "version": 1,
  "title": "Loose ends everywhere",
  "parts": [
    {"ref": "BT1", "kind": "battery", "at": [0, 4], "value": "2 × LR6", "doubt": "read"},
    {"ref": "R1", "kind": "resistor", "at": [6, 0], "value": "", "doubt": "guessed"},
    {"ref": "D1", "kind": "led", "at": [12, 4], "turn": 90, "value": "red", "note": "its cathode goes nowhere"},
    {"ref": "Q1", "kind": "npn", "at": [20, 4], "value": "BC547B"},
    {"ref": "IC1", "kind": "chip", "at": [28, 4], "value": "?", "pins": [{"number": "1", "role": "supply"}, {"number": "2", "role": "ground"}]},
    {"ref": "GND1", "kind": "ground", "at": [0, 8]}
  ],
  "wires": [
    {"points": [[0, 2], [0, 0], [4, 0]]},
    {"points": [[8, 0], [12, 0], [12, 2]]},
    {"points": [[0, 6], [0, 8]]}
  ]
}
`

const lesson = `{
  "format": "copperglass",
  "version": 1,
  "title": "A switch in the rail",
  "parts": [
    {"ref": "G1", "kind": "supply", "at": [0, 10], "value": "4.5 V"},
    {"ref": "GND1", "kind": "ground", "at": [0, 20]},
    {"ref": "R1", "kind": "resistor", "at": [8, 9], "turn": 90, "value": "1 kΩ"},
    {"ref": "G2", "kind": "supply", "at": [8, 15], "value": "4.5 V"},
    {"ref": "Q1", "kind": "pnp", "at": [16, 6], "value": "2N2907A"},
    {"ref": "E1", "kind": "lamp", "at": [16, 14], "turn": 90, "value": "4.5 V 0.2 A"}
  ],
  "wires": [
    {"points": [[0, 8], [0, 0], [16, 0], [16, 4]]},
    {"points": [[8, 7], [8, 6], [14, 6]]},
    {"points": [[8, 11], [8, 13]]},
    {"points": [[8, 17], [8, 20]]},
    {"points": [[16, 8], [16, 12]]},
    {"points": [[16, 16], [16, 20], [0, 20], [0, 12]]}
  ],
  "what_ifs": [{"name": "Half the drive", "set": {"G2.voltage": 2.25}}],
  "story": [
    {"title": "Off", "set": {"G2.voltage": 4.5}, "lit": ["Q1"], "text": "The base stands at {G2.voltage}: {Q1.words}"},
    {"title": "Saturated", "set": {"G2.voltage": 0}, "lit": ["Q1", "E1"], "text": "The base is pulled low: {Q1.words} The lamp has {E1.voltage}."}
  ]
}
`

const manyModes = `{
  "format": "copperglass",
  "version": 1,
  "title": "A drawing whose title is a good deal longer than most people would ever write, to see what becomes of it",
  "parts": [
    {"ref": "BT1", "kind": "battery", "at": [0, 4], "value": "3 V"},
    {"ref": "S1", "kind": "switch", "at": [4, 0]},
    {"ref": "R1", "kind": "resistor", "at": [8, 4], "turn": 90, "value": "1k"},
    {"ref": "GND1", "kind": "ground", "at": [0, 8]}
  ],
  "wires": [
    {"points": [[0, 2], [0, 0], [2, 0]]},
    {"points": [[6, 0], [8, 0], [8, 2]]},
    {"points": [[0, 6], [0, 8], [8, 8], [8, 6]]}
  ],
  "modes": [
    {"name": "Open", "set": {"S1": "open"}}, {"name": "Closed", "set": {"S1": "closed"}}, {"name": "Three", "set": {"S1": "open"}},
    {"name": "A mode with a very long name", "note": "and a note that is far too long for the card it stands on", "set": {"S1": "closed"}},
    {"name": "Five", "set": {}}, {"name": "Six", "set": {}}, {"name": "Seven", "set": {}}
  ]
}
`
