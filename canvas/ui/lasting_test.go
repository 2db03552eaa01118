package ui

import (
	"context"
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"fyne.io/fyne/v2/test"

	"copperglass/analysis"
	"copperglass/analysis/drain"
	"copperglass/analysis/review"
	"copperglass/model"
	"copperglass/model/file"
)

// The card, the page and the discharge tell one time, from one charge, and it
// is that of the discharge's own package.
func TestOneRunTimeEverywhere(t *testing.T) {
	w := openLantern(t)
	w.SetMode("White")
	run, err := drain.Run(context.Background(), w.doc.Diagram(), drain.Options{Mode: "White"})
	if err != nil {
		t.Fatal(err)
	}
	long := lasts(run)
	var card face
	for _, c := range w.strip.cards {
		if c.face.name == "White" {
			card = c.face
		}
	}
	if card.run != long+" from 70 %" || !strings.Contains(card.about, "From 70 % of its charge BT1 lasts "+long) {
		t.Errorf("the card says %q and %q, the discharge %q", card.run, card.about, long)
	}
	for _, ask := range []string{"", "Compare the modes", "How long do the cells last?"} {
		if ask != "" {
			tapText(t, w, ask)
		}
		if said := words(w.inspector.object); !strings.Contains(said, strings.TrimPrefix(long, "about ")) {
			t.Errorf("%s: %q is not said in %q", ask, long, said)
		}
		if ask != "" {
			tapText(t, w, "Back")
		}
	}
}

// From new cells it lasts longer, and the choice says from what.
func TestTheChargeIsChosen(t *testing.T) {
	w := openLantern(t)
	w.SetMode("White")
	tapText(t, w, "How long do the cells last?")
	for _, tt := range []struct{ choice, says string }{
		{"As drawn, 70 % left", "From 70 % of its charge BT1 lasts"}, {"From new cells", "From new cells BT1 lasts"}, {"As drawn, 70 % left", "From 70 % of its charge BT1 lasts"},
	} {
		segmentOf(t, w, tt.choice).choose(tt.choice)
		if said := words(w.inspector.object); !strings.Contains(said, tt.says) {
			t.Errorf("%s: %q is not said in %q", tt.choice, tt.says, said)
		}
	}
}

// The hours of a day are kept in the drawing, and the run goes through them.
func TestADayOfModes(t *testing.T) {
	w := openLantern(t)
	w.SetMode("White")
	tapText(t, w, "How long do the cells last?")
	segmentOf(t, w, "By the day").choose("By the day")
	for name, each := range map[string]string{"Off": "rest", "White": "2 h", "Amber": "1 h"} {
		f := w.inspector.fieldOf(t, name)
		w.focus(f.entry)
		f.entry.SetText(each)
		w.focus(w.surface)
		if got := w.doc.Diagram().Mode(name).EachDay; got != each {
			t.Errorf("%s has %q of the day", name, got)
		}
	}
	day, err := w.doc.Diagram().Day()
	if err != nil || len(day) != 3 || day[0] != (model.Phase{Mode: "Off", Hours: 21}) {
		t.Fatalf("%v, %v", day, err)
	}
	if said := words(w.inspector.object); !strings.Contains(said, "days, until the cells are empty. About 8 h 20 min of it are in White. The light in White") {
		t.Errorf("%q", said)
	}
	f := w.inspector.fieldOf(t, "White")
	w.focus(f.entry)
	f.entry.SetText("often")
	w.focus(w.surface)
	if got := w.doc.Diagram().Mode("White").EachDay; got != "2 h" || f.problem == "" {
		t.Errorf("a wrong time leaves %q and says %q", got, f.problem)
	}
	w.doc.Undo()
	w.doc.Undo()
	w.doc.Undo()
	if day, _ := w.doc.Diagram().Day(); len(day) != 0 {
		t.Errorf("after undoing there is %v", day)
	}
}

// withChip is the run with the light hanging on a chip.
func withChip(run *drain.Discharge) *drain.Discharge {
	run.Ends.WithChip = true
	return run
}

func TestLastingWords(t *testing.T) {
	t.Parallel()
	nan := math.NaN()
	run := func(stop drain.Stop, last, half, brown, end, charge float64, day ...model.Phase) *drain.Discharge {
		return &drain.Discharge{Battery: "BT1", Mode: "Lit", Day: day, ChargeLeft: charge, Stop: stop, Points: []drain.Point{{}, {Hours: last}},
			Ends: drain.Ends{HalfLight: half, BrownOut: brown, EndPoint: end}}
	}
	for _, tt := range []struct {
		run        *drain.Discharge
		now        float64
		card, says string
	}{
		{nil, nan, "", ""},
		{run(drain.Empty, 9.1, 3.6, nan, nan, 0.7), 3.2, "about 9 h 10 min from 70 %",
			"From 70 % of its charge BT1 lasts about 9 h 10 min, until the cells are empty. The light is down to half after about 3 h 40 min. At the present current it would be about 3 h 10 min."},
		{run(drain.Empty, 30, nan, nan, 20, 1), nan, "about 20 h from new cells", "From new cells BT1 lasts about 20 h, until the cells reach their end point."},
		{run(drain.Horizon, 87660, nan, nan, nan, 1), 1e6, "for years from new cells", "From new cells BT1 lasts for years, by which cells have leaked away what they hold."},
		{run(drain.Empty, 60, 40, nan, nan, 0.5, model.Phase{Mode: "Lit", Hours: 2}), nan, "about 2.5 days from 50 %",
			"From 50 % of its charge BT1 lasts about 2.5 days, until the cells are empty. About 5 h of it are in Lit. The light in Lit is down to half after about 1.7 days."},
		{withChip(run(drain.Empty, 60, 20, 20, nan, 1)), nan, "about 20 h from new cells", "From new cells BT1 lasts about 20 h, until a chip's supply falls below what it needs. The light ends with the chip."},
		{run(drain.Empty, 60, nan, 0, nan, 0.5), nan, "chip does not run", "From 50 % of its charge the chip does not run."},
	} {
		if card, _ := cardLasts(tt.run); card != tt.card {
			t.Errorf("the card says %q, want %q", card, tt.card)
		}
		if says := lastingWords(tt.run, tt.now); says != tt.says {
			t.Errorf("%q, want %q", says, tt.says)
		}
	}
}

// A row of the table of modes has a figure for each, and none where nothing has.
func TestModeRows(t *testing.T) {
	t.Parallel()
	modes := []analysis.ModeSummary{
		{Name: "Off", SupplyCurrent: 1e-6, SupplyPower: 3e-6, RunTime: math.NaN(), Loads: map[string]analysis.Load{"D1": {Current: 1e-13, Power: 1e-13}}},
		{Name: "On", SupplyCurrent: 0.02, SupplyPower: 0.06, RunTime: math.NaN(), Loads: map[string]analysis.Load{"D1": {Current: 0.02, Power: 0.04}}, Hottest: "R1", HottestPower: 0.02,
			Result: &analysis.Result{Parts: map[string]*analysis.PartResult{"R1": {Count: 6}}}},
	}
	var said []string
	strain := func(mode string) review.Strain {
		return map[string]review.Strain{"On": {Part: "R1", Share: 1.6, Of: "power"}}[mode]
	}
	for _, r := range modeRows(modes, func(string) *drain.Discharge { return nil }, strain) {
		said = append(said, r.name+": "+strings.Join(r.figures, " | "))
	}
	want := "Supply: 1.00 µA | 20.0 mA; in power: 3.00 µW | 60.0 mW; D1: – | 20.0 mA; in power: – | 40.0 mW; Most heat: – | R1, each; which is: – | 20.0 mW; Strained: – | R1; to: – | 160 %"
	if got := strings.Join(said, "; "); got != want {
		t.Errorf("%s\nwant %s", got, want)
	}
}

// The guess on which the most hangs heads the list, with what it could do.
func TestGuessesAreRanked(t *testing.T) {
	w := openLantern(t)
	said := words(w.inspector.object)
	first, other := strings.Index(said, "R2 2.2 kΩ Measure it first: its resistance 50 % off"), strings.Index(said, "C1 100 nF")
	if first < 0 || other < first {
		t.Errorf("%q", said)
	}
	w.press("o")
	f := w.foundIn(t)
	if !strings.HasPrefix(f.shown[0].title, "R2 ") || f.shown[0].end != "measure first" || !strings.Contains(f.shown[0].detail, "its resistance 50 % off") {
		t.Errorf("the list of open points begins with %+v", f.shown[0])
	}
}

// What changes from mode to mode is marked from the strip, too.
func TestTheStripMarksWhatChanges(t *testing.T) {
	w := openLantern(t)
	if said := words(w.strip.object); !strings.Contains(said, "mark what changes") {
		t.Fatalf("the strip says %q", said)
	}
	for _, marked := range []bool{true, false} {
		test.Tap(w.strip.change)
		if w.settings.changes != marked || strings.HasPrefix(w.strip.marked.Text, "✓") != marked {
			t.Errorf("marked %v, and the strip says %q", w.settings.changes, w.strip.marked.Text)
		}
	}
}

// A large drawing's cells are followed once it rests, and in the shown mode
// alone; those of one too large only when somebody asks.
func TestLargeDrawingsAreFollowedAtRest(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		parts        int
		moving, rest string // in which modes the runs are known
	}{{aloneFrom, "Dark Lit", "Dark Lit"}, {aloneFrom + 1, "", "Lit"}, {askedFrom + 1, "", ""}} {
		d := &model.Diagram{
			Parts: []*model.Part{{Ref: "BT1", Kind: "battery", Value: "LR6", Tags: map[string]string{"+": "p", "-": "GND"}},
				{Ref: "S1", Kind: "switch", Tags: map[string]string{"1": "p", "2": "q"}}, {Ref: "R1", Kind: "resistor", Value: "100", Tags: map[string]string{"1": "q", "2": "GND"}}},
			Modes: []*model.Mode{{Name: "Dark", Set: map[string]string{"S1": "open"}}, {Name: "Lit", Set: map[string]string{"S1": "closed"}}},
		}
		for i := len(d.Parts); i < tt.parts; i++ {
			d.Parts = append(d.Parts, &model.Part{Ref: fmt.Sprint("N", i), Kind: "annotation"})
		}
		doc := NewDocument(d, "", time.Minute)
		doc.SetMode("Lit")
		var rests func()
		in := &inspector{doc: doc, drawn: map[string]float64{}}
		in.rest = resting{later: func(_ time.Duration, f func()) func() { rests = f; return func() {} }, ready: func() {}}
		in.studies = newStudies(doc, func() {})
		known := func() string {
			var names []string
			for _, mode := range []string{"Dark", "Lit"} {
				if in.lasting(mode) != nil {
					names = append(names, mode)
				}
			}
			return strings.Join(names, " ")
		}
		if got := known(); got != tt.moving {
			t.Errorf("%d parts: before it rests the runs of %q are known, want %q", tt.parts, got, tt.moving)
		}
		if rests != nil {
			rests()
		}
		if got := known(); got != tt.rest {
			t.Errorf("%d parts: at rest the runs of %q are known, want %q", tt.parts, got, tt.rest)
		}
	}
}

// Two batteries apart each have a life of their own, in words, in rows and in what
// can be asked, and the light is told with the one that it hangs on.
func TestBatteriesApart(t *testing.T) {
	w := newTestWindow(t)
	d, err := file.Decode(strings.NewReader(`{"format": "copperglass", "version": 1, "parts": [
		{"ref": "BT1", "kind": "battery", "value": "2 × LR6", "tags": {"+": "p", "-": "GND"}},
		{"ref": "R1", "kind": "resistor", "value": "30", "tags": {"1": "p", "2": "GND"}},
		{"ref": "BT2", "kind": "battery", "value": "6LR61", "tags": {"+": "q", "-": "GND"}},
		{"ref": "R2", "kind": "resistor", "value": "470", "tags": {"1": "q", "2": "x"}},
		{"ref": "D1", "kind": "led", "value": "red", "tags": {"A": "x", "K": "GND"}}]}`))
	if err != nil {
		t.Fatal(err)
	}
	w.doc.Replace(d, "")
	w.paint()
	said := words(w.inspector.object)
	for _, text := range []string{"BT1 lasts, from new cells", "BT2 lasts, from new cells", "Half the light, on BT2", "What sets how long BT1 lasts?", "What sets how long BT2 lasts?"} {
		if !strings.Contains(said, text) {
			t.Errorf("%q is not said in %q", text, said)
		}
	}
	run := w.inspector.lasting("")
	if run == nil {
		t.Fatal("no run is known")
	}
	for _, text := range []string{"From new cells BT1 lasts about 3", " BT2 lasts about 4", "The light hangs on BT2 and is down to half after about 4"} {
		if says := lastingWords(run, 26); !strings.Contains(says, text) || strings.Contains(says, "present current") {
			t.Errorf("%q is not said in %q", text, says)
		}
	}
	tapText(t, w, "How long do the cells last?")
	if said := words(w.inspector.object); strings.Contains(said, "times as bright") || strings.Contains(said, "of that light") || strings.Contains(said, "Half its light") || !strings.Contains(said, "zinc-carbon") {
		t.Errorf("%q", said)
	}
	tapText(t, w, "Back")
	tapText(t, w, "What sets how long BT2 lasts?")
	if said := words(w.inspector.object); !strings.Contains(said, "how long BT2 lasts") && !strings.Contains(said, "How long BT2 lasts") {
		t.Errorf("%q", said)
	}
}
