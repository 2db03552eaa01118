package ui

import (
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/theme"
)

// wishes is what the toolkit says while the desktop prefers something.
type wishes struct {
	fyne.Settings
	variant fyne.ThemeVariant
}

func (d wishes) ThemeVariant() fyne.ThemeVariant { return d.variant }

// The toolkit takes a desktop that says nothing for a dark one.
func TestTheSheetIsPaperUntilTheDesktopIsDark(t *testing.T) {
	w := newTestWindow(t)
	t.Setenv("FYNE_THEME", "")
	if got := firstVariant(wishes{w.app.Settings(), theme.VariantDark}); got != theme.VariantLight {
		t.Errorf("it begins in variant %d", got)
	}
	other := w.NewWindow()
	says := func(v fyne.ThemeVariant) {
		w.program.followDesktop(wishes{w.app.Settings(), v})
		w.paint()
	}
	for _, c := range []struct {
		says fyne.ThemeVariant
		dark bool
	}{{theme.VariantLight, false}, {theme.VariantDark, true}, {theme.VariantDark, true}, {theme.VariantLight, false}} {
		says(c.says)
		if w.look.Dark != c.dark || other.look.Dark != c.dark || w.surface.scene.Picture.Paper != w.look.Paper {
			t.Errorf("the desktop says %d: dark %v and %v", c.says, w.look.Dark, other.look.Dark)
		}
	}
	w.command(Light)
	says(theme.VariantDark)
	if w.look.Dark {
		t.Error("the desktop overrules what was chosen")
	}
}
