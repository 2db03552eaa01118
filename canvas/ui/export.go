package ui

import (
	"context"
	"image/color"
	"io"
	"path/filepath"
	"strings"

	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"

	"copperglass/canvas"
	"copperglass/canvas/raster"
	"copperglass/canvas/scene"
	"copperglass/canvas/svg"
	"copperglass/canvas/symbol"
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
}

// picture draws the whole drawing as it is exported: without the grid and the
// selection, with the legend.
func (w *Window) picture(c exportChoice) *canvas.Picture {
	look := canvas.LightTheme()
	if c.dark {
		look = canvas.DarkTheme()
	}
	o := scene.Options{Theme: look, Standard: c.standard, Show: w.settings.show, Mode: w.doc.Mode(), Legend: true, Findings: w.flags(), Lit: w.doc.lit(), Before: w.before()}
	if c.caption {
		o.Caption = w.caption()
	}
	s := scene.Build(w.doc.Diagram(), w.doc.Result(), o)
	if c.transparent {
		s.Picture.Paper = color.NRGBA{}
	}
	return &s.Picture
}

// caption is "Tent lantern · White": what a picture shows, and in which mode.
func (w *Window) caption() string {
	title := w.doc.Diagram().Title
	if title == "" && w.doc.Path() != "" {
		title = w.doc.fileTitle()
	}
	return scene.Caption(title, w.doc.Mode())
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
	p := w.picture(c)
	w.background("Exporting "+filepath.Base(path), func(ctx context.Context) error {
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
	c := &exportChoice{scale: 2, standard: w.settings.standard, dark: w.look.Dark, caption: true}
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
		form.Add(container.New(columns{widths: []float32{labelWidth, 0}, gap: labelGap}, name, s))
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
	caption := widget.NewCheck("Title and mode in the picture", func(on bool) { c.caption = on })
	caption.Checked = c.caption
	form.Add(container.New(columns{widths: []float32{labelWidth, 0}, gap: labelGap}, gap(0), caption))
	w.ask("Export a picture", form, answer{label: "Cancel"}, answer{label: "Choose a file…", do: func() { w.exportTo(*c) }})
}

func (w *Window) exportTo(c exportChoice) {
	ending := ".png"
	if c.svg {
		ending = ".svg"
	}
	suggested := fileName(w.name()) + ending
	if w.doc.Path() != "" {
		suggested = strings.TrimSuffix(w.doc.Path(), filepath.Ext(w.doc.Path())) + ending
	}
	w.chooseFile("Export to", true, suggested, ending, func(path string) { w.export(path, c) })
}
