package scene

import (
	"image"
	"testing"

	"copperglass/canvas"
	"copperglass/canvas/raster"
	"copperglass/canvas/svg/svgtest"
	"copperglass/canvas/symbol"
	"copperglass/model"
	"copperglass/model/geom"
)

// A join has a dot and a crossing a bridge, for PNG, SVG and the window alike,
// whose pixels are those of the PNG.
func TestJoinsAndCrossingsShow(t *testing.T) {
	t.Parallel()
	d := &model.Diagram{Wires: []*model.Wire{
		wire(geom.Pt(0, 2), geom.Pt(10, 2)), wire(geom.Pt(3, 0), geom.Pt(3, 4)), wire(geom.Pt(7, 2), geom.Pt(7, 4)),
	}}
	for _, std := range []symbol.Standard{symbol.IEC, symbol.IEEE} {
		o := Options{Theme: canvas.LightTheme(), Standard: std}
		s := Build(d, nil, o)
		svgtest.Compare(t, &s.Picture)
		var r raster.Renderer
		const scale = 4
		im := r.Draw(&s.Picture, canvas.View{Scale: scale}, 220*scale, 100*scale)
		for what, tt := range map[string]struct {
			x, y float64
			ink  bool
		}{
			"the dot of the join":           {142, 38, true},
			"beside the dot":                {144.5, 36, false},
			"the bridge's top":              {60, 33, true},
			"the wire under the bridge":     {60, 40, true},
			"the level wire at the bridge":  {64, 40, false},
			"the level wire off the bridge": {80, 40, true},
		} {
			if got := dark(im, int(tt.x*scale), int(tt.y*scale)); got != tt.ink {
				t.Errorf("standard %d, %s: ink %v, want %v", std, what, got, tt.ink)
			}
		}
	}
}

func dark(im *image.RGBA, x, y int) bool { return im.RGBAAt(x, y).R < 128 }

// Two nets that bend at one and the same place are joined by no dot.
func TestCornersThatTouchHaveNoDot(t *testing.T) {
	t.Parallel()
	d := &model.Diagram{Wires: []*model.Wire{
		wire(geom.Pt(0, 2), geom.Pt(4, 2), geom.Pt(4, 0)), wire(geom.Pt(4, 6), geom.Pt(4, 2), geom.Pt(8, 2)),
	}}
	for _, it := range Build(d, nil, lightOptions()).Picture.Items {
		if p, ok := it.(*canvas.Path); ok && p.Fill.A > 0 {
			t.Errorf("a dot at %v joins what is not joined", p.Bounds().Center())
		}
	}
}

// A wire that runs through a part from pin to pin is seen in it, a wire that the
// part interrupts is not.
func TestAWireUnderAPartShows(t *testing.T) {
	t.Parallel()
	part := &model.Part{Ref: "R1", Kind: "resistor", Placed: true, At: geom.Pt(6, 2)}
	for _, tt := range []struct {
		name  string
		wires []*model.Wire
		ink   bool
	}{
		{"under it", []*model.Wire{wire(geom.Pt(0, 2), geom.Pt(12, 2))}, true},
		{"interrupted", []*model.Wire{wire(geom.Pt(0, 2), geom.Pt(4, 2)), wire(geom.Pt(8, 2), geom.Pt(12, 2))}, false},
		{"around it", []*model.Wire{wire(geom.Pt(4, 2), geom.Pt(4, 5), geom.Pt(8, 5), geom.Pt(8, 2))}, false},
	} {
		s := Build(&model.Diagram{Parts: []*model.Part{part}, Wires: tt.wires}, nil, lightOptions())
		var r raster.Renderer
		const scale = 4
		im := r.Draw(&s.Picture, canvas.View{Scale: scale}, 260*scale, 120*scale)
		if got := dark(im, 120*scale, 40*scale); got != tt.ink {
			t.Errorf("%s: ink in the middle of the resistor %v, want %v", tt.name, got, tt.ink)
		}
	}
}

// A level wire steps over the upright lead of a part that it is not joined to.
func TestWiresStepOverLeads(t *testing.T) {
	t.Parallel()
	part := &model.Part{Ref: "D1", Kind: "led", Placed: true, At: geom.Pt(6, 4), Orient: geom.Orientation{Turn: 90}}
	for y, bridge := range map[int]bool{1: false, 2: false, 3: true, 5: true, 6: false} { // its pins stand at 2 and 6
		d := &model.Diagram{Parts: []*model.Part{part}, Wires: []*model.Wire{wire(geom.Pt(0, y), geom.Pt(12, y))}}
		s := Build(d, nil, lightOptions())
		var r raster.Renderer
		const scale = 4
		im := r.Draw(&s.Picture, canvas.View{Scale: scale}, 260*scale, 160*scale)
		if got := !dark(im, (120-4)*scale, y*20*scale) && dark(im, 120*scale, (y*20-7)*scale); got != bridge {
			t.Errorf("at %d: a bridge is %v, want %v", y, got, bridge)
		}
	}
}
