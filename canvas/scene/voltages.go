package scene

import (
	"cmp"
	"math"
	"slices"

	"copperglass/canvas"
)

// tellVoltages asks for a pill on each net that has wires or tags, but ground,
// and only one where a link joins nets. The tags are among the labels that have
// a place.
func (b *builder) tellVoltages() {
	b.ofNet.sortOut(len(b.pieces), len(b.nets.Nets), func(i int) int { return b.pieces[i].Net })
	b.findTags()
	b.findAlike()
	b.findEchoes()
	for _, g := range b.told {
		b.askVoltage(b.alike.at(g))
	}
}

// findAlike gathers nets that a part joins which never has a voltage across it
// to speak of, as a piece of wire: a link, a closed switch, a fuse. Those whose voltage is told
// are the groups with one, the most pins first; ground and what is joined to it
// are left out.
func (b *builder) findAlike() {
	n := len(b.nets.Nets)
	b.separate(n)
	for i := range b.parts {
		p := &b.parts[i]
		if x, y := p.joins(b); x >= 0 && math.Abs(b.volts(x)-b.volts(y)) < leastVolts {
			b.groups.Join(x, y)
		}
	}
	b.alike.sortOut(n, n, b.groups.Find)
	b.told = b.told[:0]
	for g := range n {
		if b.groups.Find(g) == g && !math.IsNaN(b.volts(g)) && (b.nets.Ground < 0 || g != b.groups.Find(b.nets.Ground)) {
			b.told = append(b.told, g)
		}
	}
	slices.SortStableFunc(b.told, func(x, y int) int { return cmp.Compare(b.pins(b.alike.at(y)), b.pins(b.alike.at(x))) })
}

// findEchoes notes the groups beyond a resistor that carries nothing: what a
// larger group tells goes for them as well.
func (b *builder) findEchoes() {
	b.echoes = zeros(b.echoes, len(b.nets.Nets))
	for i := range b.parts {
		p := &b.parts[i]
		if p.Kind != "resistor" {
			continue
		}
		x, y := p.sides(b)
		if x < 0 || y < 0 || b.groups.Find(x) == b.groups.Find(y) || !(math.Abs(b.volts(x)-b.volts(y)) < leastVolts) {
			continue
		}
		x, y = b.groups.Find(x), b.groups.Find(y)
		if slices.Index(b.told, x) < slices.Index(b.told, y) {
			x = y
		}
		b.echoes[x] = true
	}
}

// sides returns the nets on either side of a part with two pins.
func (p *placed) sides(b *builder) (x, y int) {
	return b.nets.Pin(p.Ref, p.pins[0].Name), b.nets.Pin(p.Ref, p.pins[1].Name)
}

// separate makes n groups of one each.
func (b *builder) separate(n int) {
	b.groups = b.groups[:0]
	for range n {
		b.groups.Add()
	}
}

// joins returns the nets on either side of a part that is no more than a piece
// of wire where there is no voltage across it, or −1.
func (p *placed) joins(b *builder) (x, y int) {
	switch p.Kind {
	case "inductor", "fuse":
	case "resistor":
		if r, ok := p.values["resistance"].Num(); !ok || r != 0 {
			return -1, -1
		}
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
	return p.sides(b)
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

// askVoltage asks for a pill beside a wire of nets alike, or else beside a tag.
// Where pins meet without either it asks for none.
func (b *builder) askVoltage(group []int) {
	drawn := 0
	for _, n := range group {
		drawn += len(b.ofNet.at(n))
	}
	for _, t := range b.tags {
		if slices.Contains(group, t.net) {
			drawn++
		}
	}
	if drawn == 0 {
		return
	}
	q, k := b.pill(group), b.seek()
	b.besideGroup(k, group, &q.forms[0], 0)
	for i := range k.spots {
		k.spots[i].cost += b.near.doubt(&k.spots[i], group, b.pieces)
	}
	q.told = b.echoes[b.groups.Find(group[0])] // and not worth a lead
	for off := leadStep; off <= farthestLead && len(k.spots) < enoughSpots && !q.told; off += leadStep {
		from := len(k.spots)
		b.besideGroup(k, group, &q.forms[0], off)
		k.alone(from, &b.near, func(i int) bool { return !slices.Contains(group, b.pieces[i].Net) })
	}
	for _, n := range group {
		for _, t := range b.tags {
			if t.net == n {
				k.beside(t.at, q.forms, besideTag)
			}
		}
	}
	b.ask(q)
}

// besideTag is what a pill's place costs on each side of a tag: more than most
// places beside a wire.
var besideTag = [4]float64{right: 10, left: 10, above: 9, below: 10}

func (b *builder) pill(group []int) *request {
	text := voltsText(b.volts(group[0]))
	q := b.newRequest(Label{Kind: VoltageLabel, Net: group[0], Text: text}, voltageLoss+math.Min(9, float64(b.pins(group))))
	q.of = group[0]
	f := q.single(text, true, b.t.Volts, b.scaled(textSize))
	b.wasVolts(f, b.volts(group[0]), b.pastVolts(group[0]))
	f.width, f.height = f.width+2*b.scaled(pillRoom), b.scaled(pillHigh)
	return q
}

// besideGroup looks for places for a pill along the wires of nets alike, off
// further than necessary and then with a line that leads there.
func (b *builder) besideGroup(k *seeker, group []int, f *form, off float64) {
	for _, n := range group {
		for _, i := range b.ofNet.at(n) {
			b.besidePiece(k, i, f, off)
		}
	}
}

// besidePiece looks for places for a pill along a piece of wire.
func (b *builder) besidePiece(k *seeker, i int, f *form, off float64) {
	l := line{from: canvas.OnGrid(b.pieces[i].A), to: canvas.OnGrid(b.pieces[i].B), piece: i, off: off, clear: wireWidth / 2}
	l.gap = math.Max(b.ribbonHalf(b.flow.amps[i])+clearance, chevronHalf) + 4
	l.level = lengthWorth * math.Max(0, longEnough-distance(l.from, l.to))
	l.upright = l.level + turnCost/2
	k.along(l, f, 0)
}
