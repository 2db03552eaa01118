package assets_test

import (
	"bytes"
	"encoding/json"
	"flag"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"

	"copperglass/assets"
	"copperglass/model"
	"copperglass/model/file"
)

var update = flag.Bool("update", false, "rewrite the kinds in the schema, and the examples in the canonical layout")

// The schema's last definition is written from the catalogue.
const (
	kindsBegin = "    \"kinds\": {\n      \"allOf\": [\n"
	kindsEnd   = "\n      ]\n    }\n  }\n}\n"
)

func TestSchemaHasTheKindsOfTheCatalogue(t *testing.T) {
	text := assets.Schema()
	begin := strings.Index(text, kindsBegin)
	if begin < 0 || !strings.HasSuffix(text, kindsEnd) {
		t.Fatal("the schema does not end with the kinds")
	}
	want := text[:begin+len(kindsBegin)] + kindsSchema() + kindsEnd
	if text == want {
		return
	}
	if !*update {
		t.Fatal("the schema's kinds differ from the catalogue's; go test ./assets -update writes them anew")
	}
	if err := os.WriteFile("copperglass.schema.json", []byte(want), 0o666); err != nil {
		t.Fatal(err)
	}
}

// kindsSchema returns what the schema says of each kind.
func kindsSchema() string {
	var names, rules []string
	for _, k := range model.Kinds() {
		names = append(names, k.Name)
		rules = append(rules, kindSchema(k))
	}
	return fmt.Sprintf("        {\"properties\": {\"kind\": {\"enum\": %s}}},\n%s", inJSON(names), strings.Join(rules, ",\n"))
}

func kindSchema(k *model.Kind) string {
	var params []string
	for i := range k.Params {
		params = append(params, "            "+paramSchema(&k.Params[i]))
	}
	then := fmt.Sprintf("\"params\": {\"properties\": {\n%s\n          }}", strings.Join(params, ",\n"))
	if pins := possiblePins(k); pins != nil {
		then += fmt.Sprintf(",\n          \"tags\": {\"propertyNames\": {\"enum\": %s}}", inJSON(pins))
	}
	return fmt.Sprintf("        {\n          \"if\": {\"properties\": {\"kind\": {\"const\": %s}}},\n          \"then\": {\"properties\": {%s}}\n        }", inJSON(k.Name), then)
}

// possiblePins returns the pins that a part of the kind may have, or nil where
// the part itself lists them.
func possiblePins(k *model.Kind) []string {
	switch k.Name {
	case "chip":
		return nil
	case "capacitor":
		return []string{"1", "2", "+", "-"}
	}
	pins := []string{}
	for _, p := range k.Pins(&model.Part{Kind: k.Name}) {
		pins = append(pins, p.Name)
	}
	return pins
}

func paramSchema(q *model.Param) string {
	meaning := q.Meaning
	if unit := q.Unit.String(); unit != "" {
		meaning += ", " + unit
	}
	rule := fmt.Sprintf("%s: {\"description\": %s, ", inJSON(q.Name), inJSON(meaning))
	switch {
	case len(q.Choices) > 0:
		return rule + fmt.Sprintf("\"enum\": %s}", inJSON(q.Choices))
	case q.Type() == model.WordType:
		return rule + "\"type\": \"string\"}"
	case q.Type() == model.FlagType:
		return rule + "\"type\": \"boolean\"}"
	case q.Min == 0 && q.Max == 0:
		return rule + "\"type\": \"number\"}"
	}
	return rule + fmt.Sprintf("\"type\": \"number\", \"minimum\": %s, \"maximum\": %s}", inJSON(q.Min), inJSON(q.Max))
}

func inJSON(v any) string {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	if err := e.Encode(v); err != nil {
		panic(err)
	}
	return strings.ReplaceAll(strings.TrimSpace(b.String()), `","`, `", "`)
}

// compile also checks the schema against that of draft 2020-12.
func compile(t *testing.T) *jsonschema.Schema {
	t.Helper()
	doc, err := jsonschema.UnmarshalJSON(strings.NewReader(assets.Schema()))
	if err != nil {
		t.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	c.DefaultDraft(jsonschema.Draft2020)
	if err := c.AddResource("copperglass.schema.json", doc); err != nil {
		t.Fatal(err)
	}
	s, err := c.Compile("copperglass.schema.json")
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func validate(s *jsonschema.Schema, text []byte) error {
	v, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
	if err != nil {
		return err
	}
	return s.Validate(v)
}

func TestExamplesAreSound(t *testing.T) {
	t.Parallel()
	s := compile(t)
	for _, name := range assets.Examples() {
		text, err := assets.Example(name)
		if err != nil {
			t.Fatal(err)
		}
		if err := validate(s, text); err != nil {
			t.Errorf("%s: %v", name, err)
		}
		d, err := file.Decode(bytes.NewReader(text))
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		var again bytes.Buffer
		if err := file.Encode(&again, d); err != nil {
			t.Errorf("%s: %v", name, err)
		}
		if *update {
			if err := file.Save("examples/"+name+".cglass", d); err != nil {
				t.Error(err)
			}
		} else if again.String() != string(text) {
			t.Errorf("%s is not in the canonical layout; go test ./assets -update writes it anew", name)
		}
	}
}

func TestNoSuchExample(t *testing.T) {
	t.Parallel()
	for _, name := range []string{"none", "", "../examples/meter", "meter.cglass"} {
		if text, err := assets.Example(name); err == nil || text != nil || !strings.Contains(err.Error(), "there are ") {
			t.Errorf("example %q: %v", name, err)
		}
	}
}

// Every drawing among the test data validates, those inside the tables of
// published cases too.
func TestTestdataValidates(t *testing.T) {
	t.Parallel()
	s := compile(t)
	n := 0
	for _, path := range testdata(t) {
		text, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		v, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
		if err != nil {
			t.Fatalf("%s: %v", path, err)
		}
		for _, d := range drawings(v) {
			n++
			if err := s.Validate(d); err != nil {
				t.Errorf("%s: %v\n%v", path, err, inJSON(d))
			}
		}
	}
	t.Logf("%d drawings", n)
}

func testdata(t *testing.T) (paths []string) {
	err := filepath.WalkDir("../testdata", func(path string, e fs.DirEntry, err error) error {
		if ext := filepath.Ext(path); err == nil && (ext == ".json" || ext == ".cglass") {
			paths = append(paths, path)
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return paths
}

// drawings finds the drawings anywhere inside v.
func drawings(v any) (found []any) {
	switch v := v.(type) {
	case map[string]any:
		if v["format"] == "copperglass" {
			return []any{v}
		}
		for _, item := range v {
			found = append(found, drawings(item)...)
		}
	case []any:
		for _, item := range v {
			found = append(found, drawings(item)...)
		}
	}
	return found
}

func TestBrokenDrawingsDoNotValidate(t *testing.T) {
	t.Parallel()
	const part = `{"format": "copperglass", "version": 1, "parts": [{"ref": "R1", "kind": "resistor", %s}]}`
	tests := map[string]string{
		"a list":              `[]`,
		"no format":           `{"version": 1, "parts": []}`,
		"another format":      `{"format": "glass", "version": 1, "parts": []}`,
		"a later version":     `{"format": "copperglass", "version": 2, "parts": []}`,
		"no parts":            `{"format": "copperglass", "version": 1}`,
		"parts by name":       `{"format": "copperglass", "version": 1, "parts": {"R1": {"kind": "resistor"}}}`,
		"no ref":              `{"format": "copperglass", "version": 1, "parts": [{"kind": "resistor"}]}`,
		"an empty ref":        `{"format": "copperglass", "version": 1, "parts": [{"ref": "", "kind": "resistor"}]}`,
		"a dot in a ref":      `{"format": "copperglass", "version": 1, "parts": [{"ref": "R.1", "kind": "resistor"}]}`,
		"a reserved ref":      `{"format": "copperglass", "version": 1, "parts": [{"ref": "drawing", "kind": "resistor"}]}`,
		"no kind":             `{"format": "copperglass", "version": 1, "parts": [{"ref": "R1"}]}`,
		"an unknown kind":     `{"format": "copperglass", "version": 1, "parts": [{"ref": "R1", "kind": "resitor"}]}`,
		"half a point":        fmt.Sprintf(part, `"at": [1]`),
		"a point off grid":    fmt.Sprintf(part, `"at": [1, 0.5]`),
		"a point far out":     fmt.Sprintf(part, `"at": [1, 1000001]`),
		"a slanting part":     fmt.Sprintf(part, `"turn": 45`),
		"mirror a number":     fmt.Sprintf(part, `"mirror": 1`),
		"value a number":      fmt.Sprintf(part, `"value": 4700`),
		"an unknown doubt":    fmt.Sprintf(part, `"doubt": "sure"`),
		"a stack of none":     fmt.Sprintf(part, `"count": 0`),
		"a stack of too many": fmt.Sprintf(part, `"count": 10001`),
		"a long note":         fmt.Sprintf(part, `"note": "`+strings.Repeat("x", 4097)+`"`),
		"a typed resistance":  fmt.Sprintf(part, `"params": {"resistance": "4k7"}`),
		"no resistance":       fmt.Sprintf(part, `"params": {"resistance": null}`),
		"less than nothing":   fmt.Sprintf(part, `"params": {"resistance": -1}`),
		"a pin too many":      fmt.Sprintf(part, `"tags": {"3": "a"}`),
		"a tag of a number":   fmt.Sprintf(part, `"tags": {"1": 0}`),
		"an unknown role":     `{"format": "copperglass", "version": 1, "parts": [{"ref": "IC1", "kind": "chip", "pins": [{"number": "1", "role": "power"}]}]}`,
		"a pin unnumbered":    `{"format": "copperglass", "version": 1, "parts": [{"ref": "IC1", "kind": "chip", "pins": [{"name": "OUT"}]}]}`,
		"a switch ajar":       `{"format": "copperglass", "version": 1, "parts": [{"ref": "S1", "kind": "switch", "params": {"state": "ajar"}}]}`,
		"a wire of a point":   `{"format": "copperglass", "version": 1, "parts": [], "wires": [{"points": [[0, 0]]}]}`,
		"a wire of nothing":   `{"format": "copperglass", "version": 1, "parts": [], "wires": [{}]}`,
		"a mode unnamed":      `{"format": "copperglass", "version": 1, "parts": [], "modes": [{"set": {}}]}`,
		"an unknown state":    `{"format": "copperglass", "version": 1, "parts": [], "modes": [{"name": "on", "set": {"S1": "ajar"}}]}`,
		"a cold drawing":      `{"format": "copperglass", "version": 1, "params": {"temperature": "25 °C"}, "parts": []}`,
	}
	s := compile(t)
	for name, text := range tests {
		if !json.Valid([]byte(text)) {
			t.Errorf("%s: the test itself is not JSON", name)
		}
		if validate(s, []byte(text)) == nil {
			t.Errorf("%s: validates", name)
		}
	}
	taking := `{"format": "copperglass", "version": 1, "parts": [{"ref": "IC1", "kind": "chip"}], "modes": [{"name": "on", "set": {"IC1.supply_current": "2 µA"}, "each_day": "rest"}]}`
	if err := validate(s, []byte(taking)); err != nil {
		t.Errorf("a mode with a chip's current and its share of the day does not validate: %v", err)
	}
	if err := validate(s, []byte(fmt.Sprintf(part, `"at": [1, 2], "turn": 90, "count": 3, "params": {"resistance": 1, "x": "y"}, "tags": {"1": "a"}, "board": [1]`))); err != nil {
		t.Errorf("a sound part does not validate: %v", err)
	}
}
