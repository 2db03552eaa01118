package scene

import (
	"math/rand/v2"
	"strings"
	"testing"

	"copperglass/canvas"
)

// However far away the sheet is, letters stay of a size that can be read, and
// every part has its name as long as a drawing of this size is not a speck.
func TestLettersCanBeReadFromFarAway(t *testing.T) {
	t.Parallel()
	const least = 6.5 // pixels
	rnd := rand.New(rand.NewPCG(3, 14))
	d := tidyDrawing(rnd, 20)
	r, o := inventedResult(d, rnd), lightOptions()
	shown := len(Build(d, r, o).Labels)
	for _, scale := range []float64{1, 0.7, 0.5, 0.43, 0.3, 0.24, 0.18} {
		o.Level, o.Growth = LevelAt(scale), GrowthAt(scale)
		s := Build(d, r, o)
		for _, it := range s.Picture.Items {
			if text, is := it.(*canvas.Text); is && text.Bold && len(text.String) > 1 && text.Size*scale < least {
				t.Errorf("at %v %q is %.1f pixels high", scale, text.String, text.Size*scale)
			}
		}
		named := map[string]bool{}
		for _, l := range s.Labels {
			named[l.Ref] = named[l.Ref] || l.Kind == NameLabel
		}
		for _, p := range d.Parts {
			if k := p.LookupKind(); !k.Sign && p.Placed && !named[p.Ref] && scale > mainScale {
				t.Errorf("at %v %s has no name", scale, p.Ref)
			}
		}
		if scale < mainScale && len(s.Labels) >= shown {
			t.Errorf("at %v there are %d labels, as many as near by", scale, len(s.Labels))
		}
	}
}

// The words at a chip's pins go with the lesser labels, and come back in place.
func TestPinsLoseTheirWordsFarAway(t *testing.T) {
	t.Parallel()
	d := example(t, "lantern")
	o := lightOptions()
	pins := func() (n int) {
		for _, it := range Build(d, nil, o).Picture.Items {
			if text, is := it.(*canvas.Text); is && strings.HasSuffix(text.String, "supply") {
				n++
			}
		}
		return n
	}
	near := pins()
	o.Level = Main
	if far := pins(); near == 0 || far != 0 {
		t.Errorf("%d pins near by, %d from far away", near, far)
	}
}
