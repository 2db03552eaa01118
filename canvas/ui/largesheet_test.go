package ui

import (
	"fmt"
	"testing"

	"copperglass/canvas"
	"copperglass/canvas/tool"
	"copperglass/model"
	"copperglass/model/geom"
)

// many is a drawing that is too large to be drawn at once.
func many(columns int) *model.Diagram {
	d := &model.Diagram{Title: fmt.Sprint(columns, " columns")}
	for i := range mostAtOnce + 1 {
		d.Parts = append(d.Parts, &model.Part{Ref: fmt.Sprint("R", i+1), Kind: "resistor", Placed: true, At: geom.Pt(8*(i%columns), 6*(i/columns))})
	}
	return d
}

// untilDrawn paints until no scene is being built and none is wanted.
func (w *Window) untilDrawn(t *testing.T) {
	t.Helper()
	for range 10 {
		w.paint()
		if done := w.surface.large.done; done != nil {
			<-done
		}
		if !w.surface.stale {
			w.paint()
			return
		}
	}
	t.Fatal("the drawing is never drawn")
}

// TestALargeDrawingIsDrawnBeside: the sheet says so until its picture is there,
// and then it is the same as one that is drawn at once; what comes while it is
// being drawn is not lost.
func TestALargeDrawingIsDrawnBeside(t *testing.T) {
	w := newTestWindow(t)
	w.replace(many(40), "")
	w.untilDrawn(t)
	fitted := w.surface.scene.Bounds
	if most := extent(w.doc.Shown(), w.surface.growth); most.Union(fitted) != most || fitted.Width() < most.Width()-10*w.surface.growth*canvas.Grid {
		t.Errorf("drawn is %v, expected were about %v", fitted, most)
	}
	seen := w.surface.visible()
	if seen.Union(fitted) != seen {
		t.Errorf("%v is seen of %v", seen, fitted)
	}
	w.replace(many(60), "")
	w.paint()
	w.replace(many(30), "") // while the other is being drawn
	w.untilDrawn(t)
	if b := w.surface.scene.Bounds; b.Width() >= fitted.Width() || b.Height() <= fitted.Height() {
		t.Errorf("drawn is %v, before it was %v", b, fitted)
	}
	w.Select("R1")
	w.untilDrawn(t)
	w.surface.edit(func(e *tool.Editor) { e.Delete() })
	w.untilDrawn(t) // it is small enough by one part now
	if w.surface.isLarge() || w.surface.scene.Bounds.Empty() {
		t.Error("the drawing that has become small is not drawn at once")
	}
}
