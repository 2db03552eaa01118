package scene

import (
	"image/color"

	"copperglass/canvas"
	"copperglass/model/net"
)

// What is not lit stands back: its colours come so much nearer to the paper, but
// letters no nearer than they can be read.
const (
	standsBack = 0.6
	readable   = 4.5 // contrast of text (WCAG 2.2, success criterion 1.4.3)
)

// lit is what stands out while all else stands back. Without parts that are lit
// nothing stands back.
type lit struct {
	pieces    []bool // those between the pins of parts that are lit
	nets      []int  // how many such pins each net has
	protected []bool // joints that stay when open ends are taken away
	degree    []int  // of each joint, in pieces that are left
	here      []int  // pins of parts that are lit, by group of joints
	letters   tones  // of this theme, as are the next
	badges    tones
}

func (b *builder) dims() bool { return len(b.o.Lit) > 0 }

// tone brings a colour nearer to the paper where what is drawn stands back.
func (b *builder) tone(c color.NRGBA) color.NRGBA {
	if !b.back || c.A == 0 {
		return c
	}
	return b.nearer(c, standsBack)
}

// nearer brings a colour nearer to the paper by a share of the way.
func (b *builder) nearer(c color.NRGBA, share float64) color.NRGBA {
	mix := func(x, paper uint8) uint8 { return uint8(float64(x)*(1-share) + float64(paper)*share + 0.5) }
	return color.NRGBA{R: mix(c.R, b.t.Paper.R), G: mix(c.G, b.t.Paper.G), B: mix(c.B, b.t.Paper.B), A: c.A}
}

// toneText is tone for letters, which stay readable on whatever they stand.
func (b *builder) toneText(c color.NRGBA) color.NRGBA {
	if !b.back || c.A == 0 {
		return c
	}
	return b.lit.letters.of(c, func(share float64) (color.NRGBA, bool) {
		paler := b.nearer(c, share)
		return paler, canvas.Contrast(paler, b.t.Paper) >= readable && canvas.Contrast(paler, b.nearer(b.t.Pill, standsBack)) >= readable
	})
}

// toneBadge is tone for the ground of a badge, whose letters stay as they are.
func (b *builder) toneBadge() color.NRGBA {
	if !b.back {
		return b.t.Badge
	}
	return b.lit.badges.of(b.t.Badge, func(share float64) (color.NRGBA, bool) {
		paler := b.nearer(b.t.Badge, share)
		return paler, canvas.Contrast(b.t.OnBadge, paler) >= readable
	})
}

// tones remembers how colours are when they stand back.
type tones map[color.NRGBA]color.NRGBA

// of returns the palest of a colour's tones that passes, no paler than what
// stands back.
func (m *tones) of(c color.NRGBA, tone func(share float64) (color.NRGBA, bool)) color.NRGBA {
	if t, known := (*m)[c]; known {
		return t
	}
	if *m == nil {
		*m = tones{}
	}
	const steps = 20
	for i := steps; ; i-- {
		if t, pass := tone(standsBack * float64(i) / steps); pass || i == 0 {
			(*m)[c] = t
			return t
		}
	}
}

// behind returns the style of what stands back.
func (b *builder) behind(st canvas.Style) canvas.Style {
	b.back = true
	st.Fill, st.Stroke = b.tone(st.Fill), b.tone(st.Stroke)
	b.back = false
	return st
}

// symbolTheme is what symbols have of the theme, for one that stands back or
// not.
func (b *builder) symbolTheme(back bool) canvas.Theme {
	t := b.t
	b.back = back
	t.Quiet = b.toneText(t.Quiet)
	for _, c := range []*color.NRGBA{&t.Ink, &t.Body, &t.Lit, &t.Accent, &t.Current, &t.Volts} {
		*c = b.tone(*c)
	}
	b.back = false
	return t
}

// findLit finds what of the wires lies between parts that are lit: of the nets
// with two or more of their pins, what is left when all open ends that do not
// lead to one are taken away.
func (b *builder) findLit() {
	l := &b.lit
	l.pieces = zeros(l.pieces, len(b.pieces))
	if !b.dims() {
		return
	}
	l.nets, l.protected = zeros(l.nets, len(b.nets.Nets)), zeros(l.protected, len(b.joints))
	l.degree, l.here = zeros(l.degree, len(b.joints)), zeros(l.here, len(b.joints))
	b.separate(len(b.joints))
	for i, s := range b.pieces {
		from, to := b.endsOf(s)
		b.groups.Join(from, to)
		l.pieces[i] = true
		l.degree[from]++
		l.degree[to]++
	}
	b.protect()
	for b.trim() {
	}
}

func (b *builder) endsOf(s net.Piece) (from, to int) {
	from, _ = b.findJoint(s.A, s.Net)
	to, _ = b.findJoint(s.B, s.Net)
	return from, to
}

// protect keeps the joints at the pins of parts that are lit, and those from
// where a tag leads to another one.
func (b *builder) protect() {
	l := &b.lit
	b.eachPin(func(p *placed, j, at, of int) {
		if b.o.Lit[p.Ref] {
			l.nets[of]++
			if at != none {
				l.protected[at] = true
				l.here[b.groups.Find(at)]++
			}
		}
	})
	lead := func(at, of int) {
		if here := l.here[b.groups.Find(at)]; here > 0 && here < l.nets[of] {
			l.protected[at] = true
		}
	}
	b.eachPin(func(p *placed, j, at, of int) {
		if at != none && (p.Tags[p.pins[j].Name] != "" || p.Kind == "tag" || p.Kind == "ground") {
			lead(at, of)
		}
	})
	for i, w := range b.d.Wires {
		if of := b.nets.Wire(i); w.Tag != "" {
			if at, found := b.findJoint(w.Points[0], of); found {
				lead(at, of)
			}
		}
	}
}

// eachPin calls f for every pin on the sheet, with its joint or none, and its
// net.
func (b *builder) eachPin(f func(p *placed, j, at, of int)) {
	for i := range b.parts {
		p := &b.parts[i]
		for j, pin := range p.pins {
			of := b.nets.Pin(p.Ref, pin.Name)
			if of < 0 {
				continue
			}
			at, found := b.findJoint(pin.At, of)
			if !found || !p.Placed {
				at = none
			}
			f(p, j, at, of)
		}
	}
}

// trim takes the pieces away that lead nowhere, or that have no two pins of lit
// parts, and reports whether there were any.
func (b *builder) trim() bool {
	l, any := &b.lit, false
	for i, s := range b.pieces {
		if !l.pieces[i] {
			continue
		}
		from, to := b.endsOf(s)
		open := l.degree[from] == 1 && !l.protected[from] || l.degree[to] == 1 && !l.protected[to]
		if open || l.nets[s.Net] < 2 {
			l.pieces[i], any = false, true
			l.degree[from]--
			l.degree[to]--
		}
	}
	return any
}

// pieceBack reports whether a piece of wire stands back.
func (b *builder) pieceBack(i int) bool { return b.dims() && !b.lit.pieces[i] }

// partBack reports whether a part stands back.
func (b *builder) partBack(ref string) bool { return b.dims() && !b.o.Lit[ref] }

// pinBack reports whether a pin of a part stands back: one that leads to no
// other part that is lit.
func (b *builder) pinBack(p *placed, j int) bool {
	of := b.nets.Pin(p.Ref, p.pins[j].Name)
	return b.dims() && (of < 0 || b.lit.nets[of] < 2)
}

// labelBack reports whether a label stands back with what it belongs to. Faults
// never do.
func (b *builder) labelBack(q *request) bool {
	switch {
	case !b.dims() || q.Kind == FlagLabel || q.Kind == WireLabel:
		return false
	case q.Kind == VoltageLabel:
		for _, n := range b.alike.at(q.of) {
			if b.lit.nets[n] > 1 {
				return false
			}
		}
		return true
	case q.arrow:
		return b.pieceBack(q.spots[q.at].mark.piece)
	case q.Ref != "":
		return b.partBack(q.Ref)
	}
	return q.Net < 0 || b.lit.nets[q.Net] < 2
}
