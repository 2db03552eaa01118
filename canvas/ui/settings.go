package ui

import (
	"slices"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/theme"

	"copperglass/canvas"
	"copperglass/canvas/scene"
	"copperglass/canvas/symbol"
)

// The names of the two themes, as settings have them.
const (
	Light = "light"
	Dark  = "dark"
)

// mostRecent bounds the list of recent files.
const mostRecent = 10

// settings is what a person has chosen for the program, not for a drawing.
type settings struct {
	store    fyne.Preferences
	theme    string // Light, Dark, or empty for the system's
	forced   string // a theme for this run only, or empty
	standard symbol.Standard
	show     scene.Show
	recent   []string
	folder   string // where files were chosen last
}

func loadSettings(store fyne.Preferences) *settings {
	s := &settings{store: store}
	s.theme = store.String("theme")
	if store.String("symbols") == "ieee" {
		s.standard = symbol.IEEE
	}
	s.show = scene.Show{
		Voltages: store.BoolWithFallback("show-voltages", true),
		Currents: store.BoolWithFallback("show-currents", true),
		Ribbons:  store.BoolWithFallback("show-ribbons", true),
		Findings: store.BoolWithFallback("show-findings", true),
	}
	s.recent = store.StringList("recent")
	s.folder = store.String("folder")
	return s
}

func (s *settings) save() {
	s.store.SetString("theme", s.theme)
	standard := "iec"
	if s.standard == symbol.IEEE {
		standard = "ieee"
	}
	s.store.SetString("symbols", standard)
	s.store.SetBool("show-voltages", s.show.Voltages)
	s.store.SetBool("show-currents", s.show.Currents)
	s.store.SetBool("show-ribbons", s.show.Ribbons)
	s.store.SetBool("show-findings", s.show.Findings)
	s.store.SetStringList("recent", s.recent)
	s.store.SetString("folder", s.folder)
}

// used puts a file at the top of the recent ones.
func (s *settings) used(path string) {
	s.recent = slices.DeleteFunc(slices.Clone(s.recent), func(p string) bool { return p == path })
	s.recent = slices.Insert(s.recent, 0, path)
	s.recent = s.recent[:min(len(s.recent), mostRecent)]
	s.save()
}

// forget takes a file that is gone off the recent ones.
func (s *settings) forget(path string) {
	s.recent = slices.DeleteFunc(slices.Clone(s.recent), func(p string) bool { return p == path })
	s.save()
}

// look returns the colours to use; system is what the desktop prefers.
func (s *settings) look(system fyne.ThemeVariant) canvas.Theme {
	name := s.theme
	if s.forced != "" {
		name = s.forced
	}
	if name == Dark || name == "" && system == theme.VariantDark {
		return canvas.DarkTheme()
	}
	return canvas.LightTheme()
}
