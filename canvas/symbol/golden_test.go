package symbol_test

import (
	"bytes"
	"flag"
	"image"
	"image/color"
	"image/png"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"copperglass/canvas"
	"copperglass/canvas/raster"
	"copperglass/canvas/symbol"
	"copperglass/model/geom"
)

var update = flag.Bool("update", false, "write the master pictures anew")

// TestSheets compares every symbol, as it lies unturned, turned and shining,
// and mirrored and guessed, with a master picture.
func TestSheets(t *testing.T) {
	tests := []struct {
		name     string
		standard symbol.Standard
		theme    canvas.Theme
	}{
		{"iec-light", symbol.IEC, canvas.LightTheme()},
		{"iec-dark", symbol.IEC, canvas.DarkTheme()},
		{"ieee-light", symbol.IEEE, canvas.LightTheme()},
		{"ieee-dark", symbol.IEEE, canvas.DarkTheme()},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			t.Parallel()
			picture := sheet(test.standard, test.theme)
			compare(t, picture, filepath.Join("testdata", "sheet-"+test.name+".png"))
		})
	}
}

// sheet lays the specimens out in bands, each band in three looks.
func sheet(std symbol.Standard, theme canvas.Theme) *canvas.Picture {
	looks := []symbol.Look{
		{Standard: std, Theme: theme},
		{Standard: std, Theme: theme, Glow: 1},
		{Standard: std, Theme: theme, Glow: 0.5, Guessed: true},
	}
	lies := []geom.Orientation{{}, {Turn: 90}, {Turn: 270, Mirror: true}}
	picture := &canvas.Picture{Paper: theme.Paper}
	const steps = 9 // from one specimen to the next
	y := 0
	for band := range slices.Chunk(specimens(), 9) {
		pitch := bandPitch(band)
		for i, s := range band {
			for row := range looks {
				p := s.part.Clone()
				p.At, p.Orient = geom.Pt(i*steps, y+row*pitch+pitch/2), lies[row]
				picture.Add(symbol.Draw(p, s.values, looks[row])...)
			}
		}
		y += len(looks) * pitch
	}
	return picture
}

// bandPitch is enough grid steps for the longest of the specimens, turned or
// not, and two more.
func bandPitch(band []specimen) int {
	longest := 0.0
	for _, s := range band {
		if e := symbol.Extent(s.part); s.part.Kind != "note" {
			longest = max(longest, e.Width(), e.Height())
		}
	}
	return int(longest/canvas.Grid) + 2
}

func compare(t *testing.T, p *canvas.Picture, master string) {
	t.Helper()
	var got bytes.Buffer
	if err := raster.WritePNG(&got, p, 2, 20); err != nil {
		t.Fatal(err)
	}
	if *update {
		write(t, master, got.Bytes())
		return
	}
	want, err := os.ReadFile(master)
	if err != nil {
		t.Fatalf("%v; run the test with -update to write it", err)
	}
	if !alike(decode(t, got.Bytes()), decode(t, want)) {
		failed := filepath.Join(filepath.Dir(master), "failed", filepath.Base(master))
		write(t, failed, got.Bytes())
		t.Errorf("the picture differs from %s; what was drawn is in %s", master, failed)
	}
}

func write(t *testing.T, name string, data []byte) {
	t.Helper()
	if err := os.MkdirAll(filepath.Dir(name), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(name, data, 0o644); err != nil {
		t.Fatal(err)
	}
}

func decode(t *testing.T, data []byte) image.Image {
	t.Helper()
	m, err := png.Decode(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// alike allows each channel 3 of 255: processors that fuse multiplication with
// addition round differently.
func alike(a, b image.Image) bool {
	if a.Bounds() != b.Bounds() {
		return false
	}
	for y := a.Bounds().Min.Y; y < a.Bounds().Max.Y; y++ {
		for x := a.Bounds().Min.X; x < a.Bounds().Max.X; x++ {
			if !near(a.At(x, y), b.At(x, y)) {
				return false
			}
		}
	}
	return true
}

func near(a, b color.Color) bool {
	ar, ag, ab, aa := a.RGBA()
	br, bg, bb, ba := b.RGBA()
	const most = 3 * 257
	return gap(ar, br) <= most && gap(ag, bg) <= most && gap(ab, bb) <= most && gap(aa, ba) <= most
}

func gap(a, b uint32) uint32 { return max(a, b) - min(a, b) }
