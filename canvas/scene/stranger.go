package scene

import (
	"math"

	"copperglass/canvas"
)

// What tells of a part and stands nearer to another could be taken for the
// other's, which is what Christensen, Marks and Shieber call ambiguity. How near
// it is counts from edge to edge and, where something may stand between, from
// middle to middle. Lengths are in sheet units.
const (
	strangeCost = 14.0 // for a label whose edge is as near to another part
	strangeRoom = 16.0 // nothing is for one that is nearer to its own by so much
	middleCost  = 10.0 // for one whose middle is nearer to another part
	middleRoom  = 8.0  // by so much, or whose middle is nearer to its own by so much, for nothing
	strangeFar  = 48.0 // from edge to edge, farther than which no part is another's
)

// strangers knows where the bodies of parts are, and which part's each is.
type strangers struct {
	cells obstacles
	parts []placed
}

// read notes the bodies of the parts that a label could be taken to tell of,
// without their leads.
func (n *strangers) read(parts []placed) {
	n.cells.reset()
	n.parts = parts
	for i := range parts {
		if p := &parts[i]; !p.extent.Empty() && !p.body.Empty() && p.Kind != "ground" && p.Kind != "arrow" {
			n.cells.enter(p.body, int32(i))
		}
	}
}

// telling reports whether a label of a kind would stand within the part's
// outline, if it has one, so that nobody looks for it outside.
func (p *placed) telling(kind LabelKind) bool {
	return p.Kind == "chip" && kind == NameLabel || p.Kind == "tag" || p.Kind == "note"
}

// doubt is how unclear it is that a label is of a part of its own, in the unit
// of the losses.
func (n *strangers) doubt(box canvas.Rect, own *placed, kind LabelKind) float64 {
	edge, middle := strangeRoom+apart(box, own.extent), middleRoom+distance(box.Center(), own.body.Center())
	edges, middles := edge, middle // to the nearest of others, if nearer
	near := box.Inset(-math.Max(edge, strangeFar))
	a, b := cellOf(near.Min), cellOf(near.Max)
	for i := a[0]; i <= b[0]; i++ {
		for j := a[1]; j <= b[1]; j++ {
			for k := n.cells.first(i, j); k != none; k = n.cells.chain[k].next {
				o := &n.cells.chain[k]
				if int(o.id) == own.index {
					continue
				}
				gap := apart(box, o.box)
				edges = min(edges, gap)
				if gap <= strangeFar && !n.parts[o.id].telling(kind) {
					middles = min(middles, distance(box.Center(), o.box.Center()))
				}
			}
		}
	}
	return strangeCost*math.Min(1, (edge-edges)/strangeRoom) + middleCost*math.Min(1, (middle-middles)/(2*middleRoom))
}

// tellApart makes places for a label of a part dearer the less it is plain
// whose it is.
func (b *builder) tellApart(p *placed, kind LabelKind, spots []spot) {
	for i := range spots {
		spots[i].cost += b.strangers.doubt(spots[i].box, p, kind)
	}
}
