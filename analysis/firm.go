package analysis

import (
	"math"

	"copperglass/model/net"
)

// firmness is the conductance in siemens from which an element at its operating
// point ties its ends together firmly. Through less than that, what is left over
// at the end of Newton's method moves a voltage.
const firmness = 1e-10

// isLoose reports whether there is a node that nothing ties firmly to a reference
// at the operating point last reported, though it has a voltage. All others are
// found the same from anywhere.
func (c *circuit) isLoose() bool {
	tied := firmNodes{net.NewGroups(c.nodes + 1), &c.tally.at}
	const reference = 0
	for n := range c.nodes {
		tied.groups.Join(1+n, 1+c.joined.Find(n))
		if c.place[n] < 0 || c.isOpen(n) {
			tied.groups.Join(reference, 1+n)
		}
	}
	for _, p := range c.parts {
		for _, e := range p.elements {
			tied.tie(e)
		}
	}
	for n := range c.nodes {
		if tied.groups.Find(1+n) != reference {
			return true
		}
	}
	return false
}

// firmNodes are a reference and, after it, the nodes, as far as they are tied.
type firmNodes struct {
	groups net.Groups
	at     *state
}

func (f *firmNodes) join(a, b terminal, siemens float64) {
	if math.Abs(siemens) >= firmness {
		f.groups.Join(1+a.node, 1+b.node)
	}
}

func (f *firmNodes) tie(e element) {
	switch e := e.(type) {
	case *conductor:
		f.join(e.a, e.b, e.siemens)
	case *branch:
		f.join(e.a, e.b, 1)
	case *junction:
		_, g := e.law.Current(f.at.volts(e.va, e.vb))
		f.join(e.a, e.b, g)
	case *bipolar:
		f.join(e.base, e.emitter, e.carries.BaseBE)
		f.join(e.base, e.collector, e.carries.BaseBC)
		f.join(e.collector, e.emitter, e.carries.CollectorBC)
	case *fieldEffect:
		if !e.floats {
			f.join(e.drain, e.source, e.law.Current(e.bias(f.at)).DrainDS)
		}
	case *law:
		for _, t := range e.ends {
			f.join(e.ends[0], t, 1)
		}
	}
}
