package file_test

import (
	"errors"
	"fmt"
	"math"
	"runtime"
	"strconv"
	"strings"
	"testing"

	"copperglass/model"
	"copperglass/model/file"
	"copperglass/model/geom"
)

func decode(text string) (*model.Diagram, error) { return file.Decode(strings.NewReader(text)) }

// in wraps the members of a drawing.
func in(members string) string {
	return `{"format": "copperglass", "version": 1, ` + members + `}`
}

// resistor is a drawing of one resistor with those members.
func resistor(members string) string {
	return in(`"parts": [{"ref": "R1", "kind": "resistor", ` + members + `}]`)
}

func TestDecode(t *testing.T) {
	t.Parallel()
	d, err := decode(in(`
		"title": "Lamp",
		"params": {"temperature": 300},
		"parts": [
			{"kind": "resistor", "ref": "R1", "at": [4, -6], "turn": 270, "mirror": true, "value": "4k7", "marking": "472",
			 "doubt": "read", "count": 3, "note": "by the edge", "params": {"tolerance": 5e-2}, "tags": {"1": "a"}},
			{"ref": "IC1", "kind": "chip", "pins": [{"number": "1", "name": "VCC", "role": "supply", "side": "top"}]},
			{"ref": "S1", "kind": "switch", "params": {"state": "closed"}},
			{"ref": "Q1", "kind": "nmos", "params": {"body_diode": false}}
		],
		"wires": [{"points": [[0, 0], [4, 0], [4, 8]], "tag": "a", "doubt": "guessed"}],
		"modes": [{"name": "On", "set": {"S1": "closed", "IC1.1": "high"}, "each_day": "2 h", "note": "lit"}]`))
	if err != nil {
		t.Fatal(err)
	}
	r1 := d.Part("R1")
	tolerance, _ := r1.Params["tolerance"].Num()
	checks := map[string]bool{
		"title":   d.Title == "Lamp",
		"params":  d.Params["temperature"].Same(model.Number(300)),
		"at":      r1.Placed && r1.At == geom.Pt(4, -6),
		"orient":  r1.Orient == geom.Orientation{Turn: 270, Mirror: true},
		"texts":   r1.Value == "4k7" && r1.Marking == "472" && r1.Note == "by the edge",
		"doubt":   r1.Doubt == model.Read,
		"count":   r1.Count == 3,
		"number":  tolerance == 0.05,
		"written": r1.Params["tolerance"].String() == "5e-2",
		"tags":    len(r1.Tags) == 1 && r1.Tags["1"] == "a",
		"pins":    fmt.Sprint(d.Part("IC1").Pins) == fmt.Sprint([]model.ChipPin{{Number: "1", Name: "VCC", Role: "supply", Side: "top"}}),
		"word":    d.Part("S1").Params["state"] == model.Word("closed"),
		"flag":    d.Part("Q1").Params["body_diode"] == model.Flag(false),
		"no at":   !d.Part("S1").Placed,
		"wire":    d.Wires[0].ID == 1 && d.Wires[0].Tag == "a" && d.Wires[0].Doubt == model.Guessed && len(d.Wires[0].Points) == 3,
		"mode":    d.Modes[0].Name == "On" && d.Modes[0].Note == "lit" && d.Modes[0].EachDay == "2 h" && d.Modes[0].Set["S1"] == "closed" && d.Modes[0].Set["IC1.1"] == "high",
	}
	for name, ok := range checks {
		if !ok {
			t.Errorf("%s was not read as it stands", name)
		}
	}
}

// Each drawing has exactly the fault that is given.
func TestDecodeFaults(t *testing.T) {
	t.Parallel()
	long := strings.Repeat("x", file.MaxText+1)
	tests := []struct{ name, text, want string }{
		{"empty", "", "line 1, column 1: the file is empty"},
		{"blank", " \n ", "line 1, column 1: the file is empty"},
		{"truncated", "{\n  \"format\": \"copperglass\",\n  \"parts\": [", "line 3, column 13: the file breaks off here; the rest of the JSON is missing"},
		{"truncated text", `{"format": "copp`, "line 1, column 17: the file breaks off here; the rest of the JSON is missing"},
		{"not JSON", "{\n  \"format\": copperglass\n}", "line 2, column 13: this is not JSON: invalid character 'c' looking for beginning of value"},
		{"two values", "{} {}", "line 1, column 4: this is not JSON: invalid character '{' after top-level value"},
		{"NaN", resistor(`"params": {"resistance": NaN}`), "line 1, column 110: this is not JSON: invalid character 'N' looking for beginning of value"},
		{"Latin-1", "{\"title\": \"caf\xe9\"}", "line 1, column 15: the file is not UTF-8 text; save it as UTF-8"},
		{"nested", strings.Repeat("[", 10_000) + strings.Repeat("]", 10_000), "line 1, column 101: lists and objects are nested more than 100 deep"},
		{"nested and open", strings.Repeat(`{"a":`, 1<<20), "line 1, column 501: lists and objects are nested more than 100 deep"},
		{"a list", "[]", "a drawing is an object, but this file holds a list"},
		{"no format", `{"version": 1}`, `format: this is not a drawing, which has "copperglass" here`},
		{"another format", `{"format": "glass", "version": 1}`, `format: this is not a drawing, which has "copperglass" here and not "glass"`},
		{"format a number", `{"format": 1, "version": 1}`, `format: this is not a drawing, which has "copperglass" here and not 1`},
		{"no version", `{"format": "copperglass"}`, `version: the version is missing, which should be 1`},
		{"a later version", `{"format": "copperglass", "version": 2, "parts": 7}`, "version: the drawing is of version 2, but this program reads up to version 1; it takes a newer program to open it"},
		{"no version yet", `{"format": "copperglass", "version": 0}`, "version: 0 is not from 1 to 1000000"},
		{"version a word", `{"format": "copperglass", "version": "1"}`, "version: text stands where a whole number is expected"},
		{"a key twice", in(`"title": "a", "title": "b"`), `title: the key "title" stands twice in one object`},
		{"a key twice in disguise", resistor(`"\u0072ef": "R2"`), `parts[0].ref: the key "ref" stands twice in one object`},
		{"an unknown key twice", in(`"later": 1, "later": 2`), `later: the key "later" stands twice in one object`},
		{"title a number", in(`"title": 7`), "title: a number stands where text is expected"},
		{"parts by name", in(`"parts": {"R1": {}}`), "parts: an object stands where a list is expected"},
		{"a part a word", in(`"parts": ["R1"]`), "parts[0]: text stands where an object is expected"},
		{"no ref", in(`"parts": [{"kind": "resistor"}]`), "parts[0].ref: the part has no ref, such as R1"},
		{"a dot in the ref", in(`"parts": [{"ref": "R.1", "kind": "resistor"}]`), `parts[0].ref: "R.1" is not a ref: it may hold no dot and no space`},
		{"a reserved ref", in(`"parts": [{"ref": "drawing", "kind": "resistor"}]`), `parts[0].ref: "drawing" cannot be a ref, because it names something else`},
		{"a ref twice", in(`"parts": [{"ref": "R1", "kind": "resistor"}, {"ref": "r1", "kind": "led"}]`), `parts[1].ref: "r1" is the ref of parts[0] already; every part needs one of its own`},
		{"no kind", in(`"parts": [{"ref": "R1"}]`), "parts[0].kind: the part has no kind, such as battery"},
		{"a misspelt kind", in(`"parts": [{"ref": "R1", "kind": "resitor"}]`), `parts[0].kind: "resitor" is not a kind of part; perhaps resistor is meant`},
		{"a kind in capitals", in(`"parts": [{"ref": "D1", "kind": "LED"}]`), `parts[0].kind: "LED" is not a kind of part; perhaps led is meant`},
		{"half a point", resistor(`"at": [1]`), "parts[0].at: a point is a list of two whole numbers, such as [4, 6]"},
		{"a point too deep", resistor(`"at": [1, 2, 3]`), "parts[0].at: a point is a list of two whole numbers, such as [4, 6]"},
		{"at a word", resistor(`"at": "here"`), "parts[0].at: a point is a list of two whole numbers, such as [4, 6]"},
		{"off the grid", resistor(`"at": [1, 2.5]`), "parts[0].at[1]: 2.5 is not a whole number"},
		{"far out", resistor(`"at": [-1000001, 0]`), "parts[0].at[0]: -1000001 is not from -1000000 to 1000000"},
		{"very far out", resistor(`"at": [1e300, 0]`), "parts[0].at[0]: 1e300 is not from -1000000 to 1000000"},
		{"a slant", resistor(`"turn": 45`), "parts[0].turn: a part is turned by 0, 90, 180 or 270 degrees, not by 45"},
		{"a turn too far", resistor(`"turn": 360`), "parts[0].turn: 360 is not from 0 to 270"},
		{"turn a word", resistor(`"turn": "90"`), "parts[0].turn: text stands where a whole number is expected"},
		{"mirror a number", resistor(`"mirror": 1`), "parts[0].mirror: a number stands where true or false is expected"},
		{"an unknown doubt", resistor(`"doubt": "sure"`), `parts[0].doubt: "sure" should be measured, read or guessed`},
		{"doubt a number", resistor(`"doubt": 1`), "parts[0].doubt: a number stands where text is expected"},
		{"value a number", resistor(`"value": 4700`), "parts[0].value: a number stands where text is expected"},
		{"a stack of 0", resistor(`"count": 0`), "parts[0].count: 0 is not from 1 to 10000"},
		{"a stack of -1", resistor(`"count": -1`), "parts[0].count: -1 is not from 1 to 10000"},
		{"a stack of a billion", resistor(`"count": 1000000000`), "parts[0].count: 1000000000 is not from 1 to 10000"},
		{"half a stack", resistor(`"count": 1.5`), "parts[0].count: 1.5 is not a whole number"},
		{"stack of a word", resistor(`"count": "3"`), "parts[0].count: text stands where a whole number is expected"},
		{"a long label", resistor(`"value": "` + long + `"`), "parts[0].value: the text has more than 4096 characters, which is the most allowed"},
		{"a label of 1 MB", resistor(`"note": "` + strings.Repeat("x", 1<<20) + `"`), "parts[0].note: the text has more than 4096 characters, which is the most allowed"},
		{"params a list", resistor(`"params": [1]`), "parts[0].params: a list stands where an object is expected"},
		{"a typed resistance", resistor(`"params": {"resistance": "4k7"}`), `parts[0].params.resistance: "4k7" stands where a number in Ω is expected`},
		{"NaN in words", resistor(`"params": {"resistance": "NaN"}`), `parts[0].params.resistance: "NaN" stands where a number in Ω is expected`},
		{"beyond float64", resistor(`"params": {"resistance": 1e999}`), "parts[0].params.resistance: 1e999 is too large a number"},
		{"a long number", resistor(`"params": {"resistance": 1` + strings.Repeat("0", 100) + `}`), "parts[0].params.resistance: the number is written with more than 64 characters"},
		{"no resistance", resistor(`"params": {"resistance": null}`), "parts[0].params.resistance: null stands where a number, a word, true or false is expected"},
		{"an unknown list", resistor(`"params": {"x": [1]}`), "parts[0].params.x: a list stands where a number, a word, true or false is expected"},
		{"state a flag", in(`"parts": [{"ref": "S1", "kind": "switch", "params": {"state": true}}]`), `parts[0].params.state: "true" stands where one of the words open or closed is expected`},
		{"flag a number", in(`"parts": [{"ref": "Q1", "kind": "nmos", "params": {"body_diode": 1}}]`), `parts[0].params.body_diode: "1" stands where true or false is expected`},
		{"a warm drawing", in(`"params": {"temperature": "25 °C"}`), `params.temperature: "25 °C" stands where a number in K is expected`},
		{"a pin too many", resistor(`"tags": {"3": "a"}`), `parts[0].tags.3: "R1", of kind resistor, has no pin "3"`},
		{"a pin of another kind", in(`"parts": [{"ref": "Q1", "kind": "npn", "tags": {"G": "a"}}]`), `parts[0].tags.G: "Q1", of kind npn, has no pin "G"`},
		{"a tag of a number", resistor(`"tags": {"1": 0}`), "parts[0].tags.1: a number stands where text is expected"},
		{"a chip's pin twice", in(`"parts": [{"ref": "IC1", "kind": "chip", "pins": [{"number": "1"}, {"number": "1"}]}]`), `parts[0].pins[1].number: pin "1" is there already, as pins[0]`},
		{"a pin unnumbered", in(`"parts": [{"ref": "IC1", "kind": "chip", "pins": [{"name": "OUT"}]}]`), "parts[0].pins[0].number: the pin has no number"},
		{"an unknown role", in(`"parts": [{"ref": "IC1", "kind": "chip", "pins": [{"number": "1", "role": "power"}]}]`), `parts[0].pins[0].role: "power" should be supply, ground, output, open_drain, input or none`},
		{"an unknown side", in(`"parts": [{"ref": "IC1", "kind": "chip", "pins": [{"number": "1", "side": "north"}]}]`), `parts[0].pins[0].side: "north" should be left, right, top or bottom`},
		{"a wire of one point", in(`"wires": [{"points": [[0, 0]]}]`), "wires[0].points: a wire needs two points or more, but this one has 1"},
		{"a wire of none", in(`"wires": [{}]`), "wires[0].points: a wire needs two points or more, but this one has 0"},
		{"a wire a list", in(`"wires": [[[0, 0], [1, 0]]]`), "wires[0]: a list stands where an object is expected"},
		{"a wire to nowhere", in(`"wires": [{"points": [[0, 0], "R1"]}]`), "wires[0].points[1]: a point is a list of two whole numbers, such as [4, 6]"},
		{"a mode unnamed", in(`"modes": [{"set": {}}]`), "modes[0].name: the mode has no name"},
		{"a mode twice", in(`"modes": [{"name": "On"}, {"name": "On"}]`), `modes[1].name: there is a mode "On" already`},
		{"a mode each now and then", in(`"modes": [{"name": "On", "each_day": "often"}]`), `modes[0].each_day: "often" is no time of the day; write it as 2 h, 15 min or rest`},
		{"a mode of no part", in(`"modes": [{"name": "On", "set": {"S1": "closed"}}]`), `modes[0].set.S1: there is no part "S1"`},
		{"a mode of a stateless part", in(`"parts": [{"ref": "R1", "kind": "resistor"}], "modes": [{"name": "On", "set": {"R1": "closed"}}]`), `modes[0].set.R1: "R1", of kind resistor, has no state to set`},
		{"a switch ajar", in(`"parts": [{"ref": "S1", "kind": "switch"}], "modes": [{"name": "On", "set": {"S1": "ajar"}}]`), `modes[0].set.S1: "ajar" should be open or closed`},
		{"a switch's pin", in(`"parts": [{"ref": "S1", "kind": "switch"}], "modes": [{"name": "On", "set": {"S1.1": "high"}}]`), `modes[0].set.S1.1: "S1", of kind switch, has no pin "1" to set`},
		{"no such pin to set", in(`"parts": [{"ref": "IC1", "kind": "chip", "pins": [{"number": "1"}]}], "modes": [{"name": "On", "set": {"IC1.2": "high"}}]`), `modes[0].set.IC1.2: "IC1", of kind chip, has no pin "2" to set`},
		{"no such level", in(`"parts": [{"ref": "IC1", "kind": "chip", "pins": [{"number": "1"}]}], "modes": [{"name": "On", "set": {"IC1.1": "closed"}}]`), `modes[0].set.IC1.1: "closed" should be high, low or off`},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			t.Parallel()
			d, err := decode(test.text)
			var faults file.Errors
			if d != nil || !errors.As(err, &faults) {
				t.Fatalf("diagram %v, error %v", d, err)
			}
			if len(faults) != 1 || faults[0].Error() != test.want {
				t.Errorf("faults:\n%q\nwant:\n%q", faults, test.want)
			}
		})
	}
}

func TestAllFaultsAtOnceInOrder(t *testing.T) {
	t.Parallel()
	parts := strings.Repeat(`{"ref": "", "kind": "resistor", "turn": 1}, `, 10) + `{"ref": "R1", "kind": "?"}`
	_, err := decode(in(`"wires": [{}], "parts": [` + parts + `]`))
	var faults file.Errors
	if !errors.As(err, &faults) {
		t.Fatal(err)
	}
	var paths []string
	for _, f := range faults {
		paths = append(paths, f.Path)
	}
	var want []string
	for i := range 10 {
		want = append(want, fmt.Sprintf("parts[%d].ref", i), fmt.Sprintf("parts[%d].turn", i))
	}
	want = append(want, "parts[10].kind", "wires[0].points")
	if fmt.Sprint(paths) != fmt.Sprint(want) {
		t.Errorf("faults at %v, want %v", paths, want)
	}
	if !strings.HasSuffix(err.Error(), "(and 21 more)") {
		t.Errorf("the error does not count the others: %v", err)
	}
}

// A person must be able to open such a drawing and mend it; the analysis
// reports the quantity.
func TestQuantitiesOutOfRangeAreRead(t *testing.T) {
	t.Parallel()
	for _, text := range []string{
		resistor(`"params": {"resistance": -47}`),
		resistor(`"params": {"resistance": 1e30}`),
		resistor(`"value": "4k7k"`),
		resistor(`"params": {"never_heard_of": "anything"}`),
		in(`"parts": [{"ref": "S1", "kind": "switch", "params": {"state": "ajar"}}]`),
	} {
		d, err := decode(text)
		if err != nil {
			t.Errorf("%s: %v", text, err)
			continue
		}
		if _, problems := d.Resolve(d.Parts[0], nil); len(problems) == 0 && !strings.Contains(text, "never_heard_of") {
			t.Errorf("%s: nothing is reported", text)
		}
	}
}

// many returns n items, each made from its number.
func many(n int, item string) string {
	var b strings.Builder
	for i := range n {
		if i > 0 {
			b.WriteByte(',')
		}
		b.WriteString(strings.ReplaceAll(item, "#", strconv.Itoa(i)))
	}
	return b.String()
}

func TestLimits(t *testing.T) {
	t.Parallel()
	const (
		part = `{"ref": "R#", "kind": "resistor"}`
		wire = `{"points": [[0, 0], [1, 0]]}`
		mode = `{"name": "#"}`
		pin  = `{"number": "#"}`
	)
	chip := func(n int) string {
		return in(`"parts": [{"ref": "IC1", "kind": "chip", "pins": [` + many(n, pin) + `]}]`)
	}
	tests := []struct{ name, most, more, want string }{
		{"parts", in(`"parts": [` + many(file.MaxParts, part) + `]`), in(`"parts": [` + many(file.MaxParts+1, part) + `]`),
			"parts: the list has more than 200000 items, which is the most allowed"},
		{"wires", in(`"wires": [` + many(file.MaxWires, wire) + `]`), in(`"wires": [` + many(file.MaxWires+1, wire) + `]`),
			"wires: the list has more than 400000 items, which is the most allowed"},
		{"modes", in(`"modes": [` + many(file.MaxModes, mode) + `]`), in(`"modes": [` + many(file.MaxModes+1, mode) + `]`),
			"modes: the list has more than 1000 items, which is the most allowed"},
		{"pins", chip(file.MaxChipPins), chip(file.MaxChipPins + 1),
			"parts[0].pins: the list has more than 2000 items, which is the most allowed"},
		{"entries", in(`"wires": [{"points": [` + many(file.MaxEntries-5, "[0,0]") + `]}]`), in(`"wires": [{"points": [` + many(file.MaxEntries, "[0,0]") + `]}]`),
			"wires[0].points: the drawing holds more than 4000000 keys and values"},
	}
	for _, test := range tests {
		if _, err := decode(test.most); err != nil {
			t.Errorf("%s: as many as allowed: %v", test.name, err)
		}
		if d, err := decode(test.more); d != nil || err == nil || err.Error() != test.want {
			t.Errorf("%s: one more: %v, want %s", test.name, err, test.want)
		}
	}
}

func TestTheListOfFaultsIsBounded(t *testing.T) {
	t.Parallel()
	_, err := decode(in(`"parts": [` + many(file.MaxParts, "7") + `]`))
	var faults file.Errors
	if !errors.As(err, &faults) || len(faults) != file.MaxFaults+1 || faults[file.MaxFaults].Error() != "only the first 1000 faults are listed" {
		t.Errorf("%d faults: %v", len(faults), err)
	}
}

// zeros is an endless file.
type zeros struct{}

func (zeros) Read(p []byte) (int, error) {
	for i := range p {
		p[i] = '0'
	}
	return len(p), nil
}

func TestAFileWithoutEndIsRefused(t *testing.T) {
	t.Parallel()
	_, err := file.Decode(zeros{})
	if err == nil || err.Error() != "the file has more than 64 MiB, which no drawing needs" {
		t.Error(err)
	}
}

// What a file makes the program hold is in proportion to its size, whatever is
// in it.
func TestMemoryIsBounded(t *testing.T) {
	const size = 4 << 20
	for name, unit := range map[string]string{
		"nested lists": "[", "objects": "{},", "faulty parts": `{"at":7},`, "escapes": `\u0041`, "keys": `"a":1,`,
	} {
		text := in(`"parts": [` + strings.Repeat(unit, size/len(unit)) + `{}]`)
		if name == "escapes" || name == "keys" {
			text = in(`"x": "` + strings.Repeat(unit, size/len(unit)) + `"`)
		}
		if name == "keys" {
			text = in(`"params": {` + strings.Repeat(unit, size/len(unit)) + `"b":1}`)
		}
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		decode(text)
		runtime.ReadMemStats(&after)
		if used := after.TotalAlloc - before.TotalAlloc; used > 64*size {
			t.Errorf("%s: %d MiB for a file of %d MiB", name, used>>20, size>>20)
		}
	}
}

func TestNumbersThatFloat64Holds(t *testing.T) {
	t.Parallel()
	for _, literal := range []string{"0", "-0", "1E5", "1e-400", "1.7976931348623157e308", "4.70", "100000000000000000000"} {
		d, err := decode(resistor(`"params": {"resistance": ` + literal + `}`))
		if err != nil {
			t.Errorf("%s: %v", literal, err)
			continue
		}
		v := d.Parts[0].Params["resistance"]
		if x, ok := v.Num(); !ok || math.IsInf(x, 0) || v.String() != literal {
			t.Errorf("%s was read as %v", literal, v)
		}
	}
}

// A state of the wrong sort has one fault, not a second one for what was not
// read.
func TestAStateOfTheWrongSortHasOneFault(t *testing.T) {
	t.Parallel()
	_, err := decode(in(`"parts": [{"ref": "S1", "kind": "switch"}], "modes": [{"name": "On", "set": {"S1": 1}}]`))
	var faults file.Errors
	if !errors.As(err, &faults) || len(faults) != 1 || faults[0].Text != "a number stands where text is expected" {
		t.Errorf("%v", err)
	}
}
