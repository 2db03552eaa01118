package model_test

import (
	"encoding/json"
	"math"
	"strconv"
	"testing"

	"copperglass/model"
)

func TestValueText(t *testing.T) {
	t.Parallel()
	tests := []struct {
		value model.Value
		want  string
	}{
		{model.Number(0), "0"},
		{model.Number(4700), "4700"},
		{model.Number(0.1), "0.1"},
		{model.Number(-0.0125), "-0.0125"},
		{model.Number(1e-14), "1e-14"},
		{model.Number(1e15), "1e+15"},
		{model.Number(1e-6), "0.000001"},
		{model.Written(1e-14, "1.0E-14"), "1.0E-14"},
		{model.Word("closed"), "closed"},
		{model.Flag(true), "true"},
		{model.Flag(false), "false"},
		{model.Value{}, ""},
	}
	for _, test := range tests {
		if got := test.value.String(); got != test.want {
			t.Errorf("got %q, want %q", got, test.want)
		}
	}
}

func FuzzNumberReadsBack(f *testing.F) {
	for _, x := range []float64{0, math.Copysign(0, -1), 1, 1e-6, 1e15, math.MaxFloat64, math.SmallestNonzeroFloat64, 0.1} {
		f.Add(x)
	}
	f.Fuzz(func(t *testing.T, x float64) {
		if math.IsNaN(x) || math.IsInf(x, 0) {
			return
		}
		s := model.Number(x).String()
		if !json.Valid([]byte(s)) {
			t.Fatalf("%v is written %s, which is not JSON", x, s)
		}
		if back, err := strconv.ParseFloat(s, 64); err != nil || math.Float64bits(back) != math.Float64bits(x) {
			t.Errorf("%v is written %s and read back as %v", x, s, back)
		}
	})
}

func TestValueAsks(t *testing.T) {
	t.Parallel()
	values := map[string]model.Value{
		"number": model.Number(1), "word": model.Word("1"), "flag": model.Flag(true), "unset": {},
	}
	for name, v := range values {
		_, num := v.Num()
		_, text := v.Text()
		_, flag := v.Enabled()
		if num != (name == "number") || text != (name == "word") || flag != (name == "flag") || v.IsSet() != (name != "unset") {
			t.Errorf("%s: number %t, word %t, flag %t, set %t", name, num, text, flag, v.IsSet())
		}
		for other, w := range values {
			if v.Same(w) != (name == other) {
				t.Errorf("%s and %s: Same is %t", name, other, v.Same(w))
			}
		}
	}
	if !model.Written(1000, "1e3").Same(model.Number(1000)) {
		t.Error("1e3 and 1000 are not the same")
	}
}
