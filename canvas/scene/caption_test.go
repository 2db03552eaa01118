package scene

import (
	"testing"

	"copperglass/canvas"
)

// The caption stands above everything else, at its left, and within the
// bounds.
func TestCaption(t *testing.T) {
	d, r := switched()
	plain := Build(d, r, lightOptions())
	for _, tt := range []struct {
		caption string
		want    []string // texts
	}{
		{"", nil},
		{Caption("Lamp", "", ""), []string{"Lamp"}},
		{Caption("", "White", ""), []string{"White"}},
		{Caption("Lamp", "White", ""), []string{"Lamp", "· White"}},
		{Caption("A · B", "White", ""), []string{"A · B", "· White"}},
		{Caption("Lamp", "White", "what if: more"), []string{"Lamp", "· White, what if: more"}},
	} {
		o := lightOptions()
		o.Caption = tt.caption
		s := Build(d, r, o)
		added := s.Picture.Items[len(plain.Picture.Items):]
		if len(added) != len(tt.want) {
			t.Errorf("%q adds %d items, want %d", tt.caption, len(added), len(tt.want))
			continue
		}
		for i, it := range added {
			text := it.(*canvas.Text)
			if text.String != tt.want[i] || text.Bold != (i == 0) {
				t.Errorf("%q: text %d is %q, bold %v", tt.caption, i, text.String, text.Bold)
			}
			if box := text.Bounds(); box.Max.Y > plain.Bounds.Min.Y+Margin || !inside(box, s.Bounds) {
				t.Errorf("%q: the text is at %v, the drawing at %v of %v", tt.caption, box, plain.Bounds, s.Bounds)
			}
		}
	}
}
