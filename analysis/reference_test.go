package analysis

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"strings"
	"testing"

	"copperglass/model"
	"copperglass/model/file"
)

// knownCase is a circuit with figures worked out from closed forms at 25
// digits, or published. Each names its source.
type knownCase struct {
	ID, Title, Source string
	Drawing           json.RawMessage
	Expected          []knownFigure
}

// knownFigure is a figure of a case: a quantity, its derivative by To, or what
// Of says in words.
type knownFigure struct {
	Of, To     string
	Set        map[string]any
	Ballast    float64 // Ω, of both resistors
	Value, Tol float64
	State      string
}

func readKnown(t testing.TB, name string, count int) []knownCase {
	t.Helper()
	text, err := os.ReadFile("../testdata/" + name + ".json")
	if err != nil {
		t.Fatal(err)
	}
	var cases []knownCase
	if err := json.Unmarshal(text, &cases); err != nil {
		t.Fatal(err)
	}
	if len(cases) != count {
		t.Fatalf("%d cases, want %d", len(cases), count)
	}
	return cases
}

func (c *knownCase) diagram(t testing.TB) *model.Diagram {
	t.Helper()
	d, err := file.Decode(bytes.NewReader(c.Drawing))
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// setting turns what a case sets, by "REF.param", into a Setting.
func setting(set map[string]any) model.Setting {
	s := model.Setting{}
	for name, value := range set {
		ref, what, _ := strings.Cut(name, ".")
		switch v := value.(type) {
		case float64:
			s.Set(ref, what, model.Number(v))
		case string:
			s.Set(ref, what, model.Word(v))
		}
	}
	return s
}

// isQuantity reports whether a figure is named as a quantity, and not in words.
func isQuantity(name string) bool {
	for _, suffix := range []string{".volts", ".amps", ".watts"} {
		if strings.HasSuffix(name, suffix) && !strings.Contains(name, " ") {
			return true
		}
	}
	return false
}

// at returns a quantity of the drawing with parameters moved to numbers:
// at(t, d, "net.a.volts", "R1.resistance", 100.0).
func at(t testing.TB, d *model.Diagram, of string, moved ...any) float64 {
	t.Helper()
	set := map[string]any{}
	for i := 0; i < len(moved); i += 2 {
		set[moved[i].(string)] = moved[i+1]
	}
	return figure(t, solve(t, d, Options{Set: setting(set)}), d, of)
}

// checkFigures holds each figure of the case against what got returns for it
// and its tolerance, which may be wider than the one stated where samples
// decide. A figure that got does not know fails.
func (c *knownCase) checkFigures(t *testing.T, got func(e knownFigure) (x, tol float64, known bool)) {
	t.Helper()
	for _, e := range c.Expected {
		x, tol, known := got(e)
		if !known {
			t.Errorf("%s: %q is not checked", c.ID, e.Of)
			continue
		}
		near(t, fmt.Sprintf("%s: %s %s with %v", c.ID, e.Of, e.To, e.Set), x, e.Value, max(e.Tol, tol))
	}
}

// The derivatives of closed forms.
func TestReferenceSensitivities(t *testing.T) {
	t.Parallel()
	worst := 0.0
	for _, c := range readKnown(t, "sensitivity", 14) {
		d := c.diagram(t)
		c.checkFigures(t, func(e knownFigure) (float64, float64, bool) {
			of := e.Of
			if of == "forced beta" {
				of = "Q1.forced_beta"
			}
			all := influence(t, d, Options{}, of)
			got := all.Value
			if e.To != "" {
				got = all.by(e.To).Derivative
			}
			if e.Value != 0 {
				worst = max(worst, math.Abs(got/e.Value-1))
			}
			return got, 0, true
		})
	}
	if worst > 1e-8 {
		t.Errorf("the worst is %g off, want at most 1e-8", worst)
	}
}
