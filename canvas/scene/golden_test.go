package scene

import (
	"bytes"
	"context"
	"flag"
	"fmt"
	"image"
	"image/png"
	"os"
	"path/filepath"
	"testing"

	"copperglass/analysis"
	"copperglass/assets"
	"copperglass/canvas"
	"copperglass/canvas/raster"
	"copperglass/canvas/svg"
	"copperglass/canvas/svg/svgtest"
	"copperglass/model"
	"copperglass/model/file"
)

var update = flag.Bool("update", false, "write the golden pictures")

// shown are the examples in the mode in which there is most to see.
var shown = []struct{ name, mode string }{
	{"lantern", "White"},
	{"high-side", "Drive low"},
	{"low-side", "Drive high"},
	{"sensor", ""},
	{"meter", "With the meter"},
	{"lesson", ""},
}

func example(t testing.TB, name string) *model.Diagram {
	t.Helper()
	text, err := assets.Example(name)
	if err != nil {
		t.Fatal(err)
	}
	d, err := file.Decode(bytes.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	return d
}

func solve(t testing.TB, d *model.Diagram, mode string) *analysis.Result {
	t.Helper()
	r, err := analysis.Solve(context.Background(), d, analysis.Options{Mode: mode})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func themes() map[string]canvas.Theme {
	return map[string]canvas.Theme{"light": canvas.LightTheme(), "dark": canvas.DarkTheme()}
}

// Every visitor sees the examples first: they solve without a fault in every
// mode, and what is drawn of them is legible.
func TestExamples(t *testing.T) {
	asked, dropped := 0, 0
	for _, e := range shown {
		d := example(t, e.name)
		modes := []string{""}
		for _, m := range d.Modes {
			modes = append(modes, m.Name)
		}
		for _, mode := range modes {
			r := solve(t, d, mode)
			if !r.Solved || len(r.Faults) > 0 {
				t.Errorf("%s, mode %q: solved %v, faults %v", e.name, mode, r.Solved, r.Faults)
			}
			for theme, th := range themes() {
				s := Build(d, r, Options{Theme: th, Show: Usual(), Legend: true})
				for _, f := range overlaps(d, s) {
					t.Errorf("%s, mode %q, %s: %s", e.name, mode, theme, f)
				}
				asked += len(s.Labels) + len(s.Dropped)
				dropped += len(s.Dropped)
				for _, l := range s.Dropped {
					t.Logf("%s, mode %q: dropped %q of %s", e.name, mode, l.Text, l.Ref)
				}
			}
		}
	}
	if share := float64(dropped) / float64(asked); share >= 0.03 {
		t.Errorf("%.1f %% of %d labels were dropped, want less than 3 %%", 100*share, asked)
	}
}

// The file of an example is what saving it would write.
func TestExamplesAreCanonical(t *testing.T) {
	for _, name := range assets.Examples() {
		want, err := assets.Example(name)
		if err != nil {
			t.Fatal(err)
		}
		var got bytes.Buffer
		if err := file.Encode(&got, example(t, name)); err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(got.Bytes(), want) {
			t.Errorf("%s.cglass is not as the program writes it", name)
		}
	}
}

func TestGolden(t *testing.T) {
	for _, e := range shown {
		d := example(t, e.name)
		r := solve(t, d, e.mode)
		for theme, th := range themes() {
			t.Run(e.name+"-"+theme, func(t *testing.T) {
				t.Parallel()
				s := Build(d, r, Options{Theme: th, Show: Usual(), Legend: true})
				var bitmap, vector bytes.Buffer
				if err := raster.WritePNG(&bitmap, &s.Picture, 1, Margin); err != nil {
					t.Fatal(err)
				}
				if err := svg.Write(&vector, &s.Picture, Margin); err != nil {
					t.Fatal(err)
				}
				golden(t, e.name+"-"+theme+".png", bitmap.Bytes(), samePixels)
				golden(t, e.name+"-"+theme+".svg", vector.Bytes(), sameText)
			})
		}
	}
}

// SVG and PNG of every example show the same.
func TestRenderersAgree(t *testing.T) {
	for _, e := range shown {
		d := example(t, e.name)
		s := Build(d, solve(t, d, e.mode), Options{Theme: canvas.LightTheme(), Show: Usual(), Legend: true})
		t.Run(e.name, func(t *testing.T) {
			t.Parallel()
			svgtest.Compare(t, &s.Picture)
		})
	}
}

// golden compares with the master of that name, and keeps what differs beside
// it.
func golden(t *testing.T, name string, got []byte, same func(got, want []byte) error) {
	t.Helper()
	master := filepath.Join("testdata", name)
	if *update {
		if err := os.WriteFile(master, got, 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	want, err := os.ReadFile(master)
	if err != nil {
		t.Fatalf("%v; run `go test ./canvas/scene -update` and look at what it writes", err)
	}
	if err := same(got, want); err != nil {
		failed := filepath.Join("testdata", "failed-"+name)
		if e := os.WriteFile(failed, got, 0o644); e != nil {
			t.Error(e)
		}
		t.Errorf("%s: %v; compare it with %s, and run `go test ./canvas/scene -update` if the new one is right", master, err, failed)
	}
}

func sameText(got, want []byte) error {
	if !bytes.Equal(got, want) {
		return fmt.Errorf("the text has changed")
	}
	return nil
}

// samePixels lets a channel differ by what rounding may do on another
// processor.
func samePixels(got, want []byte) error {
	const most = 2
	a, err := png.Decode(bytes.NewReader(got))
	if err != nil {
		return err
	}
	b, err := png.Decode(bytes.NewReader(want))
	if err != nil {
		return err
	}
	if a.Bounds() != b.Bounds() {
		return fmt.Errorf("the size has changed from %v to %v", b.Bounds(), a.Bounds())
	}
	n := 0
	for y := a.Bounds().Min.Y; y < a.Bounds().Max.Y; y++ {
		for x := a.Bounds().Min.X; x < a.Bounds().Max.X; x++ {
			if farApart(a, b, x, y, most) {
				n++
			}
		}
	}
	if n > 0 {
		return fmt.Errorf("%d pixels have changed", n)
	}
	return nil
}

func farApart(a, b image.Image, x, y, most int) bool {
	r0, g0, b0, a0 := a.At(x, y).RGBA()
	r1, g1, b1, a1 := b.At(x, y).RGBA()
	for _, d := range [...]int{int(r0>>8) - int(r1>>8), int(g0>>8) - int(g1>>8), int(b0>>8) - int(b1>>8), int(a0>>8) - int(a1>>8)} {
		if d > most || d < -most {
			return true
		}
	}
	return false
}
