package quantity

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// The cases of testdata/standards.json carry their published source beside each value.

type standard struct {
	ID       string
	Expected []table
}

type table struct {
	Of     string
	Value  json.RawMessage
	Source string
}

// standardCase returns the tables of one case, in order.
func standardCase(t *testing.T, id string) []table {
	t.Helper()
	data, err := os.ReadFile("../../testdata/standards.json")
	if err != nil {
		t.Fatal(err)
	}
	var file struct{ Standards []standard }
	if err := json.Unmarshal(data, &file); err != nil {
		t.Fatal(err)
	}
	for _, s := range file.Standards {
		if s.ID == id {
			return s.Expected
		}
	}
	t.Fatalf("no case %s", id)
	return nil
}

// tableOf decodes the value of the table so named.
func tableOf[T any](t *testing.T, tables []table, of string) (value T) {
	t.Helper()
	for _, table := range tables {
		if table.Of == of {
			if err := json.Unmarshal(table.Value, &value); err != nil {
				t.Fatalf("%s: %v", of, err)
			}
			return value
		}
	}
	t.Fatalf("no table %q", of)
	return value
}

func close9(a, b float64) bool { return math.Abs(a-b) <= 1e-9*math.Abs(b) }

// withScheme reads a marking and returns the reading of the scheme, if there is one.
func withScheme(text string, part Part, scheme string) (Reading, bool) {
	readings, _ := ReadMarking(text, part)
	i := slices.IndexFunc(readings, func(r Reading) bool { return r.Scheme == scheme })
	if i < 0 {
		return Reading{}, false
	}
	return readings[i], true
}

func TestColourTable(t *testing.T) {
	t.Parallel()
	rows := tableOf[[][]any](t, standardCase(t, "MST-01"), "table")
	if len(rows) != 13 {
		t.Fatalf("%d colours", len(rows))
	}
	for _, row := range rows {
		for _, name := range row[:2] {
			testColour(t, name.(string), row)
		}
	}
}

// testColour has the colour in each place of a resistor's bands: a null in the table
// means that it has no meaning there.
func testColour(t *testing.T, name string, row []any) {
	t.Helper()
	places := []struct {
		bands, scheme string
		of            func(Reading) float64
		want          any
	}{
		{"brown %s black gold", "4 bands", func(r Reading) float64 { return r.Value - 10 }, row[2]},
		{"brown black %s gold", "4 bands", func(r Reading) float64 { return math.Round(math.Log10(r.Value / 10)) }, row[3]},
		{"brown black black black %s", "5 bands", func(r Reading) float64 { return r.TolerancePercent.Plus }, row[4]},
		{"brown black black black brown %s", "6 bands", func(r Reading) float64 { return r.PPMPerKelvin }, row[5]},
	}
	for _, p := range places {
		r, ok := withScheme(fmt.Sprintf(p.bands, name), Resistor, p.scheme)
		if want, has := p.want.(float64); ok != has || ok && !close9(p.of(r), want) {
			t.Errorf(p.bands+": %+v, want %v", name, r, p.want)
		}
	}
}

func TestLetterTables(t *testing.T) {
	t.Parallel()
	tables := standardCase(t, "MST-02")
	perLetter := []struct {
		of, text, scheme string
		part             Part
		got              func(Reading) float64
	}{
		{"resistor multiplier letters", "3%s9", "letter code", Resistor, func(r Reading) float64 { return r.Value / 3.9 }},
		{"capacitor multiplier letters", "3%s9", "letter code", Capacitor, func(r Reading) float64 { return r.Value / 3.9 }},
		{"symmetrical tolerance letters, per cent", "4R7%s", "letter code", Resistor, func(r Reading) float64 { return r.TolerancePercent.Plus }},
		{"symmetrical tolerance letters, per cent", "4n7%s", "letter code", Capacitor, func(r Reading) float64 { return -r.TolerancePercent.Minus }},
		{"tolerance letters for capacitors below 10 pF, in pF", "5p0%s", "letter code", Capacitor, func(r Reading) float64 { return r.TolerancePercent.Plus / 100 * 5 }},
	}
	for _, c := range perLetter {
		for letter, want := range tableOf[map[string]float64](t, tables, c.of) {
			text := fmt.Sprintf(c.text, letter)
			if r, ok := withScheme(text, c.part, c.scheme); !ok || !close9(c.got(r), want) {
				t.Errorf("%s, %s: %+v, want %v", c.of, text, r, want)
			}
		}
	}
}

func TestUnsymmetricalToleranceLetters(t *testing.T) {
	t.Parallel()
	spans := tableOf[map[string][2]float64](t, standardCase(t, "MST-02"), "unsymmetrical tolerance letters, per cent [minus, plus]")
	for letter, want := range spans {
		r, ok := withScheme("104"+letter, Capacitor, "picofarad code")
		if !ok || r.TolerancePercent != (Tolerance{Minus: want[0], Plus: want[1]}) {
			t.Errorf("104%s: %+v, want %v", letter, r, want)
		}
	}
}

func TestTemperatureCoefficientLetters(t *testing.T) {
	t.Parallel()
	letters := tableOf[map[string]any](t, standardCase(t, "MST-02"), "temperature-coefficient letters, ppm/K")
	for letter, want := range letters {
		r, ok := withScheme("4K7F"+letter, Resistor, "letter code")
		figure, _ := want.(float64) // Z is "other", which gives no figure
		if !ok || r.PPMPerKelvin != figure || r.TolerancePercent.Plus != 1 {
			t.Errorf("4K7F%s: %+v, want %v", letter, r, want)
		}
	}
}

func TestSeriesLists(t *testing.T) {
	t.Parallel()
	short, long := standardCase(t, "MST-03"), standardCase(t, "MST-04")
	for s, tables := range map[Series][]table{E3: short, E6: short, E12: short, E24: short, E48: long, E96: long} {
		if got, want := s.Digits(), tableOf[[]int](t, tables, s.String()); !slices.Equal(got, want) {
			t.Errorf("%s: %v, want %v", s, got, want)
		}
	}
}

func TestE24DiffersFromThePowers(t *testing.T) {
	t.Parallel()
	type row struct {
		Index   int `json:"index_from_0"`
		Listed  int
		Rounded int `json:"geometric_rounded"`
	}
	var got []row
	for i, v := range E24.Digits() {
		if r := int(math.Round(10 * math.Pow(10, float64(i)/24))); r != v {
			got = append(got, row{i, v, r})
		}
	}
	const of = "E24 values that differ from 10*10^(i/24) rounded to two digits"
	if want := tableOf[[]row](t, standardCase(t, "MST-03"), of); !slices.Equal(got, want) {
		t.Errorf("%v, want %v", got, want)
	}
}

func TestE192(t *testing.T) {
	t.Parallel()
	tables, values := standardCase(t, "MST-05"), E192.Digits()
	sum, squares := 0, 0
	var even []int
	for i, v := range values {
		sum, squares = sum+v, squares+v*v
		if i%2 == 0 {
			even = append(even, v)
		}
	}
	exception := tableOf[struct {
		Index  int `json:"index_from_0"`
		Listed int
	}](t, tables, "exception")
	if want := tableOf[int](t, tables, "count"); len(values) != want {
		t.Fatalf("%d values, want %d", len(values), want)
	}
	if got := values[exception.Index]; got != exception.Listed {
		t.Errorf("value %d is %d, want %d", exception.Index, got, exception.Listed)
	}
	if want := tableOf[int](t, tables, "sum of the 192 values"); sum != want {
		t.Errorf("sum %d, want %d", sum, want)
	}
	if want := tableOf[int](t, tables, "sum of squares"); squares != want {
		t.Errorf("sum of squares %d, want %d", squares, want)
	}
	if want := tableOf[[]int](t, tables, "first and last"); values[0] != want[0] || values[191] != want[1] {
		t.Errorf("ends %d, %d, want %v", values[0], values[191], want)
	}
	if want := tableOf[bool](t, tables, "every second value equals E96"); slices.Equal(even, E96.Digits()) != want {
		t.Errorf("every second value: %v", even)
	}
}

func TestEIA96Codes(t *testing.T) {
	t.Parallel()
	codes := tableOf[map[string]float64](t, standardCase(t, "MST-06"), "code table")
	if len(codes) != 96 {
		t.Fatalf("%d codes", len(codes))
	}
	letters := tableOf[map[string]float64](t, standardCase(t, "MST-07"), "letters")
	for code, value := range codes {
		for letter, times := range letters {
			r, ok := withScheme(code+letter, Resistor, "EIA-96 code")
			if !ok || !close9(r.Value, value*times) || r.TolerancePercent.Plus != 1 || !r.Usual {
				t.Errorf("%s%s: %+v, want %v", code, letter, r, value*times)
			}
		}
	}
}

type printed struct {
	Marking, Part, State, Source string
	Readings                     []struct {
		Value        float64
		Unit, Scheme string
		TolerancePct any     `json:"tolerance_pct"`
		TolerancePF  float64 `json:"tolerance_pF"`
		PPM          float64 `json:"ppm_per_K"`
	}
}

// doubted are the markings of MST-08 with one reading to which a second, unlikely one
// is offered here: the table itself has plain ohms for 150 and 2200, and a rule that
// tells those from 330 and 1800 would be arbitrary; on aluminium capacitors plain
// microfarads are printed.
var doubted = map[string]string{"330": "plain ohms", "1800": "plain ohms",
	"22": "plain microfarads, as on aluminium electrolytic capacitors"}

func TestMarkings(t *testing.T) {
	t.Parallel()
	cases := tableOf[[]printed](t, standardCase(t, "MST-08"), "readings")
	if len(cases) != 136 {
		t.Fatalf("%d markings", len(cases))
	}
	for _, c := range cases {
		t.Run(c.Marking+" "+c.Part, func(t *testing.T) {
			t.Parallel()
			testMarking(t, c)
		})
	}
}

func testMarking(t *testing.T, c printed) {
	part := map[string]Part{"resistor": Resistor, "capacitor": Capacitor, "resistor, bands": Resistor, "unknown part": AnyPart}[c.Part]
	got, err := ReadMarking(c.Marking, part)
	if (err != nil) != (c.State == "none") {
		t.Fatalf("%+v, %v; want %s", got, err, c.State)
	}
	if extra, ok := doubted[c.Marking]; ok && part != AnyPart {
		last := got[len(got)-1]
		if !last.Unlikely || last.Scheme != extra {
			t.Errorf("last reading %+v, want %s", last, extra)
		}
		got = got[:len(got)-1]
	}
	if len(got) != len(c.Readings) {
		t.Fatalf("%d readings, want %d: %+v", len(got), len(c.Readings), got)
	}
	for i, want := range c.Readings {
		unit := map[string]Unit{"ohm": Ohm, "farad": Farad}[want.Unit]
		r := got[i]
		if !close9(r.Value, want.Value) || r.Unit != unit || r.Scheme != schemeWords(want.Scheme) {
			t.Errorf("%+v, want %v %s by %s", r, want.Value, unit, want.Scheme)
		}
		if r.PPMPerKelvin != want.PPM {
			t.Errorf("%v ppm/K, want %v", r.PPMPerKelvin, want.PPM)
		}
		testTolerance(t, r, want.TolerancePct, want.TolerancePF)
	}
}

func testTolerance(t *testing.T, r Reading, percent any, picofarads float64) {
	t.Helper()
	var want Tolerance
	switch p := percent.(type) {
	case float64:
		want = Tolerance{Minus: -p, Plus: p}
	case []any:
		want = Tolerance{Minus: p[0].(float64), Plus: p[1].(float64)}
	}
	if picofarads != 0 {
		p := picofarads * 1e-12 / r.Value * 100
		want = Tolerance{Minus: -p, Plus: p}
	}
	if !close9(r.TolerancePercent.Plus, want.Plus) || !close9(r.TolerancePercent.Minus, want.Minus) {
		t.Errorf("tolerance %+v, want %+v", r.TolerancePercent, want)
	}
	usual := (strings.Contains(r.Scheme, "digit") || r.Scheme == eia96Scheme) && r.Unit == Ohm
	if r.Usual != usual {
		t.Errorf("usual tolerance: %t, want %t", r.Usual, usual)
	}
}

// schemeWords turns the table's name of a scheme into the one shown to people.
func schemeWords(name string) string {
	name = strings.TrimSuffix(strings.TrimSuffix(name, ", resistor"), ", capacitor")
	switch name {
	case "R as decimal mark":
		return "letter code"
	case "3-digit", "4-digit":
		return name + " code"
	case "two digits and letter":
		return "EIA-96 code"
	case "link":
		return "zero-ohm link"
	case "current-sense practice of some makers, M for milliohm":
		return "M for milliohm, as on some current-sense resistors"
	}
	return strings.Replace(name, "3-digit read", "3-digit code, read", 1)
}

func TestNearestValues(t *testing.T) {
	t.Parallel()
	type row struct {
		Wanted, Nearest, Below, Above float64
		Series                        string
	}
	cases := tableOf[[]row](t, standardCase(t, "MST-09"), "cases")
	for _, c := range cases {
		n, err := strconv.Atoi(strings.TrimPrefix(c.Series, "E"))
		if err != nil {
			t.Fatal(err)
		}
		s := Series(n)
		got := row{c.Wanted, Nearest(s, c.Wanted), Below(s, c.Wanted), Above(s, c.Wanted), c.Series}
		if !close9(got.Nearest, c.Nearest) || !close9(got.Below, c.Below) || !close9(got.Above, c.Above) {
			t.Errorf("%+v, want %+v", got, c)
		}
	}
}

func TestTypedValues(t *testing.T) {
	t.Parallel()
	units := map[string]Unit{"resistance": Ohm, "capacitance": Farad, "current": Ampere,
		"voltage": Volt, "inductance": Henry, "power": Watt}
	cases := tableOf[[]struct {
		Typed, Quantity string
		OK              any
		Value           float64
		Candidates      [2]float64
	}](t, standardCase(t, "MST-10"), "cases")
	for _, c := range cases {
		got, err := Parse(c.Typed, units[c.Quantity])
		var ambiguous *AmbiguousError
		switch asks := errors.As(err, &ambiguous); c.OK {
		case true:
			if err != nil || math.Abs(got-c.Value) > 1e-12*math.Abs(c.Value) {
				t.Errorf("%q: %v, %v; want %v", c.Typed, got, err, c.Value)
			}
		case false:
			if err == nil || asks || !strings.HasPrefix(err.Error(), strconv.Quote(c.Typed)) {
				t.Errorf("%q: %v, %v; want a refusal that quotes it", c.Typed, got, err)
			}
		default:
			if !asks || ambiguous.Candidates != c.Candidates {
				t.Errorf("%q: %v, %v; want a question about %v", c.Typed, got, err, c.Candidates)
			}
		}
	}
}

func TestPrintedNumbers(t *testing.T) {
	t.Parallel()
	cases := tableOf[[]struct {
		Number         float64
		Digits, Prefix string
	}](t, standardCase(t, "MST-11"), "cases")
	for _, c := range cases {
		want := c.Digits + " " + c.Prefix + "V"
		if got := Format(c.Number, Volt); got != want {
			t.Errorf("%v: %q, want %q", c.Number, got, want)
		}
	}
}
