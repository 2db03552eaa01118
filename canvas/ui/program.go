package ui

import (
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"sync"
	"time"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/theme"

	"copperglass/canvas"
	"copperglass/model/journal"
)

// program is what the windows have in common.
type program struct {
	app      fyne.App
	options  Options
	settings *settings
	system   fyne.ThemeVariant // what the desktop prefers
	dressing bool              // while the toolkit is given a theme
	windows  []*Window         // that are open, in the order in which they were opened

	mu      sync.Mutex
	keepers []*journal.Keeper // of the open windows; for any goroutine
}

// outsidePause is how long it may take to notice that another program has
// changed a file.
const outsidePause = 2 * time.Second

func newProgram(app fyne.App, o Options) *program {
	if o.Patience == 0 {
		o.Patience = framePatience
	}
	if o.Later == nil {
		o.Later = byClock
	}
	if o.StateFolder == "" {
		o.StateFolder = stateFolder()
	}
	if o.Settings == "" {
		o.Settings = configFolder()
	}
	p := &program{app: app, options: o, settings: loadSettings(o.Settings)}
	p.settings.forced = o.Theme
	p.system = firstVariant(app.Settings())
	app.Settings().AddListener(p.followDesktop)
	app.Lifecycle().SetOnEnteredForeground(p.lookOutside)
	return p
}

// firstVariant is what the desktop prefers, as far as that is known before the
// window opens. On X11 and Wayland the toolkit (2.7.1) asks a desktop portal
// meanwhile and says dark until that has answered, which on a bare server it never
// does; there the sheet is paper until somebody wants it dark.
func firstVariant(s fyne.Settings) fyne.ThemeVariant {
	if runtime.GOOS == "windows" || runtime.GOOS == "darwin" || os.Getenv("FYNE_THEME") != "" {
		return s.ThemeVariant()
	}
	return theme.VariantLight
}

// followDesktop takes over what the desktop says of its colours.
func (p *program) followDesktop(s fyne.Settings) {
	if p.dressing || p.system == s.ThemeVariant() {
		return
	}
	before := p.settings.look(p.system)
	p.system = s.ThemeVariant()
	if p.settings.look(p.system) != before {
		p.dress()
	}
}

// putOn gives the toolkit a theme, unless it has it: it lays every window out
// anew for that and reads the fonts again, which takes a third of a second.
func (p *program) putOn(look canvas.Theme, scale float32) {
	all := p.app.Settings()
	if t, is := all.Theme().(fyneTheme); is && t.look == look && t.scale == scale {
		return
	}
	p.dressing = true
	all.SetTheme(newFyneTheme(look, scale))
	p.dressing = false
}

// stateFolder is where programs keep what is neither settings nor documents:
// by the XDG Base Directory Specification 0.8 on Linux, the usual places of
// applications elsewhere.
func stateFolder() string {
	if folder := os.Getenv("XDG_STATE_HOME"); folder != "" {
		return filepath.Join(folder, "copperglass")
	}
	home, err := os.UserHomeDir()
	if err != nil {
		return filepath.Join(os.TempDir(), "copperglass")
	}
	if runtime.GOOS == "linux" {
		return filepath.Join(home, ".local", "state", "copperglass")
	}
	if folder, err := os.UserConfigDir(); err == nil {
		return filepath.Join(folder, "copperglass")
	}
	return filepath.Join(home, ".copperglass")
}

// size is how large a window begins.
func (p *program) size() fyne.Size {
	switch {
	case !p.options.Size.IsZero():
		return p.options.Size
	case !p.settings.size.IsZero():
		return p.settings.size
	}
	return fyne.NewSize(1440, 900)
}

// add takes a window in.
func (p *program) add(w *Window) {
	p.windows = append(p.windows, w)
	p.mu.Lock()
	defer p.mu.Unlock()
	p.keepers = append(p.keepers, w.keeper)
}

// remove lets a window go.
func (p *program) remove(w *Window) {
	p.windows = slices.DeleteFunc(p.windows, func(other *Window) bool { return other == w })
	p.mu.Lock()
	defer p.mu.Unlock()
	p.keepers = slices.DeleteFunc(p.keepers, func(k *journal.Keeper) bool { return k == w.keeper })
}

// showing returns the window in which the file at path is open, or nil.
func (p *program) showing(path string) *Window {
	for _, w := range p.windows {
		if path != "" && w.doc.Path() == path {
			return w
		}
	}
	return nil
}

// redress keeps the settings and shows all windows by them.
func (p *program) redress() {
	p.settings.save()
	p.dress()
}

// dress shows all windows by the settings.
func (p *program) dress() {
	for _, w := range p.windows {
		w.dress()
		w.toSheet()
	}
}

// refreshMenus shows the recent files as they are now.
func (p *program) refreshMenus() {
	for _, w := range p.windows {
		w.refreshMenu()
	}
}

// quit ends the program when what is unsaved in any window is safe.
func (p *program) quit() { p.quitAfter(slices.Clone(p.windows)) }

// quitAfter guards these windows, one after another, and then closes all. It
// closes none before that, so that each question may still be answered by not
// quitting.
func (p *program) quitAfter(unasked []*Window) {
	if len(unasked) == 0 {
		for _, w := range slices.Clone(p.windows) {
			w.leave()
		}
		return
	}
	w, rest := unasked[0], unasked[1:]
	switch {
	case w.closed:
		p.quitAfter(rest)
	case !w.dismiss():
		w.win.RequestFocus()
	default:
		if w.doc.Changed() {
			w.win.RequestFocus()
		}
		w.guard(func() { p.quitAfter(rest) })
	}
}

// rescue sees to it that the journals of all windows are on the disk and says
// where, or why not.
func (p *program) rescue() []string {
	p.mu.Lock()
	defer p.mu.Unlock()
	var said []string
	for _, k := range p.keepers {
		switch name, err := k.Flush(); {
		case err != nil:
			said = append(said, "the unsaved drawing is lost: "+err.Error())
		case name != "":
			said = append(said, "the unsaved drawing is kept in "+name)
		}
	}
	return said
}
