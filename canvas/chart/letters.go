package chart

import (
	xfont "golang.org/x/image/font"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/vg"
)

// outlined draws text as the outlines of its letters.
type outlined struct {
	vg.CanvasSizer
	glyphs sfnt.Buffer
}

// FillString fills the outlines of the letters of s from at.
func (o *outlined) FillString(f font.Face, at vg.Point, s string) {
	const em = 1000
	size := f.Font.Size / (em * 64) // sheet units to a 64th of a font unit
	for _, r := range s {
		index, err := f.Face.GlyphIndex(&o.glyphs, r)
		if err != nil {
			continue
		}
		if segments, err := f.Face.LoadGlyph(&o.glyphs, index, fixed.I(em), nil); err == nil {
			o.Fill(outline(segments, at, size))
		}
		if advance, err := f.Face.GlyphAdvance(&o.glyphs, index, fixed.I(em), xfont.HintingNone); err == nil {
			at.X += vg.Length(advance) * size
		}
	}
}

func outline(segments sfnt.Segments, at vg.Point, size vg.Length) vg.Path {
	point := func(p fixed.Point26_6) vg.Point {
		return vg.Point{X: at.X + vg.Length(p.X)*size, Y: at.Y - vg.Length(p.Y)*size}
	}
	var path vg.Path
	for _, s := range segments {
		switch s.Op {
		case sfnt.SegmentOpMoveTo:
			path.Move(point(s.Args[0]))
		case sfnt.SegmentOpLineTo:
			path.Line(point(s.Args[0]))
		case sfnt.SegmentOpQuadTo:
			path.QuadTo(point(s.Args[0]), point(s.Args[1]))
		case sfnt.SegmentOpCubeTo:
			path.CubeTo(point(s.Args[0]), point(s.Args[1]), point(s.Args[2]))
		}
	}
	return path
}
