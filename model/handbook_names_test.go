package model

import (
	"strings"
	"testing"
)

func TestTypesMarked(t *testing.T) {
	t.Parallel()
	for marking, want := range map[string]string{"5B": "BC807-25", "5Cp": "BC807-40", "1am": "MMBT3904", "5B1": "", "QQ": "", "": "", "6C*": "BC817-40"} {
		if got := strings.Join(TypesMarked(marking), " "); got != want {
			t.Errorf("%q: %q, want %q", marking, got, want)
		}
	}
}

func TestFamiliesNamed(t *testing.T) {
	t.Parallel()
	for name, want := range map[string]string{
		"ATtiny13A":      "ATtiny13, 25, 45, 85",
		"attiny85-20PU":  "ATtiny13, 25, 45, 85",
		"ATtiny1304":     "",
		"PIC12F675":      "PIC12F508, 509, 629, 675, 683, 1822, PIC12C508 clones",
		"NE555":          "timer 555, 7555, TLC555",
		"MSP430G2230IDR": "MSP430G2210, 2230",
		"?":              "",
		"unknown":        "",
	} {
		var names []string
		for _, f := range FamiliesNamed(name) {
			names = append(names, f.Name)
		}
		if got := strings.Join(names, "; "); got != want {
			t.Errorf("%q: %q, want %q", name, got, want)
		}
	}
}
