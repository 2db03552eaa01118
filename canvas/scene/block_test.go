package scene

import (
	"strings"
	"testing"

	"copperglass/canvas"
	"copperglass/model"
)

// The title block stands below everything else, inside the bounds, with each
// text inside its frame; a drawing that says nothing has none.
func TestTitleBlock(t *testing.T) {
	t.Parallel()
	d, r := switched()
	plain := Build(d, r, lightOptions())
	for _, tt := range []struct {
		title string
		block model.TitleBlock
		want  string // the texts, joined
	}{
		{"Lamp", model.TitleBlock{}, ""},
		{"Lamp", model.TitleBlock{Who: "M. Maker", Date: "2026-11-25", Revision: "B"}, "Lamp|M. Maker|2026-11-25|rev. B"},
		{"", model.TitleBlock{Date: "2026-11-25"}, "2026-11-25"},
		{strings.Repeat("long title ", 20), model.TitleBlock{Who: strings.Repeat("name ", 40)}, ""},
	} {
		c := d.Snapshot()
		c.Title, c.Block = tt.title, tt.block
		s := Build(c, r, lightOptions())
		added := s.Picture.Items[len(plain.Picture.Items):]
		var texts []string
		var frames []canvas.Rect
		for _, it := range added {
			if box := it.Bounds(); !inside(box, s.Bounds) || box.Min.Y < plain.Bounds.Max.Y-Margin {
				t.Errorf("%+v: something stands at %v; the drawing in %v of %v", tt.block, box, plain.Bounds, s.Bounds)
			}
			switch it := it.(type) {
			case *canvas.Path:
				frames = append(frames, it.Bounds())
			case *canvas.Text:
				texts = append(texts, it.String)
				if !inside(it.Bounds(), frames[len(frames)-1]) {
					t.Errorf("%q at %v is not in its frame %v", it.String, it.Bounds(), frames[len(frames)-1])
				}
			}
		}
		if got := strings.Join(texts, "|"); tt.want != "" && got != tt.want || tt.block == (model.TitleBlock{}) && got != "" {
			t.Errorf("the block says %q, want %q", got, tt.want)
		}
	}
}
