package tool_test

import (
	"fmt"
	"maps"
	"math/rand/v2"
	"slices"
	"testing"

	"copperglass/canvas/tool"
	"copperglass/model"
	"copperglass/model/net"
)

func TestDeleteAndJoin(t *testing.T) {
	t.Parallel()
	tests := []struct {
		name string
		have []string
		del  []string
		want []string
	}{
		{"in a wire", []string{"R1 resistor 5,0", "0,0 3,0", "7,0 10,0"}, []string{"R1"}, []string{"0,0 10,0"}},
		{"round a corner", []string{"R1 resistor 5,0", "0,0 3,0", "7,0 7,8"}, []string{"R1"}, []string{"0,0 7,0 7,8"}},
		{"between pins", []string{"R1 resistor 5,0", "R2 resistor 1,0", "R3 resistor 9,0"}, []string{"R1"}, []string{"R2 resistor 1,0", "R3 resistor 9,0", "3,0 7,0"}},
		{"on a rail", []string{"R1 resistor 5,0 90", "0,-2 10,-2", "5,2 5,8"}, []string{"R1"}, []string{"0,-2 10,-2", "5,-2 5,8"}},
		{"two in a row", []string{"R1 resistor 5,0", "R2 resistor 9,0", "0,0 3,0", "11,0 14,0"}, []string{"R1", "R2"}, []string{"0,0 14,0"}},
		{"a wire beside it", []string{"R1 resistor 5,0", "3,0 3,3 7,3 7,0"}, []string{"R1"}, []string{"3,0 3,3 7,3 7,0"}},
		{"one end free", []string{"R1 resistor 5,0", "0,0 3,0"}, []string{"R1"}, []string{"0,0 3,0"}},
		{"three pins", []string{"Q1 npn 5,0", "0,0 3,0", "5,2 5,5"}, []string{"Q1"}, []string{"0,0 3,0", "5,2 5,5"}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			t.Parallel()
			h := draw(t, test.have...)
			h.Select(test.del...)
			h.DeleteAndJoin()
			h.wants(test.want...)
			h.selects()
			h.Undo()
			h.wants(test.have...)
		})
	}
}

// Whatever is taken out, the nets on its two sides are one, and no other two.
func TestDeleteAndJoinJoinsTheTwoNets(t *testing.T) {
	t.Parallel()
	joined := 0
	for seed := range uint64(60) {
		r := rand.New(rand.NewPCG(seed, 8))
		h := randomDrawing(t, r, 5+r.IntN(15))
		for range 4 {
			before := h.history.Diagram()
			p := before.Parts[r.IntN(len(before.Parts))]
			pins := p.PlacedPins()
			if len(pins) != 2 || crowded(before, p) {
				continue
			}
			h.Select(p.Ref)
			h.DeleteAndJoin()
			after := h.history.Diagram()
			was, is := net.Build(before), net.Build(after)
			a, b := others(was, p, pins[0].Name), others(was, p, pins[1].Name)
			if len(a) > 0 && len(b) > 0 {
				joined++
				if x, y := is.Pin(a[0].Ref, a[0].Pin), is.Pin(b[0].Ref, b[0].Pin); x != y {
					t.Fatalf("seed %d: without %s %v and %v are apart\n%v\n%v", seed, p.Ref, a[0], b[0], show(before), show(after))
				}
			}
			if len(is.Nets) < len(was.Nets)-1-len(pins) {
				t.Fatalf("seed %d: without %s there are %d nets, before %d", seed, p.Ref, len(is.Nets), len(was.Nets))
			}
		}
	}
	if joined < 30 {
		t.Errorf("only %d parts lay between others", joined)
	}
}

// crowded reports whether a pin of the part is what joins other things: where it
// stands more than one wire passes without end.
func crowded(d *model.Diagram, p *model.Part) bool {
	for _, pin := range p.PlacedPins() {
		through := 0
		for _, w := range d.Wires {
			if w.Touches(pin.At) && !slices.Contains(w.Points, pin.At) {
				through++
			}
		}
		if through > 1 {
			return true
		}
	}
	return false
}

// others returns the pins of other parts on the net of a pin.
func others(n *net.Netlist, p *model.Part, pin string) []net.PinID {
	return slices.DeleteFunc(slices.Clone(n.Nets[n.Pin(p.Ref, pin)].Pins), func(id net.PinID) bool { return id.Ref == p.Ref })
}

func TestChangeKind(t *testing.T) {
	t.Parallel()
	tests := []struct {
		name, ref, kind string
		have, want      []string
	}{
		{"the same pins", "R1", "lamp", []string{"R1 resistor 5,0", "0,0 3,0", "7,0 10,0"}, []string{"E1 lamp 5,0", "0,0 3,0", "7,0 10,0"}},
		{"named by hand", "Rsense", "inductor", []string{"Rsense resistor 5,0"}, []string{"Rsense inductor 5,0"}},
		{"the number is taken", "R1", "led", []string{"R1 resistor 5,0", "D1 diode 5,9"}, []string{"D2 led 5,0", "D1 diode 5,9"}},
		{"the same letters", "D7", "zener", []string{"D7 diode 5,0 90"}, []string{"D7 zener 5,0 90"}},
		{"the collector stays the collector", "Q1", "pnp", []string{"Q1 npn 5,5", "5,3 5,0", "5,7 5,9", "0,5 3,5"},
			[]string{"Q1 pnp 5,5 180 mirrored", "5,3 5,0", "5,7 5,9", "0,5 3,5"}},
		{"base to gate", "Q1", "pmos", []string{"Q1 pnp 5,5", "5,3 5,0", "0,5 3,5"}, []string{"Q1 pmos 5,5", "5,3 5,0", "0,5 3,5"}},
		{"laid like the old one", "R1", "battery", []string{"R1 resistor 5,0", "0,0 3,0", "7,0 10,0"}, []string{"BT1 battery 5,0 270", "0,0 3,0", "7,0 10,0"}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			t.Parallel()
			h := draw(t, test.have...)
			h.Select(test.ref)
			h.ChangeKind(model.LookupKind(test.kind))
			h.wants(test.want...)
			for ref := range h.Selection().Parts {
				if p := h.Diagram().Part(ref); p.Kind != test.kind {
					t.Errorf("selected is %v", h.Selection())
				}
			}
			h.Undo()
			h.wants(test.have...)
		})
	}
}

// Pins that have a counterpart join what they joined, whatever becomes of what.
func TestChangeKindKeepsJoins(t *testing.T) {
	t.Parallel()
	changed := 0
	for seed := range uint64(80) {
		r := rand.New(rand.NewPCG(seed, 9))
		h := randomDrawing(t, r, 5+r.IntN(12))
		for range 6 {
			before := h.history.Diagram()
			p := before.Parts[r.IntN(len(before.Parts))]
			k := model.LookupKind(kindsOnSheet[r.IntN(len(kindsOnSheet))])
			if crowded(before, p) || k.Name == p.Kind || k.Sign || p.LookupKind().Sign {
				continue
			}
			_, pins := p.Recast(k)
			h.Select(p.Ref)
			h.ChangeKind(k)
			after := h.history.Diagram()
			ref := slices.Collect(maps.Keys(h.Selection().Parts))[0]
			was, is := net.Build(before), net.Build(after)
			for from, to := range pins {
				for _, other := range others(was, p, from) {
					if is.Pin(other.Ref, other.Pin) != is.Pin(ref, to) {
						t.Fatalf("seed %d: %s to %s: %s.%s and %v came apart\n%v\n%v", seed, p.Ref, k.Name, ref, to, other, show(before), show(after))
					}
				}
			}
			if together := grown(without(before, p.Ref), without(after, ref)); together != "" {
				t.Fatalf("seed %d: %s to %s: %s\n%v\n%v", seed, p.Ref, k.Name, together, show(before), show(after))
			}
			changed++
		}
	}
	if changed < 200 {
		t.Errorf("only %d parts were changed", changed)
	}
}

func without(d *model.Diagram, ref string) *model.Diagram {
	f := model.NewDraft(d)
	f.RemovePart(ref)
	return f.Diagram()
}

// What speaks of a part follows its new name.
func TestChangeKindInModes(t *testing.T) {
	t.Parallel()
	h := draw(t, "S1 switch 0,0", "S2 switch 0,9")
	f := model.NewDraft(h.history.Diagram())
	f.AddMode(&model.Mode{Name: "On", Set: map[string]string{"S1": "closed", "S2": "open"}})
	f.AddStep(&model.Step{Text: "{S1.amps}", Lit: []string{"S1"}})
	if err := h.Do(f.Edit("")); err != nil {
		t.Fatal(err)
	}
	h.Select("S1")
	h.ChangeKind(model.LookupKind("fuse"))
	d := h.history.Diagram()
	if got := fmt.Sprint(d.Modes[0].Set, d.Story[0].Text, d.Story[0].Lit); got != "map[S2:open]{F1.amps}[F1]" && got != "map[S2:open] {F1.amps} [F1]" {
		t.Errorf("the mode and the story say %s", got)
	}
}

func TestRenumber(t *testing.T) {
	t.Parallel()
	h := draw(t, "R9 resistor 20,0", "R1 resistor 0,1", "R2 resistor 5,40", "D4 led 30,20", "Rload resistor 0,20", "R3 resistor 10,20", "R100 resistor 3,22")
	f := model.NewDraft(h.history.Diagram())
	f.AddPart(&model.Part{Ref: "R7", Kind: "resistor"})
	f.AddMode(&model.Mode{Name: "On", Set: map[string]string{"R9.x": "a", "R1.x": "b", "D4.x": "c"}})
	f.AddWhatIf(&model.WhatIf{Name: "w", Set: model.Params{"R9.resistance": model.Number(1)}})
	if err := h.Do(f.Edit("")); err != nil {
		t.Fatal(err)
	}
	h.Select("R9", "D4")
	h.Renumber()
	h.wants("R2 resistor 20,0", "R1 resistor 0,1", "R5 resistor 5,40", "D1 led 30,20", "Rload resistor 0,20", "R4 resistor 10,20", "R3 resistor 3,22", "R6 resistor 0,0")
	h.selects("R2", "D1")
	d := h.history.Diagram()
	if got := fmt.Sprint(d.Modes[0].Set); got != "map[D1.x:c R1.x:b R2.x:a]" {
		t.Errorf("the mode sets %s", got)
	}
	if _, ok := d.WhatIfs[0].Set["R2.resistance"]; !ok {
		t.Errorf("the variation sets %v", d.WhatIfs[0].Set)
	}
	revision := h.history.Revision()
	if h.Renumber(); h.history.Revision() != revision {
		t.Error("parts in order were renumbered")
	}
}

func TestAlign(t *testing.T) {
	t.Parallel()
	have := []string{"R1 resistor 0,0", "R2 resistor 5,10", "C1 capacitor 9,21 90", "2,0 3,0 3,10", "7,10 9,10 9,19"}
	tests := []struct {
		name string
		how  tool.Alignment
		want []string
	}{
		{"left", tool.AlignLeft, []string{"R1 resistor 0,0", "R2 resistor 0,10"}},
		{"right", tool.AlignRight, []string{"R1 resistor 8,0", "R2 resistor 8,10"}},
		{"top", tool.AlignTop, []string{"R1 resistor 0,0", "R2 resistor 5,0"}},
		{"bottom", tool.AlignBottom, []string{"R1 resistor 0,23", "R2 resistor 5,23"}},
		{"column", tool.AlignInColumn, []string{"R1 resistor 5,0", "R2 resistor 5,10", "C1 capacitor 5,21 90"}},
		{"row", tool.AlignInRow, []string{"R1 resistor 0,11", "R2 resistor 5,11", "C1 capacitor 9,11 90"}},
		{"across", tool.SpreadAcross, []string{"R1 resistor 0,0", "R2 resistor 4,10", "C1 capacitor 9,21 90"}},
		{"down", tool.SpreadDown, []string{"R1 resistor 0,0", "R2 resistor 5,11", "C1 capacitor 9,21 90"}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			t.Parallel()
			h := draw(t, have...)
			before := h.history.Diagram()
			h.Select("R1", "R2", "C1")
			h.Align(test.how)
			if got := show(h.history.Diagram())[:len(test.want)]; !slices.Equal(got, test.want) {
				t.Errorf("parts are at %v, want %v", got, test.want)
			}
			if d := comeApart(before, h.history.Diagram()) + grown(before, h.history.Diagram()); d != "" {
				t.Errorf("%s: %v", d, show(h.history.Diagram()))
			}
		})
	}
}

// Aligning joins and parts nothing, whatever is aligned.
func TestAlignChangesNoNet(t *testing.T) {
	t.Parallel()
	for seed := range uint64(40) {
		r := rand.New(rand.NewPCG(seed, 10))
		h := randomDrawing(t, r, 5+r.IntN(12))
		for range 8 {
			h.randomSelection(r)
			before := h.history.Diagram()
			how := tool.Alignment(r.IntN(8))
			h.Align(how)
			after := h.history.Diagram()
			if d := comeApart(before, after) + grown(before, after) + unsound(after); d != "" {
				t.Fatalf("seed %d, way %d: %s\n%v\n%v", seed, how, d, show(before), show(after))
			}
		}
	}
}

func TestSelectAlike(t *testing.T) {
	t.Parallel()
	h := draw(t, "R1 resistor 0,0", "R2 resistor 10,0", "GND1 ground 5,4", "D1 led 20,20", "R3 resistor 30,20", "2,0 8,0", "5,0 5,4", "12,0 15,0")
	h.click(3.5, 0)
	h.SelectNet()
	h.selects("#1", "#2", "GND1")
	h.Select("R1")
	h.SelectKind()
	h.selects("R1", "R2", "R3")
}

func TestSetCount(t *testing.T) {
	t.Parallel()
	h := draw(t, "R1 resistor 0,0", "GND1 ground 5,4", "R2 resistor 9,0")
	h.Select("R1", "GND1")
	h.SetCount(1)
	h.SetCount(12)
	h.SetCount(0)
	d := h.history.Diagram()
	if d.Part("R1").Count != 12 || d.Part("GND1").Count != 0 || d.Part("R2").Count != 0 {
		t.Errorf("stacks of %d, %d and %d", d.Part("R1").Count, d.Part("GND1").Count, d.Part("R2").Count)
	}
	h.Undo()
	if h.history.Diagram().Part("R1").Count != 0 {
		t.Error("what is typed figure by figure is not undone at once")
	}
}

// What is passed on the way is neither joined nor left with a wire.
func TestNudgePastAPin(t *testing.T) {
	t.Parallel()
	h := draw(t, "R1 resistor 0,0", "R2 resistor 6,0")
	h.Select("R1")
	for range 5 {
		h.Nudge(pt(0, 1))
		h.Nudge(pt(1, -1))
	}
	h.wants("R1 resistor 5,0", "R2 resistor 6,0")
	h.Undo()
	h.wants("R1 resistor 0,0", "R2 resistor 6,0")
}

func TestNudgeIntoWire(t *testing.T) {
	t.Parallel()
	h := draw(t, "R1 resistor 5,2", "0,0 10,0")
	h.Select("R1")
	h.Nudge(pt(0, -1))
	h.Nudge(pt(0, -1))
	h.wants("R1 resistor 5,0", "0,0 3,0", "7,0 10,0")
	h.Nudge(pt(0, -1))
	h.wants("R1 resistor 5,-1", "0,0 10,0")
}

func TestTurnWhileDragging(t *testing.T) {
	t.Parallel()
	h := draw(t, "R1 resistor 0,0")
	h.begin(0, 0, 5, 5)
	h.Turn()
	h.Move(at(6, 6))
	h.Release(at(6, 6))
	h.wants("R1 resistor 6,6 90")
	h.Undo()
	h.wants("R1 resistor 0,0")
}

// A turned part goes aside where it would join what it lies beside.
func TestTurnJoinsNothing(t *testing.T) {
	t.Parallel()
	h := draw(t, "R1 resistor 0,0", "-5,2 5,2")
	h.Select("R1")
	h.Turn()
	if d := h.history.Diagram(); len(net.Build(d).Nets) != 3 || d.Part("R1").Orient.Turn != 90 {
		t.Errorf("turned, it is %v", show(d))
	}
	h.TurnBack()
	h.wants("R1 resistor 0,0", "-5,2 5,2")
}
