//go:build linux

package main

import (
	"bytes"
	"encoding/binary"
	"image"
	"image/color"
	"image/png"
	"os"
	"os/exec"
	"regexp"
	"testing"

	"github.com/jezek/xgb/xproto"
)

// TestTheDesktopKnowsTheWindow: its class is the one by which the desktop file
// tells whose window it is, and it has the picture of the program.
func TestTheDesktopKnowsTheWindow(t *testing.T) {
	t.Parallel()
	entry, err := os.ReadFile("packaging/copperglass.desktop")
	if err != nil {
		t.Fatal(err)
	}
	want := regexp.MustCompile(`(?m)^StartupWMClass=(.+)$`).FindSubmatch(entry)
	if want == nil {
		t.Fatal("the desktop file names no class")
	}
	p := launch(t, setup{})
	if class, _, _ := bytes.Cut(p.property("WM_CLASS"), []byte{0}); !bytes.Equal(class, want[1]) {
		t.Errorf("the window is of the class %q, want %q", class, want[1])
	}
	icon := iconOf(p.property("_NET_WM_ICON"))
	if icon == nil {
		t.Fatal("the window has no icon")
	}
	copper, cream := at(icon, 150, 90), at(icon, 110, 168)
	if copper.A != 255 || copper.R < 150 || copper.B > 120 || cream.B < 220 || at(icon, 3, 3).A != 0 {
		t.Errorf("the icon is %v in the drop, %v in the symbol, %v in the corner", copper, cream, at(icon, 3, 3))
		p.write(t.ArtifactDir()+"/icon.png", icon)
	}
}

// property returns a property of the window.
func (p *program) property(name string) []byte {
	p.t.Helper()
	r, err := xproto.GetProperty(p.conn, false, p.window, p.atom(name), xproto.GetPropertyTypeAny, 0, 1<<20).Reply()
	if err != nil {
		p.t.Fatal(err)
	}
	return r.Value
}

// iconOf is the first picture of an icon: width, height and pixels as alpha, red,
// green and blue (Extended Window Manager Hints 1.5, _NET_WM_ICON).
func iconOf(data []byte) *image.RGBA {
	if len(data) < 8 {
		return nil
	}
	width, height := int(binary.LittleEndian.Uint32(data)), int(binary.LittleEndian.Uint32(data[4:]))
	img := image.NewRGBA(image.Rect(0, 0, width, height))
	for i := range min(width*height, len(data)/4-2) {
		b := data[8+4*i:]
		img.SetRGBA(i%width, i/width, color.RGBA{b[2], b[1], b[0], b[3]})
	}
	return img
}

// TestCopiesThePicture takes the picture from the clipboard: it is the one that
// an export with the dialog's usual choices writes.
func TestCopiesThePicture(t *testing.T) {
	t.Parallel()
	need(t, "xclip")
	p := launch(t, setup{})
	p.untilTitle("Tent lantern – Copperglass")
	p.untilCalm()
	p.keys("ctrl+shift+c")
	var copied []byte
	p.until("a picture is on the clipboard", func() bool {
		cmd := exec.Command("xclip", "-selection", "clipboard", "-t", "image/png", "-o")
		cmd.Env = []string{"DISPLAY=" + p.name}
		copied, _ = cmd.Output()
		return len(copied) > 0
	})
	path := p.home + "/picture.png"
	p.keys("ctrl+e")
	p.usualAnswer()
	p.keys("Return")
	p.usualAnswer()
	p.typeText(path)
	p.keys("Return")
	p.until("the picture is exported", func() bool { return fileExists(path) })
	exported, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := png.Decode(bytes.NewReader(copied)); err != nil || !bytes.Equal(copied, exported) {
		t.Errorf("%v; %d bytes are on the clipboard, %d in the exported file", err, len(copied), len(exported))
	}
	p.close()
	p.untilEnded()
}

// TestMenusByKeys opens menus without the mouse: F10 and Alt with a letter lead
// into the bar, Escape leads back to the sheet.
func TestMenusByKeys(t *testing.T) {
	t.Parallel()
	p := launch(t, setup{})
	p.untilTitle("Tent lantern – Copperglass")
	p.keys("F10", "Escape", "F10", "Down", "Return")
	p.untilTitle(untitled)
	p.keys("alt+e", "Left", "Up", "Return") // the last of the first menu
	p.untilEnded()
}

// TestTheSheetIsPaperWithoutADesktop: where no desktop says whether it is dark,
// the sheet is light.
func TestTheSheetIsPaperWithoutADesktop(t *testing.T) {
	t.Parallel()
	p := launch(t, setup{}, "--theme=", "--empty")
	img, sheet := p.untilCalm(), p.pixels(p.sheet())
	paper := 0
	for y := sheet.Min.Y; y < sheet.Max.Y; y++ {
		for x := sheet.Min.X; x < sheet.Max.X; x++ {
			if at(img, x, y) == p.look.Paper {
				paper++
			}
		}
	}
	if all := sheet.Dx() * sheet.Dy(); paper < all/2 {
		t.Errorf("%d of %d pixels of the sheet are paper", paper, all)
	}
}
