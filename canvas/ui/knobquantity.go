package ui

import (
	"context"
	"fmt"
	"math"
	"strings"

	"copperglass/analysis"
	"copperglass/model"
	"copperglass/model/quantity"
)

// sought is a quantity of the circuit as people ask for it: of a stack, also
// what each of its parts has.
type sought struct {
	of    string // as for analysis.Quantity
	share float64
	unit  quantity.Unit
}

// words are how people speak of it: "current of D1, each".
func (s sought) words() string {
	w := strings.TrimPrefix(quantityInWords(s.of), "the ")
	if s.share > 1 {
		w += ", each"
	}
	return w
}

// in is what it is in a result, without its sign: NaN where that is not known.
func (s sought) in(d *model.Diagram, r *analysis.Result) float64 {
	if r == nil || s.of == "" {
		return math.NaN()
	}
	x, err := analysis.Quantity(r, d, s.of)
	if err != nil {
		return math.NaN()
	}
	return math.Abs(x) / s.share
}

// figure writes it.
func (s sought) figure(x float64) string {
	if math.IsNaN(x) {
		return "–"
	}
	return quantity.Solved(x, s.unit)
}

// soughtOf are the currents, powers and voltages of a drawing.
func soughtOf(d *model.Diagram, r *analysis.Result) []sought {
	var list []sought
	for _, p := range d.Parts {
		of := mainCurrent(p)
		if of == "" {
			continue
		}
		if n := p.Multiple(); n > 1 {
			list = append(list, sought{of, float64(n), quantity.Ampere})
		}
		list = append(list, sought{of, 1, quantity.Ampere}, sought{p.Ref + ".watts", 1, quantity.Watt})
	}
	if r != nil && r.Nets != nil {
		for _, n := range r.Nets.Nets {
			list = append(list, sought{"net." + n.Name + ".volts", 1, quantity.Volt})
		}
	}
	return list
}

// mainLoad is the current that the circuit is there for: that of the load that
// takes most, of a stack each one's.
func mainLoad(doc *Document) sought {
	d, r := doc.Shown(), doc.Result()
	var best sought
	most := -1.0
	for _, p := range d.Parts {
		k, of := p.LookupKind(), mainCurrent(p)
		if of == "" || k == nil || !k.Load && best.of != "" {
			continue
		}
		s := sought{of, float64(p.Multiple()), quantity.Ampere}
		weight := s.in(d, r) * s.share
		if math.IsNaN(weight) {
			weight = 0
		}
		if k.Load {
			weight += 1e6 // before anything that is no load
		}
		if weight > most {
			best, most = s, weight
		}
	}
	return best
}

// seek opens a list of all quantities.
func (in *inspector) seek(title string, take func(sought)) {
	d, r := in.doc.Shown(), in.doc.Result()
	var list []found
	for _, s := range soughtOf(d, r) {
		list = append(list, found{title: sentenceStart(s.words()), end: s.figure(s.in(d, r)), choose: func() {
			take(s)
			in.refresh()
		}})
	}
	in.find(title, "current, voltage, power, a part’s name, …", "Take it", list)
}

// memo keeps what was worked out about the drawing as it is, whatever is shown
// of it for a while.
type memo[T any] struct {
	key    string
	answer T
	err    error
}

// recall returns the answer to what the key names, if it is there yet.
func (m *memo[T]) recall(in *inspector, name, key string, work func(context.Context, *model.Diagram) (T, error)) (T, bool, error) {
	key = fmt.Sprint(in.doc.history.Revision(), "\x00", key)
	if m.key == key {
		return m.answer, true, m.err
	}
	base := in.doc.Diagram()
	answer, done, err := studied(in, name, key, func(ctx context.Context, _ *model.Diagram) (T, error) { return work(ctx, base) })
	if done {
		m.key, m.answer, m.err = key, answer, err
	}
	return answer, done, err
}
