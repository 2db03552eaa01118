package ui

import (
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"copperglass/analysis"
	"copperglass/assets"
	"copperglass/model"
	"copperglass/model/file"
)

func lanternDocument(t *testing.T) *Document {
	t.Helper()
	text, err := assets.Example("lantern")
	if err != nil {
		t.Fatal(err)
	}
	d, err := file.Decode(strings.NewReader(string(text)))
	if err != nil {
		t.Fatal(err)
	}
	doc := NewDocument(d, "", time.Minute)
	t.Cleanup(doc.Close)
	return doc
}

// While values are typed the circuit of each mode is compiled once, and every
// figure of every mode is that of a fresh solution.
func TestTypingAValueFollowsTheCircuit(t *testing.T) {
	t.Parallel()
	doc := lanternDocument(t)
	for _, c := range []struct {
		ref, value string
		anew       int // modes that are compiled again
	}{
		{"R1", "220", 0}, {"R1", "22", 0}, {"R1", "2200", 0}, {"R1", "0", len(doc.Shown().Modes)}, {"R1", "330", len(doc.Shown().Modes)},
	} {
		before := compiled(doc)
		change := func(p *model.Part) { p.Value = c.value }
		if err := doc.typePart(c.ref, "value", change); err != nil {
			t.Fatal(err)
		}
		if got := compiled(doc) - before; got != c.anew {
			t.Errorf("%s %s: %d compilations, want %d", c.ref, c.value, got, c.anew)
		}
		checkAnswer(t, doc)
	}
	doc.keepTyped()
	doc.Undo()
	checkAnswer(t, doc)
	doc.SetMode(doc.Shown().Modes[1].Name)
	checkAnswer(t, doc)
}

// compiled counts how often the drawing has been compiled in all of its modes.
func compiled(doc *Document) int {
	n := 0
	for _, k := range doc.solver.followed.byMode {
		n += k.Compiled()
	}
	return n
}

// checkAnswer compares what the document says with fresh solutions.
func checkAnswer(t *testing.T, doc *Document) {
	t.Helper()
	d, a := doc.Shown(), doc.Answer()
	if a.Result == nil || a.Result.Mode != doc.Mode() || len(a.Modes) != len(d.Modes) {
		t.Fatalf("mode %q, %d of %d modes", doc.Mode(), len(a.Modes), len(d.Modes))
	}
	for _, m := range append(slices.Clone(a.Modes), analysis.Summarise(d, a.Result)) {
		want, err := analysis.Solve(t.Context(), d, analysis.Options{Mode: m.Name})
		if err != nil {
			t.Fatal(err)
		}
		for n, v := range want.Volts {
			if got := m.Result.Volts[n]; math.IsNaN(got) != math.IsNaN(v) || math.Abs(got-v) > 1e-9*math.Abs(v)+1e-12 {
				t.Errorf("%s: net %s: %g V, want %g V", m.Name, want.Nets.Nets[n].Name, got, v)
			}
		}
		for ref, load := range analysis.Summarise(d, want).Loads {
			if got := m.Loads[ref].Current; math.Abs(got-load.Current) > 1e-9*math.Abs(load.Current)+1e-15 {
				t.Errorf("%s: %s takes %g A, want %g A", m.Name, ref, got, load.Current)
			}
		}
	}
}

// Questions that come faster than the answers leave nothing behind but the last
// one's answer.
func TestQuestionsInHaste(t *testing.T) {
	t.Parallel()
	doc := lanternDocument(t)
	doc.solver.patience = 0
	values := []string{"100", "220", "0", "1k"}
	for i := range 40 {
		change := func(p *model.Part) { p.Value = values[i%len(values)] }
		if err := doc.typePart("R1", "value", change); err != nil {
			t.Fatal(err)
		}
	}
	doc.solver.patience = time.Minute
	if err := doc.typePart("R1", "value", func(p *model.Part) { p.Value = "470" }); err != nil {
		t.Fatal(err)
	}
	checkAnswer(t, doc)
}
