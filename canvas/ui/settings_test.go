package ui

import (
	"os"
	"path/filepath"
	"slices"
	"testing"

	"fyne.io/fyne/v2"

	"copperglass/canvas/symbol"
)

func TestSettingsAreKept(t *testing.T) {
	t.Parallel()
	folder := filepath.Join(t.TempDir(), "not there yet")
	s := loadSettings(folder)
	s.theme, s.standard, s.show.Ribbons, s.folder = Dark, symbol.IEEE, false, "/home"
	s.text = 125
	s.signed(" M. Maker ")
	s.signed("")
	s.setSize(fyne.NewSize(1000, 700))
	s.setSize(fyne.NewSize(1, 1))
	s.used("/a.cglass")
	s.used("/b.cglass")
	s.used("/a.cglass")
	got := loadSettings(folder)
	if got.theme != Dark || got.standard != symbol.IEEE || got.show != s.show || got.text != 125 || got.who != "M. Maker" || got.folder != "/home" || got.size != fyne.NewSize(1000, 700) || !slices.Equal(got.recent, []string{"/a.cglass", "/b.cglass"}) {
		t.Errorf("%+v", got)
	}
}

// TestSettingsThatCannotBeRead takes files that nothing here has written.
func TestSettingsThatCannotBeRead(t *testing.T) {
	t.Parallel()
	for _, text := range []string{"", "{", `[1]`, `{"show": 7}`, `{"recent": {"a": 1}}`, `{"width": 1e30, "height": -5}`, `{"text_percent": 5000}`, "\x00\xff"} {
		folder := t.TempDir()
		if err := os.WriteFile(filepath.Join(folder, "settings.json"), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		if s := loadSettings(folder); s.standard != symbol.IEC || !s.show.Voltages || s.textScale() != 1 || !s.size.IsZero() || len(s.recent) > 0 {
			t.Errorf("%q: %+v", text, s)
		}
	}
}

// TestSettingsThatCannotBeKept has a file in the place of the folder.
func TestSettingsThatCannotBeKept(t *testing.T) {
	t.Parallel()
	file := filepath.Join(t.TempDir(), "file")
	if err := os.WriteFile(file, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	s := loadSettings(file)
	s.used("/a.cglass")
	if !slices.Equal(s.recent, []string{"/a.cglass"}) {
		t.Errorf("recent files are %v", s.recent)
	}
}
