package symbol

import (
	"copperglass/canvas"
	"copperglass/model"
	"copperglass/model/geom"
)

// frame carries a part's own coordinates, unturned and about its origin, to
// the sheet.
type frame struct {
	origin canvas.Point
	x, y   geom.Point // where the part's own axes point
}

func frameOf(p *model.Part) frame {
	return frame{canvas.OnGrid(p.At), p.Orient.Apply(geom.Pt(1, 0)), p.Orient.Apply(geom.Pt(0, 1))}
}

func (f frame) at(x, y float64) canvas.Point {
	return f.origin.Add(canvas.Pt(
		x*float64(f.x.X)+y*float64(f.y.X),
		x*float64(f.x.Y)+y*float64(f.y.Y),
	))
}

func (f frame) rect(r canvas.Rect) canvas.Rect {
	return canvas.EmptyRect().Include(f.at(r.Min.X, r.Min.Y)).Include(f.at(r.Max.X, r.Max.Y))
}

// path carries q over, in place.
func (f frame) path(q *canvas.Path) *canvas.Path {
	for i, s := range q.Segs {
		q.Segs[i] = canvas.Seg{Op: s.Op, P: f.at(s.P.X, s.P.Y), C1: f.at(s.C1.X, s.C1.Y), C2: f.at(s.C2.X, s.C2.Y)}
	}
	return q
}
