package ui

import (
	"encoding/json"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/theme"

	"copperglass/canvas"
	"copperglass/canvas/scene"
	"copperglass/canvas/symbol"
	"copperglass/model/file"
)

// The names of the two themes, as settings have them.
const (
	Light = "light"
	Dark  = "dark"
)

// mostRecent bounds the list of recent files.
const mostRecent = 10

// settings is what a person has chosen for the program, not for a drawing. It
// has a file of its own, replaced as a whole: the toolkit (2.7.1) writes its
// preferences in place at the end of every run and, as it watches them, at
// times reads them back half written.
type settings struct {
	path     string // of the file
	theme    string // Light, Dark, or empty for the system's
	text     int    // how large text is, in per cent of its usual size
	forced   string // a theme for this run only, or empty
	standard symbol.Standard
	show     scene.Show
	changes  bool // whether what differs from the mode before is marked
	recent   []string
	who      string    // drew the last drawing that says so
	folder   string    // where files were chosen last
	size     fyne.Size // of the window that was closed last; zero for none yet
}

// settingsFile is the form of the file.
type settingsFile struct {
	Theme   string     `json:"theme,omitempty"`
	Text    int        `json:"text_percent,omitempty"`
	Symbols string     `json:"symbols"`
	Show    scene.Show `json:"show"`
	Changes bool       `json:"changes,omitempty"`
	Recent  []string   `json:"recent,omitempty"`
	Folder  string     `json:"folder,omitempty"`
	Who     string     `json:"drawn_by,omitempty"`
	Width   float32    `json:"width,omitempty"`
	Height  float32    `json:"height,omitempty"`
}

// The names of the standards of symbols in the file.
const (
	iecWord  = "iec"
	ieeeWord = "ieee"
)

// configFolder is where the system wants settings to be.
func configFolder() string {
	folder, err := os.UserConfigDir()
	if err != nil {
		folder = os.TempDir()
	}
	return filepath.Join(folder, "copperglass")
}

// loadSettings reads the settings in a folder. What is missing or cannot be
// read is as it was in the beginning.
func loadSettings(folder string) *settings {
	s := &settings{path: filepath.Join(folder, "settings.json")}
	f := settingsFile{Show: scene.Usual()}
	if text, err := os.ReadFile(s.path); err == nil {
		_ = json.Unmarshal(text, &f)
	}
	if f.Symbols == ieeeWord {
		s.standard = symbol.IEEE
	}
	s.theme, s.show, s.changes, s.folder, s.who = f.Theme, f.Show, f.Changes, f.Folder, f.Who
	s.text = fairText(f.Text)
	s.recent = f.Recent[:min(len(f.Recent), mostRecent)]
	s.setSize(fyne.NewSize(f.Width, f.Height))
	return s
}

// save keeps the settings. Where that is not possible they hold for this run:
// nobody wants to be stopped for them.
func (s *settings) save() {
	f := settingsFile{Theme: s.theme, Text: s.text, Symbols: iecWord, Show: s.show, Changes: s.changes, Recent: s.recent, Folder: s.folder, Who: s.who, Width: s.size.Width, Height: s.size.Height}
	if s.standard == symbol.IEEE {
		f.Symbols = ieeeWord
	}
	if os.MkdirAll(filepath.Dir(s.path), 0o700) != nil {
		return
	}
	_ = file.Replace(s.path, func(w io.Writer) error {
		e := json.NewEncoder(w)
		e.SetIndent("", "  ")
		return e.Encode(f)
	})
}

// textSizes are how large text may be, in per cent of its usual size.
func textSizes() []int { return []int{100, 125, 150} }

// fairText is the size of text itself where it may be chosen, else the usual one.
func fairText(percent int) int {
	if slices.Contains(textSizes(), percent) {
		return percent
	}
	return textSizes()[0]
}

// textScale is how many times as large as usual text is.
func (s *settings) textScale() float32 { return float32(s.text) / 100 }

// The sizes that a window may be remembered with.
const (
	leastSize = 200
	mostSize  = 20_000
)

// setSize remembers the size of a window if it can be one.
func (s *settings) setSize(size fyne.Size) {
	if min(size.Width, size.Height) >= leastSize && max(size.Width, size.Height) <= mostSize {
		s.size = size
	}
}

// used puts a file at the top of the recent ones.
func (s *settings) used(path string) {
	s.recent = slices.DeleteFunc(slices.Clone(s.recent), func(p string) bool { return p == path })
	s.recent = slices.Insert(s.recent, 0, path)
	s.recent = s.recent[:min(len(s.recent), mostRecent)]
	s.save()
}

// signed remembers who has signed a drawing.
func (s *settings) signed(who string) {
	if who = strings.TrimSpace(who); who != "" && who != s.who {
		s.who = who
		s.save()
	}
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
