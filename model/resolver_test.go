package model

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

// A resolver that is used again, with one quantity put over the others or a
// whole setting, says what a fresh one says.
func TestResolverKeepsUp(t *testing.T) {
	t.Parallel()
	r := rand.New(rand.NewPCG(3, 4))
	d := &Diagram{Params: Params{"temperature": Number(310)}}
	for _, p := range append(sampleParts(),
		&Part{Ref: "X1", Kind: "battery", Value: "3 × AAA"},
		&Part{Ref: "X1", Kind: "battery", Value: "9 V"},
		&Part{Ref: "X1", Kind: "led", Value: "pitch black"},
		&Part{Ref: "X1", Kind: "fuse"},
		&Part{Ref: "X1", Kind: "spaceship"},
	) {
		kept, s := NewResolver(d, p), Setting{}
		kept.Resolve(s)
		for range 40 {
			name, v := randomQuantity(p, r)
			s.Set("X1", name, v)
			want, problems := d.Resolve(p, s)
			if kept.Put(name, v) {
				checkValues(t, p, kept.Values(), want)
			}
			got, named := kept.Resolve(s)
			checkValues(t, p, got, want)
			if !slices.Equal(named, problems) {
				t.Errorf("%s: problems %q, want %q", p.Kind, named, problems)
			}
		}
	}
}

// randomQuantity returns something to set, now and then out of its range.
func randomQuantity(p *Part, r *rand.Rand) (string, Value) {
	k := p.LookupKind()
	if k == nil {
		return "resistance", Number(r.Float64())
	}
	q := &k.Params[r.IntN(len(k.Params))]
	switch q.Type() {
	case WordType:
		words := append(slices.Clone(q.Choices), "AAA", "nonsense")
		return q.Name, Word(words[r.IntN(len(words))])
	case FlagType:
		return q.Name, Flag(r.IntN(2) == 0)
	}
	if r.IntN(10) == 0 {
		return q.Name, Number(-1)
	}
	return q.Name, Number(math.Pow(10, 4*r.Float64()-3))
}

func checkValues(t *testing.T, p *Part, got, want Values) {
	t.Helper()
	for name, v := range want {
		if !got[name].Same(v) {
			t.Errorf("%s.%s is %v, want %v", p.Kind, name, got[name], v)
		}
	}
	if len(got) != len(want) {
		t.Errorf("%s has %d quantities, want %d: %v, %v", p.Kind, len(got), len(want), got, want)
	}
}
