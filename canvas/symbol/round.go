package symbol

import "copperglass/canvas"

// radius of the circle that stands for a source, a meter, a motor or a lamp:
// one step, so that its edge lies on the grid.
const radius = canvas.Grid

func uprightCircle() canvas.Rect { return box(-radius, -leadEnd, radius, leadEnd) }

func circle() *canvas.Path { return new(canvas.Path).Circle(canvas.Pt(0, 0), radius) }

// drawUpright draws a circle with a pin above, marked positive, and one below.
func drawUpright(p *pen) {
	p.posts(radius)
	p.body(circle())
	p.plus(-11, -27)
}
