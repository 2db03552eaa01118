package ui

import (
	"strings"
	"testing"

	"fyne.io/fyne/v2"

	"copperglass/model"
	"copperglass/model/geom"
)

func TestTheLikeliestKindsComeFirst(t *testing.T) {
	for kind, want := range map[string][]string{"npn": {"pnp"}, "nmos": {"pmos"}, "led": {"diode", "zener"}, "resistor": {"capacitor", "inductor"}} {
		w := newTestWindow(t)
		w.doc.Replace(&model.Diagram{Parts: []*model.Part{{Ref: "X1", Kind: kind, Placed: true}}}, "")
		w.Select("X1")
		at := map[string]int{}
		for i, k := range w.otherKinds() {
			at[k.Name] = i + 1
		}
		for _, name := range want {
			if at[name] == 0 || at[name] > 8 || name == "pnp" && at[name] != 1 || name == "pmos" && at[name] != 1 {
				t.Errorf("%s: %s is at place %d", kind, name, at[name])
			}
		}
		if at[kind] != 0 || at["note"] != 0 || len(at) < 15 {
			t.Errorf("%s: %v", kind, at)
		}
	}
}

// What does not stay as a part becomes one of another kind is said before and
// after: its name, its value, what is joined to it.
func TestAChangeOfKindSaysWhatItLoses(t *testing.T) {
	npn := func() *Window {
		w := newTestWindow(t)
		w.doc.Replace(&model.Diagram{
			Parts: []*model.Part{{Ref: "Q1", Kind: "npn", Value: "2N3904", Placed: true}, {Ref: "R1", Kind: "resistor", Placed: true, At: geom.Pt(-10, 0)}},
			Wires: []*model.Wire{{ID: 1, Points: []geom.Point{{X: -8}, {X: -2}}}},
		}, "")
		w.Select("Q1")
		return w
	}
	for _, c := range []struct {
		kind          string
		before, after []string
	}{
		{"pnp", []string{"Q1 loses its value 2N3904"}, []string{"2N3904 is no PNP transistor", "K lists types"}},
		{"resistor", []string{"Q1 gets a name with R", "2N3904", "Q1’s B is left loose"}, []string{"Q1 is R2 now", "joined to B is loose"}},
	} {
		w := npn()
		w.chooseKind()
		f := w.foundIn(t)
		f.entry.SetText(model.LookupKind(c.kind).Title)
		for _, words := range c.before {
			if !strings.Contains(f.told, words) {
				t.Errorf("%s: before, %q says nothing of %q", c.kind, f.told, words)
			}
		}
		f.entry.TypedKey(&fyne.KeyEvent{Name: fyne.KeyReturn})
		for _, words := range c.after {
			if !strings.Contains(w.bar.news, words) {
				t.Errorf("%s: after, %q says nothing of %q", c.kind, w.bar.news, words)
			}
		}
	}
}
