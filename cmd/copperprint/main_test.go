package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"flag"
	"image/png"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"

	"copperglass/assets"
)

var update = flag.Bool("update", false, "rewrite what the scripts expect")

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"copperprint": main})
}

// The scripts use the command as people do.
func TestScripts(t *testing.T) {
	t.Parallel()
	testscript.Run(t, testscript.Params{
		Dir: "testdata", UpdateScripts: *update, RequireExplicitExec: true,
		Cmds: map[string]func(*testscript.TestScript, bool, []string){"exits": exits},
	})
}

// exits CODE COMMAND… runs a command that must end with that code.
func exits(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: exits CODE COMMAND…")
	}
	code := 0
	var ended *exec.ExitError
	switch err := ts.Exec(args[1], args[2:]...); {
	case errors.As(err, &ended):
		code = ended.ExitCode()
	case err != nil:
		ts.Fatalf("%v", err)
	}
	if strconv.Itoa(code) != args[0] {
		ts.Fatalf("%s ended with code %d, not %s", args[1], code, args[0])
	}
}

// call runs the program inside the test.
func call(stdin string, args ...string) (code int, stdout, stderr string) {
	var out, errs bytes.Buffer
	code = run(args, strings.NewReader(stdin), &out, &errs)
	return code, out.String(), errs.String()
}

func TestEveryExampleSolvesInEveryForm(t *testing.T) {
	t.Parallel()
	for _, name := range assets.Examples() {
		code, stdout, stderr := call("", "solve", "--json", "example:"+name)
		if code != done || stderr != "" {
			t.Errorf("%s: code %d, %s", name, code, stderr)
		}
		var solution struct {
			Nets            map[string]*float64
			ResidualCurrent *float64 `json:"residual_current"`
			PowerBalance    *float64 `json:"power_balance"`
			Faults          []any
			Parts           map[string]struct{ Power *float64 }
		}
		if err := json.Unmarshal([]byte(stdout), &solution); err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		if solution.ResidualCurrent == nil || *solution.ResidualCurrent > 1e-12 || solution.PowerBalance == nil || math.Abs(*solution.PowerBalance) > 1e-12 {
			t.Errorf("%s: %s", name, stdout)
		}
		if volts := solution.Nets["GND"]; volts == nil || *volts != 0 || solution.Faults == nil || len(solution.Parts) == 0 {
			t.Errorf("%s: %s", name, stdout)
		}
		if code, stdout, _ := call("", "modes", "example:"+name, "--json"); code != done || !json.Valid([]byte(stdout)) {
			t.Errorf("%s: modes: code %d, %s", name, code, stdout)
		}
	}
}

func TestEveryExampleIsDrawn(t *testing.T) {
	t.Parallel()
	folder := t.TempDir()
	for _, name := range assets.Examples() {
		path := filepath.Join(folder, name+".png")
		if code, stdout, stderr := call("", "draw", "example:"+name, "-o", path, "--scale", "0.5"); code != done || stdout+stderr != "" {
			t.Errorf("%s: code %d, %s%s", name, code, stdout, stderr)
			continue
		}
		text, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		if im, err := png.Decode(bytes.NewReader(text)); err != nil || im.Bounds().Dx() < 100 {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// A stack's currents are the whole stack's, and each gives one part's.
func TestStack(t *testing.T) {
	t.Parallel()
	const text = `{"format": "copperglass", "version": 1, "parts": [
		{"ref": "V1", "kind": "supply", "params": {"voltage": 6, "resistance": 0}, "tags": {"+": "a", "-": "GND"}},
		{"ref": "R1", "kind": "resistor", "count": 4, "params": {"resistance": 1000}, "tags": {"1": "a", "2": "GND"}}]}`
	code, stdout, stderr := call(text, "solve", "-", "--json")
	var solution struct {
		Parts map[string]struct {
			Count int
			Power float64
			Pins  map[string]struct{ Current float64 }
			Each  struct {
				Power float64
				Pins  map[string]struct{ Current float64 }
			}
		}
	}
	if err := json.Unmarshal([]byte(stdout), &solution); err != nil || code != done {
		t.Fatalf("code %d, %v, %s", code, err, stderr)
	}
	r1 := solution.Parts["R1"]
	near := func(a, b float64) bool { return math.Abs(a-b) < 1e-12 }
	if r1.Count != 4 || !near(r1.Pins["1"].Current, 0.024) || !near(r1.Each.Pins["1"].Current, 0.006) || !near(r1.Power, 0.144) || !near(r1.Each.Power, 0.036) {
		t.Errorf("R1 is %+v", r1)
	}
}

func TestAnInputWithoutEnd(t *testing.T) {
	t.Parallel()
	if _, err := os.Stat("/dev/zero"); err != nil {
		t.Skipf("this system has no file without end: %v", err)
	}
	code, stdout, stderr := call("", "solve", "/dev/zero")
	if code != unreadable || stdout != "" || stderr != "copperprint: error: /dev/zero: the file has more than 64 MiB, which no drawing needs\n" {
		t.Errorf("code %d, %q, %q", code, stdout, stderr)
	}
}

// What is set on the command line holds for sentences, too: what limits a
// current is the same in the words of the link and in the influences.
func TestSentencesHoldForWhatIsSet(t *testing.T) {
	t.Parallel()
	for _, set := range []string{"R1.resistance=1500", "BT1.charge_left=1"} {
		_, told, _ := call("", "solve", "--words", "--mode", "White", "--set", set, "example:lantern")
		_, ranked, _ := call("", "influence", "--mode", "White", "--set", set, "example:lantern", "D1.A.amps")
		_, limits, _ := strings.Cut(ranked, "Limited by ")
		limits, _, _ = strings.Cut(limits, ";")
		if limits == "" || !strings.Contains(told, "nothing limits them but "+limits+".") {
			t.Errorf("%s: %s\n%s", set, told, ranked)
		}
	}
}
