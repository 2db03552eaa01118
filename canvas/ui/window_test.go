package ui

import (
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"fyne.io/fyne/v2"
	prim "fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/storage"
	"fyne.io/fyne/v2/test"

	"copperglass/canvas"
	"copperglass/model"
	"copperglass/model/file"
	"copperglass/model/geom"
)

// never is a Later that is never due: tests look at the window from one
// goroutine.
func never(time.Duration, func()) (stop func()) { return func() {} }

// newTestWindow is a window of the usual size that waits for solutions.
func newTestWindow(t *testing.T) *Window {
	t.Helper()
	return newWindowIn(t, t.TempDir())
}

// newWindowIn has a folder of the program's that others may have used before.
func newWindowIn(t *testing.T, state string) *Window {
	t.Helper()
	w := New(test.NewTempApp(t), Options{Patience: time.Minute, Later: never, StateFolder: state, Settings: t.TempDir()})
	t.Cleanup(func() {
		for _, open := range w.program.windows {
			open.doc.Close()
			open.keeper.Close()
		}
	})
	w.toSheet()
	w.paint()
	return w
}

// paint makes a frame, as the driver does for a window on a screen.
func (w *Window) paint() { w.surface.paint(int(w.surface.Size().Width), int(w.surface.Size().Height)) }

func openLantern(t *testing.T) *Window {
	t.Helper()
	w := newTestWindow(t)
	w.OpenExample("lantern")
	w.paint()
	if w.doc.Shown().Part("Q1") == nil {
		t.Fatal("the example did not open")
	}
	return w
}

// at is where a point of the grid is on the surface.
func (w *Window) at(x, y float64) fyne.Position {
	p := w.surface.view.ToPixel(canvas.Pt(x*canvas.Grid, y*canvas.Grid))
	return fyne.NewPos(float32(p.X), float32(p.Y))
}

func mouse(at fyne.Position, b desktop.MouseButton) *desktop.MouseEvent {
	return &desktop.MouseEvent{PointEvent: fyne.PointEvent{Position: at, AbsolutePosition: at}, Button: b}
}

func (w *Window) click(x, y float64) {
	w.surface.MouseMoved(mouse(w.at(x, y), 0))
	w.surface.MouseDown(mouse(w.at(x, y), desktop.MouseButtonPrimary))
	w.surface.MouseUp(mouse(w.at(x, y), desktop.MouseButtonPrimary))
}

// hold presses at one place and comes to another, and leaves the button down.
func (w *Window) hold(x, y, toX, toY float64) {
	w.surface.MouseMoved(mouse(w.at(x, y), 0))
	w.surface.MouseDown(mouse(w.at(x, y), desktop.MouseButtonPrimary))
	for i := 1; i <= 4; i++ {
		f := float64(i) / 4
		at := w.at(x+(toX-x)*f, y+(toY-y)*f)
		w.surface.Dragged(&fyne.DragEvent{PointEvent: fyne.PointEvent{Position: at, AbsolutePosition: at}})
	}
}

func (w *Window) dragOver(x, y, toX, toY float64) {
	w.hold(x, y, toX, toY)
	w.surface.MouseUp(mouse(w.at(toX, toY), desktop.MouseButtonPrimary))
	w.surface.DragEnd()
}

func (w *Window) typeOnSheet(text string) {
	for _, r := range text {
		w.surface.TypedRune(r)
	}
}

// place puts a part down by its key.
func (w *Window) place(key rune, x, y float64) {
	w.surface.TypedRune(key)
	w.click(x, y)
}

// drawLoop draws a battery with a resistor of 1 kΩ across it, by hand.
func drawLoop(t *testing.T) *Window {
	t.Helper()
	w := newTestWindow(t)
	w.place('g', 5, 8)
	w.place('r', 12, 5)
	w.place('0', 5, 14)
	w.dragOver(5, 6, 10, 5)
	w.dragOver(14, 5, 5, 10)
	w.dragOver(5, 10, 5, 14)
	return w
}

func (w *Window) battery(t *testing.T) string {
	t.Helper()
	for _, p := range w.doc.Shown().Parts {
		if p.Kind == "battery" {
			return p.Ref
		}
	}
	t.Fatal("there is no battery")
	return ""
}

// current is the current into the first pin of a part, NaN where nothing is
// solved.
func (w *Window) current(ref string) float64 {
	r := w.doc.Result()
	if r == nil || !r.Solved || r.Parts[ref] == nil {
		return math.NaN()
	}
	return r.Parts[ref].Pins[0].Amps
}

func near(t *testing.T, what string, got, want, relative float64) {
	t.Helper()
	if !(math.Abs(got-want) <= relative*math.Abs(want)) {
		t.Errorf("%s is %v, want %v", what, got, want)
	}
}

func TestACircuitDrawnByHandIsSolved(t *testing.T) {
	w := drawLoop(t)
	r := w.doc.Result()
	if r == nil || !r.Solved || len(r.Faults) > 0 {
		t.Fatalf("not solved: %+v", r)
	}
	bt := r.Parts[w.battery(t)]
	volts := r.Volts[bt.Pins[0].Net]
	if !(volts > 1) {
		t.Errorf("the battery gives %v V", volts)
	}
	near(t, "current by Ohm's law", math.Abs(w.current("R1")), volts/1000, 1e-9)
	if w.bar.short == "" || !strings.HasPrefix(w.bar.short, "solved in") {
		t.Errorf("the bar says %q", w.bar.short)
	}
}

func TestFiguresFollowADrag(t *testing.T) {
	w := drawLoop(t)
	before := w.doc.Diagram().Part("R1").At
	w.hold(12, 5, 13, 7)
	if w.doc.Diagram().Part("R1").At != before {
		t.Error("the drawing changed before the button was let go")
	}
	if w.doc.Shown().Part("R1").At == before {
		t.Error("the drag is not seen")
	}
	if r := w.doc.Result(); r == nil || !r.Solved || len(r.Faults) > 0 {
		t.Errorf("what is seen is not solved: %+v", r)
	}
	w.surface.DragEnd()
	if got := w.doc.Diagram().Part("R1").At; got != before.Add(geom.Pt(1, 2)) {
		t.Errorf("R1 is at %v", got)
	}
	w.command("undo")
	if got := w.doc.Diagram().Part("R1").At; got != before {
		t.Errorf("undo left R1 at %v", got)
	}
}

func TestAReleaseThatNeverComesIsMadeUpFor(t *testing.T) {
	w := drawLoop(t)
	w.hold(12, 5, 14, 7)
	w.surface.MouseMoved(mouse(w.at(16, 9), 0)) // the button is up, nobody said so
	if w.doc.editor.Busy() {
		t.Error("the drag goes on without a button")
	}
}

func TestBoxAndAdditiveSelection(t *testing.T) {
	w := drawLoop(t)
	w.dragOver(9, 3, 16, 7)
	if !w.doc.Selected().Parts["R1"] || w.doc.Selected().Parts[w.battery(t)] {
		t.Errorf("the box took %v", w.doc.Selected().Parts)
	}
	e := mouse(w.at(5, 8), desktop.MouseButtonPrimary)
	e.Modifier = fyne.KeyModifierShift
	w.surface.MouseDown(e)
	w.surface.MouseUp(e)
	if len(w.doc.Selected().Parts) != 2 {
		t.Errorf("Shift took %v", w.doc.Selected().Parts)
	}
	w.surface.TypedKey(&fyne.KeyEvent{Name: fyne.KeyEscape})
	if !w.doc.Selected().Empty() {
		t.Error("Escape left a selection")
	}
}

func TestTurnMirrorDuplicateDelete(t *testing.T) {
	w := newTestWindow(t)
	w.place('q', 10, 10)
	w.click(10, 10)
	w.typeOnSheet(".")
	if got := w.doc.Diagram().Parts[0].Orient; got != (geom.Orientation{Turn: 90}) {
		t.Errorf("turned to %v", got)
	}
	w.typeOnSheet("/")
	if got := w.doc.Diagram().Parts[0].Orient; got != (geom.Orientation{Turn: 270, Mirror: true}) {
		t.Errorf("mirrored to %v", got)
	}
	w.command("duplicate")
	if n := len(w.doc.Diagram().Parts); n != 2 {
		t.Fatalf("%d parts after duplicate", n)
	}
	w.surface.TypedKey(&fyne.KeyEvent{Name: fyne.KeyDelete})
	if n := len(w.doc.Diagram().Parts); n != 1 {
		t.Errorf("%d parts after delete", n)
	}
}

func TestCopyAndPaste(t *testing.T) {
	w := drawLoop(t)
	w.command("all")
	w.command("copy")
	parts, wires := len(w.doc.Diagram().Parts), len(w.doc.Diagram().Wires)
	w.surface.MouseMoved(mouse(w.at(24, 20), 0))
	w.command("paste")
	if n := len(w.doc.Diagram().Parts); n != parts {
		t.Errorf("%d parts are there before what is pasted is set down", n)
	}
	w.click(24, 20)
	d := w.doc.Diagram()
	if len(d.Parts) != 2*parts || len(d.Wires) != 2*wires {
		t.Errorf("%d parts and %d wires after pasting %d and %d", len(d.Parts), len(d.Wires), parts, wires)
	}
	if r := w.doc.Result(); !r.Solved || len(r.Faults) > 0 {
		t.Errorf("the copy does not work: %+v", r.Faults)
	}
	w.app.Clipboard().SetContent("no drawing")
	w.command("paste")
	if len(w.asking) != 1 {
		t.Error("pasting something else says nothing")
	}
}

func TestZoomKeepsWhatIsUnderThePointer(t *testing.T) {
	w := openLantern(t)
	at := fyne.NewPos(123, 77)
	before := w.surface.toSheet(at)
	w.surface.Scrolled(&fyne.ScrollEvent{PointEvent: fyne.PointEvent{Position: at}, Scrolled: fyne.NewDelta(0, 50)})
	after := w.surface.toSheet(at)
	if math.Hypot(after.X-before.X, after.Y-before.Y) > 1e-6 {
		t.Errorf("%v went to %v", before, after)
	}
	scale := w.surface.view.Scale
	w.surface.MouseDown(mouse(at, desktop.MouseButtonTertiary))
	w.surface.Dragged(&fyne.DragEvent{PointEvent: fyne.PointEvent{Position: at.AddXY(40, 30)}})
	w.surface.DragEnd()
	moved := w.surface.toSheet(at.AddXY(40, 30))
	if math.Hypot(moved.X-after.X, moved.Y-after.Y) > 1e-6 || w.surface.view.Scale != scale {
		t.Errorf("panning took %v to %v", after, moved)
	}
	for range 100 {
		w.surface.Scrolled(&fyne.ScrollEvent{Scrolled: fyne.NewDelta(0, -50)})
	}
	if w.surface.view.Scale < leastZoom {
		t.Errorf("zoomed out to %v", w.surface.view.Scale)
	}
	w.command("fit")
	w.paint()
	seen, all := w.surface.visible(), w.surface.scene.Bounds
	if !seen.Contains(all.Min) || !seen.Contains(all.Max) {
		t.Errorf("%v does not show %v", seen, all)
	}
}

func TestThePictureHasThePixelsOfTheDevice(t *testing.T) {
	w := openLantern(t)
	s := w.surface
	for _, scale := range []float32{1, 1.5, 2} {
		width, height := int(s.Size().Width*scale), int(s.Size().Height*scale)
		if got := s.paint(width, height).Bounds().Size(); got.X != width || got.Y != height {
			t.Errorf("at scale %v the picture is %v, want %d × %d", scale, got, width, height)
		}
	}
}

func TestPalettePlacesByClickAndByDrag(t *testing.T) {
	w := newTestWindow(t)
	resistor := w.palette.tiles[slices.IndexFunc(w.palette.tiles, func(s *tile) bool { return s.kind.Name == "resistor" })]
	test.Tap(resistor)
	if !resistor.chosen {
		t.Error("the tile is not marked")
	}
	w.click(10, 6)
	if p := w.doc.Diagram().Part("R1"); p == nil || p.At != geom.Pt(10, 6) {
		t.Errorf("the click placed %+v", p)
	}
	if resistor.chosen {
		t.Error("the tile is still marked")
	}
	origin := fyne.CurrentApp().Driver().AbsolutePositionForObject(w.surface)
	to := w.at(20, 12).Add(origin)
	resistor.Dragged(&fyne.DragEvent{PointEvent: fyne.PointEvent{AbsolutePosition: to}})
	if p := hangingPart(w); p == nil || p.Ref != "R2" || len(w.surface.hanging()) == 0 {
		t.Error("the dragged part is not seen")
	}
	resistor.DragEnd()
	if p := w.doc.Diagram().Part("R2"); p == nil || p.At != geom.Pt(20, 12) {
		t.Errorf("the drag placed %+v", p)
	}
	resistor.Dragged(&fyne.DragEvent{PointEvent: fyne.PointEvent{AbsolutePosition: fyne.NewPos(2, 2)}})
	resistor.DragEnd()
	if n := len(w.doc.Diagram().Parts); n != 2 {
		t.Errorf("a part let go off the sheet was placed: %d parts", n)
	}
}

func TestEveryKindHasATile(t *testing.T) {
	w := newTestWindow(t)
	if len(w.palette.tiles) != len(model.Kinds()) {
		t.Fatalf("%d tiles for %d kinds", len(w.palette.tiles), len(model.Kinds()))
	}
	for i, k := range model.Kinds() {
		s := w.palette.tiles[i]
		if len(symbolPicture(k, w.look, w.settings.standard).Items) == 0 {
			t.Errorf("the tile of %s is empty", k.Name)
		}
		if width := textWidth(s.caption.Text, captionSize, false); width > tileSize().Width-4 {
			t.Errorf("%q does not fit on its tile", s.caption.Text)
		}
		if !strings.Contains(s.hint.text, string(k.Key)) {
			t.Errorf("the tile of %s does not name its key", k.Name)
		}
	}
}

func TestCardsSwitchModes(t *testing.T) {
	w := openLantern(t)
	if len(w.strip.cards) != len(w.doc.Diagram().Modes) || len(w.strip.cards) < 3 {
		t.Fatalf("%d cards", len(w.strip.cards))
	}
	seen := map[string]bool{}
	for i, m := range w.doc.Diagram().Modes {
		test.Tap(w.strip.cards[i])
		if w.doc.Mode() != m.Name || w.doc.Result().Mode != m.Name {
			t.Errorf("card %d shows mode %q solved for %q", i, w.doc.Mode(), w.doc.Result().Mode)
		}
		if f := w.strip.cards[i].face; !f.chosen || !f.fresh || seen[f.current] {
			t.Errorf("card %d says %+v", i, f)
		}
		seen[w.strip.cards[i].face.current] = true
	}
}

func TestModesAreMadeNamedAndRemoved(t *testing.T) {
	w := openLantern(t)
	w.SetMode("White")
	n := len(w.doc.Diagram().Modes)
	w.addMode()
	d := w.doc.Diagram()
	if len(d.Modes) != n+1 || w.doc.Mode() != d.Modes[n].Name {
		t.Fatalf("%d modes, %q chosen", len(d.Modes), w.doc.Mode())
	}
	if got, want := d.Modes[n].Set, d.Mode("White").Set; len(got) != len(want) {
		t.Errorf("the new mode sets %v, not what White does: %v", got, want)
	}
	if err := w.doc.nameMode(w.doc.Mode(), "White"); err == nil {
		t.Error("two modes of one name")
	}
	if err := w.doc.nameMode(w.doc.Mode(), "Both"); err != nil || w.doc.Mode() != "Both" {
		t.Errorf("%v; %q chosen", err, w.doc.Mode())
	}
	if err := w.doc.setState("Both", "S1", "closed"); err != nil || w.doc.Diagram().Mode("Both").Set["S1"] != "closed" {
		t.Errorf("%v; %v", err, w.doc.Diagram().Mode("Both"))
	}
	if err := w.doc.removeMode("Both"); err != nil || len(w.doc.Diagram().Modes) != n || w.doc.Diagram().Mode(w.doc.Mode()) == nil {
		t.Errorf("%v; %d modes, %q chosen", err, len(w.doc.Diagram().Modes), w.doc.Mode())
	}
}

func TestADoubleClickThrowsASwitch(t *testing.T) {
	w := newTestWindow(t)
	w.place('s', 10, 6)
	for _, want := range []string{"closed", "open"} {
		w.surface.hand.click = time.Time{}
		w.click(10, 6)
		w.click(10, 6)
		v, _ := w.doc.Diagram().Resolve(w.doc.Diagram().Parts[0], nil)
		if got := v.Text("state"); got != want {
			t.Errorf("the switch is %s, want %s", got, want)
		}
	}
}

// keptSettings are those that the next window will have.
func (w *Window) keptSettings() *settings { return loadSettings(filepath.Dir(w.settings.path)) }

func TestTheme(t *testing.T) {
	w := openLantern(t)
	for _, name := range []string{Dark, Light, Dark} {
		w.command(name)
		w.paint()
		if w.look.Dark != (name == Dark) || w.surface.scene.Picture.Paper != w.look.Paper {
			t.Errorf("%s theme: dark %v, paper %v", name, w.look.Dark, w.surface.scene.Picture.Paper)
		}
		if kept := w.keptSettings().theme; kept != name {
			t.Errorf("the setting is %q", kept)
		}
	}
	if !w.modal() && w.win.Canvas().Focused() != fyne.Focusable(w.surface) {
		t.Error("the sheet lost the keyboard")
	}
}

func TestWhatShowsIsKept(t *testing.T) {
	w := openLantern(t)
	w.command("show voltages")
	w.command("ieee")
	s := w.keptSettings()
	if s.show.Voltages || !s.show.Currents || s.standard != w.settings.standard || w.surface.standard != s.standard {
		t.Errorf("settings are %+v", s)
	}
}

func TestTitleIsEditedInTheBar(t *testing.T) {
	w := openLantern(t)
	w.bar.title.SetText("Garden lamp")
	if w.doc.Diagram().Title != "Garden lamp" || !strings.Contains(w.win.Title(), "Garden lamp") || !strings.HasPrefix(w.win.Title(), "•") {
		t.Errorf("title %q, window %q", w.doc.Diagram().Title, w.win.Title())
	}
	w.command("undo")
	if w.doc.Diagram().Title != "Tent lantern" || w.bar.title.Text != "Tent lantern" {
		t.Errorf("after undo the title is %q, the bar has %q", w.doc.Diagram().Title, w.bar.title.Text)
	}
}

func TestTipsComeAndGo(t *testing.T) {
	w := newTestWindow(t)
	w.tips.show("Something worth knowing about this.", fyne.NewPos(1430, 890))
	if len(w.tips.layer.Objects) == 0 {
		t.Fatal("no explanation")
	}
	ground := w.tips.layer.Objects[0].(*prim.Rectangle)
	end := ground.Position().Add(ground.Size())
	if room := w.tips.layer.Size(); end.X > room.Width || end.Y > room.Height {
		t.Errorf("the explanation ends at %v in a window of %v", end, room)
	}
	w.tips.hide()
	if len(w.tips.layer.Objects) > 0 {
		t.Error("the explanation stays")
	}
}

// drop is a file dropped on the window.
func drop(w *Window, path string) {
	w.dropped(fyne.Position{}, []fyne.URI{storage.NewFileURI(path)})
}

func saved(t *testing.T, d *model.Diagram, name string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), name)
	if err := file.Save(path, d); err != nil {
		t.Fatal(err)
	}
	return path
}

func written(t *testing.T, name, text string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), name)
	if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

// BenchmarkRedraw is one frame of the lantern while it changes, at 1920 × 1080.
func BenchmarkRedraw(b *testing.B) {
	w := New(test.NewTempApp(b), Options{Patience: time.Minute, Later: never, StateFolder: b.TempDir(), Settings: b.TempDir()})
	w.OpenExample("lantern")
	for b.Loop() {
		w.surface.stale = true
		w.surface.paint(1920, 1080)
	}
}

// BenchmarkDrag is a part of the lantern moved by one step: routed, solved in
// all modes, laid out and drawn.
func BenchmarkDrag(b *testing.B) {
	w := New(test.NewTempApp(b), Options{Patience: time.Minute, Later: never, StateFolder: b.TempDir(), Settings: b.TempDir()})
	w.OpenExample("lantern")
	w.paint()
	at := w.doc.Diagram().Part("R4").At
	x, y := float64(at.X), float64(at.Y)
	w.hold(x, y, x+1, y)
	for i := 0; b.Loop(); i++ {
		to := w.at(x+float64(1+i%2), y)
		w.surface.Dragged(&fyne.DragEvent{PointEvent: fyne.PointEvent{Position: to}})
		w.paint()
	}
}
