package file_test

import (
	"bytes"
	"errors"
	"flag"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"copperglass/model"
	"copperglass/model/file"
	"copperglass/model/geom"
)

var update = flag.Bool("update", false, "rewrite the golden files")

func encode(t testing.TB, d *model.Diagram) string {
	t.Helper()
	var b bytes.Buffer
	if err := file.Encode(&b, d); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// Each *.in becomes the *.cglass of its name, which stays as it is. It does not
// run in parallel, because others read what it may rewrite.
func TestCanonicalLayout(t *testing.T) {
	inputs, err := filepath.Glob("testdata/*.in")
	if err != nil || len(inputs) == 0 {
		t.Fatal("no inputs", err)
	}
	for _, input := range inputs {
		d, err := file.Load(input)
		if err != nil {
			t.Fatal(err)
		}
		got, golden := encode(t, d), strings.TrimSuffix(input, ".in")+".cglass"
		if *update {
			if err := os.WriteFile(golden, []byte(got), 0o666); err != nil {
				t.Fatal(err)
			}
		}
		want, err := os.ReadFile(golden)
		if err != nil {
			t.Fatal(err)
		}
		if got != string(want) {
			t.Errorf("%s became\n%s", input, got)
		}
		again, err := decode(got)
		if err != nil {
			t.Fatal(err)
		}
		if encode(t, again) != got {
			t.Errorf("%s: a canonical file does not stay as it is", golden)
		}
	}
}

// changedLines counts the lines of b that are not in a, line by line from both
// ends.
func changedLines(a, b string) int {
	x, y := strings.Split(a, "\n"), strings.Split(b, "\n")
	for len(x) > 0 && len(y) > 0 && x[0] == y[0] {
		x, y = x[1:], y[1:]
	}
	for len(x) > 0 && len(y) > 0 && x[len(x)-1] == y[len(y)-1] {
		x, y = x[:len(x)-1], y[:len(y)-1]
	}
	return max(len(x), len(y))
}

func TestAnEditOfOnePartChangesFewLines(t *testing.T) {
	t.Parallel()
	before, err := file.Load("testdata/full.cglass")
	if err != nil {
		t.Fatal(err)
	}
	edits := map[string]func(p *model.Part){
		"value":     func(p *model.Part) { p.Value = "10k" },
		"place":     func(p *model.Part) { p.At = geom.Pt(100, 100) },
		"turn":      func(p *model.Part) { p.Orient.Turn = 180 },
		"doubt":     func(p *model.Part) { p.Doubt = model.Measured },
		"parameter": func(p *model.Part) { p.Params = model.Params{"resistance": model.Number(12)} },
		"tag":       func(p *model.Part) { p.Tags = map[string]string{"2": "out"} },
	}
	for name, edit := range edits {
		f := model.NewDraft(before)
		p := before.Part("R1").Clone()
		edit(p)
		f.SetPart("R1", p)
		if n := changedLines(encode(t, before), encode(t, f.Diagram())); n != 1 {
			t.Errorf("a new %s changes %d lines", name, n)
		}
	}
	f := model.NewDraft(before)
	f.RemovePart("R1")
	if n := changedLines(encode(t, f.Diagram()), encode(t, before)); n > 20 {
		t.Errorf("taking a part away changes %d lines", n)
	}
}

// What has lost its object is left out, so that the file can be opened.
func TestDanglingTagsAndSettingsAreLeftOut(t *testing.T) {
	t.Parallel()
	d := &model.Diagram{
		Parts: []*model.Part{
			{Ref: "R1", Kind: "resistor", Tags: map[string]string{"1": "a", "B": "b", "2": ""}},
			{Ref: "IC1", Kind: "chip", Pins: []model.ChipPin{{Number: "1", Role: "output"}}},
			{Ref: "S1", Kind: "switch"},
		},
		Modes: []*model.Mode{{Name: "On", Set: map[string]string{
			"IC1.1": "high", "IC1.2": "high", "IC2.1": "low", "S1": "closed", "S2": "open", "R1": "closed", "S1.1": "low",
		}}},
	}
	back, err := decode(encode(t, d))
	if err != nil {
		t.Fatal(err)
	}
	if tags := back.Part("R1").Tags; len(tags) != 1 || tags["1"] != "a" {
		t.Errorf("tags are %v", tags)
	}
	if set := back.Modes[0].Set; len(set) != 2 || set["IC1.1"] != "high" || set["S1"] != "closed" {
		t.Errorf("the mode sets %v", set)
	}
}

func TestWhatCannotBeReadIsNotWritten(t *testing.T) {
	t.Parallel()
	part := func(edit func(*model.Part)) *model.Diagram {
		p := &model.Part{Ref: "R1", Kind: "resistor"}
		edit(p)
		return &model.Diagram{Parts: []*model.Part{p}}
	}
	tests := []struct {
		d    *model.Diagram
		want string
	}{
		{part(func(p *model.Part) { p.Ref = "" }), "parts[0].ref: the part has no ref, such as R1"},
		{part(func(p *model.Part) { p.Kind = "resitor" }), `parts[0].kind: "resitor" is not a kind of part; perhaps resistor is meant`},
		{part(func(p *model.Part) { p.Note = strings.Repeat("ä", file.MaxText+1) }), "parts[0].note: the text has more than 4096 characters, which is the most allowed"},
		{part(func(p *model.Part) { p.Count = file.MaxCount + 1 }), "parts[0].count: 10001 is not from 1 to 10000"},
		{part(func(p *model.Part) { p.Params = model.Params{"resistance": model.Number(math.NaN())} }), "parts[0].params.resistance: null stands where a number, a word, true or false is expected"},
		{part(func(p *model.Part) { p.Params = model.Params{"resistance": model.Number(math.Inf(1))} }), "parts[0].params.resistance: null stands where a number, a word, true or false is expected"},
		{part(func(p *model.Part) { p.Extra = []model.Extra{{Key: "ref", Raw: `"R2"`}} }), `parts[0].ref: the key "ref" stands twice in one object`},
		{&model.Diagram{Wires: []*model.Wire{{Points: []geom.Point{{X: 1, Y: 1}}}}}, "wires[0].points: a wire needs two points or more, but this one has 1"},
		{&model.Diagram{Extra: []model.Extra{{Key: "later", Raw: "{"}}}, "line 1, column 58: the file breaks off here; the rest of the JSON is missing"},
	}
	for _, test := range tests {
		var b bytes.Buffer
		err := file.Encode(&b, test.d)
		var faults file.Errors
		if !errors.As(err, &faults) || len(faults) != 1 || faults[0].Error() != test.want {
			t.Errorf("got %v, want %s", err, test.want)
		}
		if b.Len() > 0 {
			t.Errorf("%s: something was written all the same", test.want)
		}
	}
}

// Whatever a file holds, what is made of it stays as it is from then on.
func FuzzDecode(f *testing.F) {
	for _, pattern := range []string{"testdata/*.in", "testdata/*.cglass"} {
		paths, err := filepath.Glob(pattern)
		if err != nil {
			f.Fatal(err)
		}
		for _, path := range paths {
			text, err := os.ReadFile(path)
			if err != nil {
				f.Fatal(err)
			}
			f.Add(text)
		}
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		d, err := file.Decode(bytes.NewReader(text))
		if err != nil {
			var faults file.Errors
			if d != nil || !errors.As(err, &faults) || len(faults) == 0 {
				t.Fatalf("diagram %v with error %v", d, err)
			}
			return
		}
		once := encode(t, d)
		again, err := decode(once)
		if err != nil {
			t.Fatalf("what was written cannot be read: %v\n%s", err, once)
		}
		if twice := encode(t, again); twice != once {
			t.Fatalf("written once:\n%s\ntwice:\n%s", once, twice)
		}
	})
}
