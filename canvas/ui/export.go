package ui

import (
	"context"
	"image/color"
	"io"
	"maps"
	"path/filepath"
	"strings"

	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"

	"copperglass/canvas"
	"copperglass/canvas/raster"
	"copperglass/canvas/scene"
	"copperglass/canvas/svg"
	"copperglass/canvas/symbol"
	"copperglass/model"
	"copperglass/model/file"
)

// exportChoice is how a picture is to be written.
type exportChoice struct {
	svg         bool
	scale       float64 // pixels to the sheet unit, of a PNG
	transparent bool
	standard    symbol.Standard
	dark        bool
	caption     bool // the title and the mode above the drawing
	explain     bool // what the flags say below it
}

// composition draws all that is shown as it is exported: without the grid and
// the selection, with the legend. What it returns does so, from what is shown
// now, and is for any goroutine: a large drawing takes seconds.
func (w *Window) composition(c exportChoice) func() *canvas.Picture {
	look := canvas.LightTheme()
	if c.dark {
		look = canvas.DarkTheme()
	}
	o := scene.Options{Theme: look, Standard: c.standard, Show: w.settings.show, Mode: w.doc.Mode(), Legend: true, Findings: w.flags(), Lit: maps.Clone(w.doc.lit()), Before: w.before()}
	if d := w.doc.beside(); d != nil {
		o.Drawn = d.Snapshot()
	}
	if c.caption {
		o.Caption, o.Text = w.caption(), w.inspector.says()
	}
	if c.explain {
		o.Explain = w.explainer()
	}
	d, r := w.doc.Shown().Snapshot(), w.doc.Result()
	return func() *canvas.Picture {
		s := scene.Build(d, r, o)
		if c.transparent {
			s.Picture.Paper = color.NRGBA{}
		}
		return &s.Picture
	}
}

// caption is "Tent lantern · White": what a picture shows, in which mode, and
// what is tried. A title block tells the title already.
func (w *Window) caption() string {
	title := w.doc.Diagram().Title
	if title == "" && w.doc.Path() != "" {
		title = w.doc.fileTitle()
	}
	if w.doc.Diagram().Block != (model.TitleBlock{}) {
		title = ""
	}
	return scene.Caption(title, w.doc.Mode(), w.inspector.tried())
}

// write writes the picture as PNG or SVG. It is for any goroutine.
func (c exportChoice) write(out io.Writer, p *canvas.Picture) error {
	if c.svg {
		return svg.Write(out, p, scene.Margin)
	}
	return raster.WritePNG(out, p, c.scale, scene.Margin)
}

// export writes the picture to a file.
func (w *Window) export(path string, c exportChoice) {
	picture := w.composition(c)
	w.background("Exporting "+filepath.Base(path), func(ctx context.Context) error {
		p := picture()
		return file.Replace(path, func(out io.Writer) error { return c.write(stoppable{ctx, out}, p) })
	}, func(err error) {
		if err != nil {
			w.fail("Not exported", err)
			return
		}
		w.bar.report("exported " + filepath.Base(path))
	})
}

// exportScales are the scales that are offered for a PNG.
var exportScales = []struct {
	word  string
	scale float64
}{{"1×", 1}, {"2×", 2}, {"3×", 3}, {"4×", 4}, {"8×", 8}}

// Export asks how and where, and writes the drawing as a picture.
func (w *Window) Export() {
	c := &exportChoice{scale: 2, standard: w.settings.standard, dark: w.look.Dark, caption: true, explain: true}
	form := container.New(column{gap: 8})
	line := func(label string, chosen int, words []string, set func(int)) {
		s := newSegment(w.look, words, nil)
		s.set(words[chosen])
		s.choose = func(word string) {
			s.set(word)
			for i := range words {
				if words[i] == word {
					set(i)
				}
			}
		}
		name := styledText(label, textSize, false, w.look.Quiet)
		form.Add(container.New(columns{widths: []float32{labelRoom(), 0}, gap: labelGap}, name, s))
	}
	line("Format", 0, []string{"PNG", "SVG"}, func(i int) { c.svg = i == 1 })
	var scales []string
	for _, s := range exportScales {
		scales = append(scales, s.word)
	}
	line("PNG scale", 1, scales, func(i int) { c.scale = exportScales[i].scale })
	line("Background", 0, []string{"paper", "transparent"}, func(i int) { c.transparent = i == 1 })
	line("Symbols", int(c.standard), []string{"boxes (IEC)", "zigzags (IEEE)"}, func(i int) { c.standard = symbol.Standard(i) })
	dark := 0
	if c.dark {
		dark = 1
	}
	line("Theme", dark, []string{"light", "dark"}, func(i int) { c.dark = i == 1 })
	tick := func(title string, on *bool) {
		check := widget.NewCheck(title, func(now bool) { *on = now })
		check.Checked = *on
		form.Add(container.New(columns{widths: []float32{labelRoom(), 0}, gap: labelGap}, gap(0), check))
	}
	tick("Title and mode in the picture", &c.caption)
	if w.settings.show.Findings && len(w.flags()) > 0 {
		tick("What the flags say, below it", &c.explain)
	}
	w.ask("Export a picture", form, answer{label: "Cancel"}, answer{label: "Choose a file…", do: func() { w.exportTo(*c) }})
}

func (w *Window) exportTo(c exportChoice) {
	w.chooseFile("Export to", true, w.pictureName(c), c.ending(), func(path string) { w.export(path, c) })
}

// ending is that of the picture's file.
func (c exportChoice) ending() string {
	if c.svg {
		return ".svg"
	}
	return ".png"
}

// pictureName is the file that is suggested: called after the drawing, beside
// it, with the mode and what is tried, so that one picture does not replace
// another.
func (w *Window) pictureName(c exportChoice) string {
	name := fileName(w.name())
	if w.doc.Path() != "" {
		name = strings.TrimSuffix(w.doc.Path(), filepath.Ext(w.doc.Path()))
	}
	if mode := w.doc.Mode(); mode != "" {
		name += ", " + fileName(mode)
	}
	if tried := w.inspector.tried(); tried != "" {
		name += ", " + fileName(strings.ReplaceAll(tried, ":", ""))
	}
	return name + c.ending()
}
