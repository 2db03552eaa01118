package ui

import (
	"maps"
	"runtime/debug"

	"fyne.io/fyne/v2"

	"copperglass/analysis"
	"copperglass/canvas"
	"copperglass/canvas/scene"
	"copperglass/canvas/symbol"
	"copperglass/model"
)

// mostAtOnce is how many parts a drawing may have for its scene to be built
// within a frame or two.
const mostAtOnce = 1500

// largeSheet builds the scenes of a large drawing beside the main goroutine. The
// sheet shows the last one until the next is there. Each has a builder of its own:
// what one keeps of 100,000 parts for the next is a gigabyte.
type largeSheet struct {
	busy bool
	done chan struct{} // closed when the scene begun last is there
}

func (s *surface) isLarge() bool { return len(s.doc.Shown().Parts) > mostAtOnce }

// buildBeside begins to build the scene of a large drawing.
func (s *surface) buildBeside(o scene.Options) {
	l, d, r, history := &s.large, s.doc.Shown().Snapshot(), s.doc.Result(), s.doc.history
	if s.scene == nil {
		s.scene = s.announce(d)
		s.legend.show(canvas.Picture{})
	}
	if l.busy { // with the drawing that was here before
		s.stale = true
		return
	}
	l.busy, l.done = true, make(chan struct{})
	done := l.done
	o = apart(o)
	go func() {
		built, fault := buildGuarded(d, r, o)
		debug.FreeOSMemory() // what it took is gigabytes, and the next may be long in coming
		fyne.Do(func() {
			defer close(done)
			l.busy = false
			switch {
			case fault != nil:
				panic(fault) // where the drawing is kept before the program ends
			case history == s.doc.history && s.isLarge():
				s.scene = built
				s.legend.show(built.Legend())
			}
			s.raster.Refresh()
		})
	}()
}

// apart makes options that nothing on the main goroutine changes.
func apart(o scene.Options) scene.Options {
	o.Selected, o.SelectedWires, o.Lit = maps.Clone(o.Selected), maps.Clone(o.SelectedWires), maps.Clone(o.Lit)
	for _, r := range []**canvas.Rect{&o.Dots, &o.Page} {
		if *r != nil {
			own := **r
			*r = &own
		}
	}
	if o.Drawn != nil {
		o.Drawn = o.Drawn.Snapshot()
	}
	return o
}

// announce is what stands on the sheet before a large drawing is there.
func (s *surface) announce(d *model.Diagram) *scene.Scene {
	said := scene.Build(&model.Diagram{}, nil, scene.Options{Theme: s.look, Standard: s.standard})
	size := s.Size()
	said.Picture.Items = append(said.Picture.Items, &canvas.Text{
		At:     s.view.ToSheet(canvas.Pt(float64(size.Width)/2, float64(size.Height)/2)),
		String: "Drawing " + partsIn(d) + "…", Size: textSize * float64(textScale()) / s.view.Scale,
		Colour: s.look.Quiet, Align: canvas.Middle,
	})
	return said
}

// extent holds what is drawn, with room for the names at its edge in letters that
// are so much larger than usual.
func extent(d *model.Diagram, growth float64) canvas.Rect {
	b := canvas.EmptyRect()
	for _, p := range d.Parts {
		if p.Placed {
			b = b.Union(symbol.Extent(p))
		}
	}
	for _, w := range d.Wires {
		for _, p := range w.Points {
			b = b.Include(canvas.OnGrid(p))
		}
	}
	return b.Inset(-scene.Margin - (3+8*(growth-1))*canvas.Grid)
}

// buildGuarded hands a fault of the program over instead of ending it.
func buildGuarded(d *model.Diagram, r *analysis.Result, o scene.Options) (s *scene.Scene, fault any) {
	defer func() { fault = recover() }()
	return scene.Build(d, r, o), nil
}
