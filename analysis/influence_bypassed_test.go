package analysis

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"copperglass/model/net"
)

// In random graphs of links, those have others beside them whose ends stay
// joined when they are taken out.
func TestBypassed(t *testing.T) {
	t.Parallel()
	r := rand.New(rand.NewPCG(2, 4))
	with, without := 0, 0
	for range 300 {
		nodes := 2 + r.IntN(12)
		c, links := &circuit{nodes: nodes}, []*branch{}
		for range 1 + r.IntN(2*nodes) {
			b := &branch{ends: ends{a: terminal{node: r.IntN(nodes)}, b: terminal{node: r.IntN(nodes)}}, ohms: hair}
			links = append(links, b)
			c.parts = append(c.parts, &part{elements: []element{b, &conductor{ends: ends{b: terminal{node: 1}}, siemens: 1}}})
		}
		got := c.bypassed()
		for _, one := range links {
			others := net.NewGroups(nodes)
			for _, b := range links {
				if b != one {
					others.Join(b.a.node, b.b.node)
				}
			}
			want := others.Find(one.a.node) == others.Find(one.b.node)
			if got[one] != want {
				t.Fatal(fmt.Sprint("a link from ", one.a.node, " to ", one.b.node, ": ", got[one], ", want ", want))
			}
			if want {
				with++
			} else {
				without++
			}
		}
	}
	if with < 500 || without < 500 {
		t.Errorf("%d with others beside them, %d without", with, without)
	}
}
