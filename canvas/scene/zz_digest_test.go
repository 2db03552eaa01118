package scene

import (
	"crypto/sha256"
	"fmt"
	"math/rand/v2"
	"os"
	"testing"

	"copperglass/canvas"
)

func TestZZDigest(t *testing.T) {
	out := os.Getenv("DIGEST")
	if out == "" {
		t.Skip()
	}
	f, _ := os.Create(out)
	defer f.Close()
	for seed := range uint64(150) {
		rnd := rand.New(rand.NewPCG(seed, 1))
		d := randomDrawing(rnd, 5+rnd.IntN(56))
		r := inventedResult(d, rnd)
		o := lightOptions()
		s := Build(d, r, o)
		h := sha256.New()
		for _, it := range s.Picture.Items {
			switch it := it.(type) {
			case *canvas.Path:
				fmt.Fprintln(h, it.Style, it.Segs)
			case *canvas.Text:
				fmt.Fprintln(h, *it)
			}
		}
		fmt.Fprintln(h, s.Labels, s.Dropped, s.Flags, s.Bounds)
		fmt.Fprintf(f, "%d %x %d %d\n", seed, h.Sum(nil)[:8], len(s.Labels), len(s.Dropped))
	}
}
