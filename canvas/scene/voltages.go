package scene

import (
	"cmp"
	"math"
	"slices"

	"copperglass/canvas"
	"copperglass/model/net"
)

// tellVoltages asks for a pill on each net that has wires or tags, but ground,
// and only one where a link joins nets. The tags are among the lasting labels.
func (b *builder) tellVoltages(lasting []*request) {
	pieces := map[int][]int{}
	for i, s := range b.pieces {
		pieces[s.Net] = append(pieces[s.Net], i)
	}
	near, tags := b.newNeighbours(), b.tagsOf(lasting)
	for _, group := range b.alike() {
		b.request(b.voltage(group, pieces, near, tags))
	}
}

// alike gathers nets that a part without a voltage across it joins: a link, a
// closed switch, a resistor that carries nothing. Ground and what is joined to it are left out.
func (b *builder) alike() [][]int {
	f := net.NewGroups(len(b.nets.Nets))
	for i := range b.parts {
		p := &b.parts[i]
		if x, y := p.joins(b); x >= 0 && math.Abs(b.volts(x)-b.volts(y)) < leastVolts {
			f.Join(x, y)
		}
	}
	groups := make([][]int, len(b.nets.Nets))
	for n := range b.nets.Nets {
		groups[f.Find(n)] = append(groups[f.Find(n)], n)
	}
	if g := b.nets.Ground; g >= 0 {
		groups[f.Find(g)] = nil
	}
	groups = slices.DeleteFunc(groups, func(g []int) bool { return len(g) == 0 || math.IsNaN(b.volts(g[0])) })
	slices.SortStableFunc(groups, func(x, y []int) int { return cmp.Compare(b.pins(y), b.pins(x)) })
	return groups
}

// joins returns the nets on either side of a part that is no more than a piece
// of wire where there is no voltage across it, or −1.
func (p *placed) joins(b *builder) (x, y int) {
	switch p.Kind {
	case "resistor", "inductor", "fuse":
	case "switch", "button":
		if p.values.Text("state") != "closed" {
			return -1, -1
		}
	case "meter":
		if p.values.Text("measures") != "amps" {
			return -1, -1
		}
	default:
		return -1, -1
	}
	return b.nets.Pin(p.Ref, p.pins[0].Name), b.nets.Pin(p.Ref, p.pins[1].Name)
}

func (b *builder) pins(group []int) int {
	n := 0
	for _, i := range group {
		n += len(b.nets.Nets[i].Pins)
	}
	return n
}

// lengthWorth is what a piece of wire is better than a shorter one as a place
// for a voltage, for each sheet unit, up to longEnough.
const (
	lengthWorth = 0.02
	longEnough  = 10 * canvas.Grid
)

// voltage asks for a pill beside a wire of nets alike, or else beside a tag.
// Where pins meet without either it asks for none.
func (b *builder) voltage(group []int, pieces map[int][]int, near *neighbours, tags map[int][]canvas.Rect) *request {
	q, k, drawn := b.pill(group), b.seek(b.free), 0
	for _, n := range group {
		drawn += len(pieces[n])
		for _, i := range pieces[n] {
			b.besidePiece(k, i, &q.forms[0])
		}
	}
	for i, s := range k.found() {
		k.found()[i].cost += near.doubt(&s, group)
	}
	for _, n := range group {
		drawn += len(tags[n])
		for _, r := range tags[n] {
			k.beside(r, q.forms, besideTag)
		}
	}
	if drawn == 0 {
		return nil
	}
	q.spots = k.found()
	return q
}

// besideTag is what a pill's place costs on each side of a tag: more than most
// places beside a wire.
var besideTag = [4]float64{right: 10, left: 10, above: 9, below: 10}

func (b *builder) pill(group []int) *request {
	text := voltsText(b.volts(group[0]))
	f := newForm([]run{{text, true, b.t.Volts}})
	f.width, f.height = f.width+2*pillRoom, pillHigh
	q := &request{loss: voltageLoss + math.Min(9, float64(b.pins(group))), forms: []form{f}}
	q.Label = Label{Kind: VoltageLabel, Net: group[0], Text: text}
	return q
}

// besidePiece looks for places for a pill along a piece of wire.
func (b *builder) besidePiece(k *seeker, i int, f *form) {
	l := line{from: canvas.OnGrid(b.pieces[i].A), to: canvas.OnGrid(b.pieces[i].B), piece: i}
	l.gap = math.Max(b.ribbonHalf(b.flow.amps[i])+clearance, chevronHalf) + 4
	l.level = lengthWorth * math.Max(0, longEnough-distance(l.from, l.to))
	l.upright = l.level + turnCost/2
	k.along(l, f, 0)
}
