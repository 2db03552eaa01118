package main

import (
	"errors"
	"flag"
	"io"
	"slices"
	"strings"
	"testing"

	"fyne.io/fyne/v2"
)

func TestParse(t *testing.T) {
	r, err := parse([]string{"--theme", "dark", "--size", "1000x700", "--mode", "White", "--select", "Q1,R4", "x.cglass", "y.cglass"}, io.Discard)
	if err != nil {
		t.Fatal(err)
	}
	if r.options.Theme != "dark" || r.options.Size != fyne.NewSize(1000, 700) || r.mode != "White" || len(r.parts) != 2 || !slices.Equal(r.files, []string{"x.cglass", "y.cglass"}) {
		t.Errorf("%+v", r)
	}
}

func TestBadUsage(t *testing.T) {
	for _, args := range [][]string{
		{"--theme", "blue"}, {"--size", "big"}, {"--size", "10x10"}, {"--size", "1000x"}, {"--nonsense"},
	} {
		var messages strings.Builder
		if status := run(args, &messages); status != badUsage {
			t.Errorf("%v: status %d", args, status)
		}
		if text := messages.String(); strings.Count(text, "\n") != 1 || !strings.HasPrefix(text, "copperglass: ") {
			t.Errorf("%v: says %q", args, text)
		}
	}
}

func TestHelp(t *testing.T) {
	var messages strings.Builder
	if _, err := parse([]string{"--help"}, &messages); !errors.Is(err, flag.ErrHelp) {
		t.Errorf("parse: %v", err)
	}
	for _, name := range []string{"FILE", "-example", "lantern", "-size", "-mode", "-select", "-theme", "-empty"} {
		if !strings.Contains(messages.String(), name) {
			t.Errorf("the help does not name %s", name)
		}
	}
}

func TestVersion(t *testing.T) {
	var messages strings.Builder
	if status := run([]string{"--version"}, &messages); status != 0 {
		t.Errorf("status %d", status)
	}
	if word, version, _ := strings.Cut(messages.String(), " "); word != "copperglass" || strings.TrimSpace(version) == "" {
		t.Errorf("says %q", messages.String())
	}
}
