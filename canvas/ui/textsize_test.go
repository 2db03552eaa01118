package ui

import (
	"path/filepath"
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	prim "fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/test"

	"copperglass/canvas"
	"copperglass/model"
)

// lettersOf is the size of a text on the sheet, in sheet units.
func (s *surface) lettersOf(t *testing.T, text string) float64 {
	t.Helper()
	for _, it := range s.scene.Picture.Items {
		if item, ok := it.(*canvas.Text); ok && item.String == text {
			return item.Size
		}
	}
	t.Fatalf("%q is not on the sheet", text)
	return 0
}

func TestAllTextGrows(t *testing.T) {
	w := openLantern(t)
	before, wide, zoom := w.surface.lettersOf(t, "BT1"), w.inspector.object.Size().Width, w.surface.view.Scale
	w.command("text 150")
	w.paint()
	if got := w.surface.lettersOf(t, "BT1"); got*w.surface.view.Scale < 1.35*before*zoom {
		t.Errorf("letters of %v pixels on the sheet after %v", got*w.surface.view.Scale, before*zoom)
	}
	if got := w.inspector.object.Size().Width; got <= wide {
		t.Errorf("the panel is %v wide after %v", got, wide)
	}
	if got := loadSettings(filepath.Dir(w.settings.path)).text; got != 150 {
		t.Errorf("remembered are %d %%", got)
	}
	if a := w.menu.table.named("text 150"); !a.on(w) || w.menu.table.named("text 100").on(w) {
		t.Error("the menu does not show which")
	}
	w.command("text 100")
	w.paint()
	if got := w.surface.lettersOf(t, "BT1"); got != before {
		t.Errorf("back again the letters are of %v", got)
	}
}

// textRoom is a text on the screen.
type textRoom struct {
	text     string
	from, to fyne.Position
}

// textsIn are the texts of an object at a place that can be seen, but for those of
// fields, which scroll.
func textsIn(o fyne.CanvasObject, at fyne.Position) []textRoom {
	var list []textRoom
	inside := func(objects []fyne.CanvasObject) {
		for _, each := range objects {
			list = append(list, textsIn(each, at.Add(each.Position()))...)
		}
	}
	if !o.Visible() {
		return nil
	}
	switch o := o.(type) {
	case *prim.Text:
		if o.Text != "" {
			list = append(list, textRoom{o.Text, at, at.Add(o.MinSize())})
		}
	case *fyne.Container:
		inside(o.Objects)
	case *entry, *titleEntry, *choice:
	case fyne.Widget:
		inside(test.WidgetRenderer(o).Objects())
	}
	return list
}

// outside are texts that reach beyond the left or the right edge of an object, and
// pairs of texts that stand on each other.
func outside(o fyne.CanvasObject) []string {
	var list []string
	texts := textsIn(o, fyne.Position{})
	for i, a := range texts {
		if a.from.X < -0.5 || a.to.X > o.Size().Width+0.5 {
			list = append(list, a.text)
		}
		for _, b := range texts[:i] {
			const air = 3 // above and below letters
			if a.from.X < b.to.X && b.from.X < a.to.X && a.from.Y+air < b.to.Y && b.from.Y+air < a.to.Y {
				list = append(list, a.text+" on "+b.text)
			}
		}
	}
	return list
}

func TestLargeTextHasRoom(t *testing.T) {
	for _, size := range []fyne.Size{{Width: 1440, Height: 900}, {Width: 1024, Height: 700}} {
		w := openLantern(t)
		w.win.Resize(size)
		w.command("text 150")
		w.SetMode("White")
		w.paint()
		if got := w.win.Content().MinSize(); got.Width > size.Width || got.Height > size.Height {
			t.Fatalf("the window is at least %v", got)
		}
		for name, o := range map[string]fyne.CanvasObject{"bar": w.bar.object, "panel": w.inspector.object, "tray": w.palette.object} {
			if cut := outside(o); len(cut) > 0 {
				t.Errorf("%v: in the %s %q", size, name, cut)
			}
		}
		for _, tile := range w.palette.tiles {
			if cut := outside(tile); len(cut) > 0 || strings.Contains(tile.caption.Text, "…") {
				t.Errorf("%v: on a tile %q %q", size, tile.caption.Text, cut)
			}
		}
		for _, card := range w.strip.cards {
			if cut := outside(card); len(cut) > 0 {
				t.Errorf("%v: on a card %q", size, cut)
			}
		}
		for _, p := range w.doc.Shown().Parts {
			w.Select(p.Ref)
			if cut := outside(w.inspector.object); len(cut) > 0 {
				t.Errorf("%v: on the page of %s %q", size, p.Ref, cut)
			}
		}
	}
}

// The greeting keeps the names of its examples on their cards.
func TestTheGreetingKeepsNamesOnTheirCards(t *testing.T) {
	w := newTestWindow(t)
	for _, size := range []fyne.Size{{Width: 960, Height: 600}, {Width: 1024, Height: 700}, {Width: 1440, Height: 900}, {Width: 1920, Height: 1080}} {
		for _, text := range []string{"text 100", "text 125", "text 150"} {
			w.win.Resize(size)
			w.command(text)
			w.paint()
			cards := w.greeting.object.Objects[3].(*fyne.Container)
			if cut := outside(w.greeting.object); len(cut) > 0 {
				t.Errorf("%v, %s: %q", size, text, cut)
			}
			for _, card := range cards.Objects {
				if cut := outside(card); cards.Visible() && card.Visible() && len(cut) > 0 {
					t.Errorf("%v, %s: on a card %q", size, text, cut)
				}
			}
		}
	}
}

// A narrow window keeps its sheet: the tiles lie in one column then.
func TestLargeTextLeavesTheSheetItsRoom(t *testing.T) {
	w := openLantern(t)
	for _, c := range []struct {
		size    fyne.Size
		text    string
		columns int
	}{
		{fyne.NewSize(1440, 900), "text 100", 2}, {fyne.NewSize(1440, 900), "text 125", 2}, {fyne.NewSize(1440, 900), "text 150", 1},
		{fyne.NewSize(1920, 1080), "text 150", 2}, {fyne.NewSize(1024, 700), "text 150", 1}, {fyne.NewSize(1024, 700), "text 100", 2},
	} {
		w.win.Resize(c.size)
		w.command(c.text)
		w.paint()
		columns := map[float32]bool{}
		for _, tile := range w.palette.tiles {
			columns[tile.Position().X] = true
		}
		if got := w.surface.Size().Width; len(columns) != c.columns || got < leastSheet {
			t.Errorf("%v, %s: %d columns, a sheet of %v", c.size, c.text, len(columns), got)
		}
	}
}

func TestTransistorStatesCanBeHidden(t *testing.T) {
	w := openLantern(t)
	w.SetMode("White")
	says := func() bool {
		w.paint()
		return strings.Contains(strings.Join(drawnTexts(&w.surface.scene.Picture), "\n"), "saturated")
	}
	if !says() {
		t.Fatal("no state on the sheet")
	}
	w.command("show states")
	if says() {
		t.Error("the state is still there")
	}
}

func TestANewTitleBlockIsOfTodayByWhoDrewTheLast(t *testing.T) {
	w := openLantern(t)
	w.settings.signed("M. Maker")
	w.press("b")
	w.choose(t, "Done")
	b := w.doc.Diagram().Block
	if b.Who != "M. Maker" || len(b.Date) != len("2006-01-02") {
		t.Errorf("it is %+v", b)
	}
	if err := w.doc.setBlock("", model.TitleBlock{Who: "A. Other"}); err != nil {
		t.Fatal(err)
	}
	w.press("b")
	w.choose(t, "Done")
	if b := w.doc.Diagram().Block; b != (model.TitleBlock{Who: "A. Other"}) || w.settings.who != "A. Other" {
		t.Errorf("another block became %+v, by %q", b, w.settings.who)
	}
}

// A narrow window leaves most of itself to the sheet, and the legend stays on it.
func TestANarrowWindowKeepsItsSheet(t *testing.T) {
	w := openLantern(t)
	w.SetMode("White")
	for _, c := range []struct {
		size fyne.Size
		text string
	}{{fyne.NewSize(1440, 900), "text 100"}, {fyne.NewSize(1024, 700), "text 150"}, {fyne.NewSize(800, 600), "text 125"}, {fyne.NewSize(1440, 900), "text 150"}} {
		w.win.Resize(c.size)
		w.command(c.text)
		w.surface.FitAll()
		w.paint()
		panel := w.inspector.object.Size().Width
		if least := grown(leastPage) + 2*inspectorPad; panel > max(least, c.size.Width*0.4) || w.inspector.width != panel-2*inspectorPad {
			t.Errorf("%v, %s: a panel of %v with a page of %v", c.size, c.text, panel, w.inspector.width)
		}
		legend := w.surface.legend.raster
		if left, right := legend.Position().X, legend.Position().X+legend.Size().Width; legend.Visible() && (left < 0 || right > w.surface.Size().Width) {
			t.Errorf("%v, %s: the legend stands from %v to %v of %v", c.size, c.text, left, right, w.surface.Size().Width)
		}
	}
}

// What is typed while a window gets another width is kept.
func TestTypingOutlivesAnotherWidth(t *testing.T) {
	w := openLantern(t)
	w.command("text 150")
	w.Select("R1")
	w.toFields()
	w.inspector.page.value.entry.SetText("820")
	w.win.Resize(fyne.NewSize(1024, 700))
	if v := w.doc.Diagram().Part("R1"); v.Value != "820" {
		t.Errorf("the drawing has %q", v.Value)
	}
}

// A status that does not fit is cut between its clauses, not within a figure.
func TestAStatusIsCutBetweenClauses(t *testing.T) {
	w := openLantern(t)
	w.bar.short = "solved in 0.1 ms · currents balance to 1e-14 A"
	for width := float32(60); width < 400; width += 10 {
		got := w.bar.fitting(width)
		if got != w.bar.short && got != "solved in 0.1 ms" && !strings.HasSuffix(got, "…") || strings.HasSuffix(got, "…") && strings.Contains(got, "·") {
			t.Errorf("in %v it says %q", width, got)
		}
	}
}
