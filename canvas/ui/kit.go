package ui

import (
	"image/color"
	"math"
	"regexp"
	"strings"

	"fyne.io/fyne/v2"
	prim "fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/theme"

	"copperglass/canvas"
)

// styledText returns one line of text. Sizes of text are for text of the usual
// size, here as in all of this file; widths are as they are on the screen.
func styledText(s string, size float32, bold bool, c color.Color) *prim.Text {
	t := prim.NewText(s, c)
	t.TextSize = size * textScale()
	t.TextStyle.Bold = bold
	return t
}

// textWidth measures one line of text.
func textWidth(s string, size float32, bold bool) float32 {
	return fyne.MeasureText(s, size*textScale(), fyne.TextStyle{Bold: bold}).Width
}

// fits reports whether one line of text has room in a width. The toolkit takes
// some hundred allocations to measure a new text, so it is asked only of what is
// near that width: by kerning it makes a text narrower, or a little wider.
func fits(s string, width, size float32, bold bool) bool {
	const kerned = 1.02
	if kerned*canvas.TextWidth(s, float64(size*textScale()), bold) <= float64(width) {
		return true
	}
	return textWidth(s, size, bold) <= width
}

// elide cuts s so that it fits the width, with an ellipsis where something is
// gone.
func elide(s string, width, size float32, bold bool) string {
	if fits(s, width, size, bold) {
		return s
	}
	runes := []rune(s)
	runes = runes[:min(len(runes), 400)]
	low, high := 0, len(runes)
	for low < high {
		middle := (low + high + 1) / 2
		if fits(string(runes[:middle])+"…", width, size, bold) {
			low = middle
		} else {
			high = middle - 1
		}
	}
	return strings.TrimRight(string(runes[:low]), " ") + "…"
}

// wrap breaks s into lines that fit the width; a word that is wider than that
// is cut.
func wrap(s string, width, size float32, bold bool) []string {
	var lines []string
	line := ""
	for _, word := range wordsOf(s) {
		longer := strings.TrimSpace(line + " " + word)
		if line != "" && !fits(longer, width, size, bold) {
			lines = append(lines, line)
			longer = word
		}
		line = elide(longer, width, size, bold)
	}
	return append(lines, line)
}

// unitWord is a unit as it follows a number in a sentence.
var unitWord = regexp.MustCompile(`^([fpnµmkMGT]?(V|A|W|Ω|F|H|s|C|J)|h|K|min|%|°C)[.,;:)?]*$`)

// hours is a time of which minutes may follow.
var hours = regexp.MustCompile(`^\d+ h$`)

// wordsOf splits s at its spaces, but for those between a number and its unit and
// between hours and minutes.
func wordsOf(s string) []string {
	var list []string
	for _, word := range strings.Fields(s) {
		last := len(list) - 1
		if last >= 0 && (unitWord.MatchString(word) && endsInDigit(list[last]) || hours.MatchString(list[last]) && endsInDigit(word)) {
			list[last] += " " + word
			continue
		}
		list = append(list, word)
	}
	return list
}

func endsInDigit(s string) bool {
	c := s[len(s)-1]
	return c >= '0' && c <= '9'
}

// paragraph returns s in lines of the given width.
func paragraph(s string, width, size float32, c color.Color) fyne.CanvasObject {
	return lines(s, width, size, false, c)
}

// boldParagraph is as paragraph, for a title.
func boldParagraph(s string, width, size float32, c color.Color) fyne.CanvasObject {
	return lines(s, width, size, true, c)
}

func lines(s string, width, size float32, bold bool, c color.Color) fyne.CanvasObject {
	box := container.New(column{gap: 1})
	for _, line := range wrap(s, width, size, bold) {
		box.Add(styledText(line, size, bold, c))
	}
	return box
}

// refill gives a container other objects. The toolkit's own RemoveAll and Add
// leave what was there on the screen.
func refill(box *fyne.Container, objects ...fyne.CanvasObject) {
	box.Objects = objects
	box.Refresh()
}

// complain puts what is wrong into a container, in one sentence, or empties it.
func complain(box *fyne.Container, err error, width float32, look canvas.Theme) {
	if err == nil {
		refill(box)
		return
	}
	refill(box, paragraph(sentence(err.Error()), width, smallSize, look.Flag))
}

// column stacks its objects at whole units of height, so that nothing below a
// line of text stands between two pixels.
type column struct {
	gap float32 // between objects
	pad float32 // about them all
}

func (l column) Layout(objects []fyne.CanvasObject, size fyne.Size) {
	y := l.pad
	for _, o := range objects {
		if !o.Visible() {
			continue
		}
		h := ceil(o.MinSize().Height)
		o.Move(fyne.NewPos(l.pad, y))
		o.Resize(fyne.NewSize(size.Width-2*l.pad, h))
		y += h + l.gap
	}
}

func (l column) MinSize(objects []fyne.CanvasObject) fyne.Size {
	s := fyne.NewSize(0, 2*l.pad)
	n := 0
	for _, o := range objects {
		if o.Visible() {
			m := o.MinSize()
			s.Width = max(s.Width, m.Width+2*l.pad)
			s.Height += ceil(m.Height)
			n++
		}
	}
	s.Height += l.gap * float32(max(n-1, 0))
	return s
}

func ceil(x float32) float32 { return float32(math.Ceil(float64(x))) }

// ends puts its first object at the left and its second at the right, on one
// line; what stands between them stays empty.
type ends struct{}

func (ends) Layout(objects []fyne.CanvasObject, size fyne.Size) {
	for i, o := range objects {
		m := o.MinSize()
		x := float32(0)
		if i > 0 {
			x = size.Width - m.Width
		}
		o.Resize(m)
		o.Move(fyne.NewPos(float32(math.Round(float64(x))), float32(math.Round(float64(size.Height-m.Height)/2))))
	}
}

func (ends) MinSize(objects []fyne.CanvasObject) fyne.Size {
	var s fyne.Size
	for _, o := range objects {
		m := o.MinSize()
		s.Width += m.Width
		s.Height = max(s.Height, m.Height)
	}
	return s
}

// spread is as ends, with at least some room between the two.
type spread struct{ room float32 }

func (spread) Layout(objects []fyne.CanvasObject, size fyne.Size) { ends{}.Layout(objects, size) }

func (l spread) MinSize(objects []fyne.CanvasObject) fyne.Size {
	return ends{}.MinSize(objects).AddWidthHeight(l.room, 0)
}

// columns gives its objects fixed widths side by side; a width of 0 takes what
// the others leave.
type columns struct {
	widths []float32
	gap    float32
	top    bool // level at their heads rather than at their middles
}

func (l columns) Layout(objects []fyne.CanvasObject, size fyne.Size) {
	left := size.Width - l.gap*float32(len(objects)-1)
	for _, w := range l.widths {
		left -= w
	}
	x := float32(0)
	for i, o := range objects {
		w := l.widths[i]
		if w == 0 {
			w = max(left, 0)
		}
		h := min(o.MinSize().Height, size.Height)
		y := float32(math.Round(float64(size.Height-h) / 2))
		if l.top {
			y = 0
		}
		o.Resize(fyne.NewSize(w, h))
		o.Move(fyne.NewPos(x, y))
		x += w + l.gap
	}
}

func (l columns) MinSize(objects []fyne.CanvasObject) fyne.Size {
	s := fyne.NewSize(l.gap*float32(len(objects)-1), 0)
	for i, o := range objects {
		m := o.MinSize()
		s.Width += l.widths[i]
		s.Height = max(s.Height, ceil(m.Height))
	}
	return s
}

// gap is empty room of a height.
func gap(height float32) fyne.CanvasObject {
	r := prim.NewRectangle(color.Transparent)
	r.SetMinSize(fyne.NewSize(0, height))
	return r
}

// rule is a thin line across.
func rule(c color.Color) fyne.CanvasObject {
	r := prim.NewRectangle(c)
	r.SetMinSize(fyne.NewSize(0, 1))
	return r
}

// outlined puts the edge of an entry around a choice, which has none, and makes
// it as high as one.
func outlined(o fyne.CanvasObject, look canvas.Theme) fyne.CanvasObject {
	box := container.NewStack(o, rounded(color.Transparent, look.Border, 1, theme.InputRadiusSize()))
	return container.NewStack(gap(newEntry(func() {}).MinSize().Height), container.New(inset{1}, box))
}

// inset keeps its object off the edges of its room, as the toolkit does with
// the box of an entry.
type inset struct{ room float32 }

func (l inset) Layout(objects []fyne.CanvasObject, size fyne.Size) {
	objects[0].Move(fyne.NewPos(l.room, l.room))
	objects[0].Resize(size.SubtractWidthHeight(2*l.room, 2*l.room))
}

func (l inset) MinSize(objects []fyne.CanvasObject) fyne.Size {
	return objects[0].MinSize().SubtractWidthHeight(0, 2*l.room)
}

// newSign is a small picture of a size beside text of the usual size, which grows
// with the text.
func newSign(size fyne.Size, p canvas.Picture) fyne.CanvasObject {
	large := canvas.Picture{Items: scaled(p.Items, float64(textScale()), canvas.Point{})}
	return newSketch(fyne.NewSize(grown(size.Width), grown(size.Height)), func(fyne.Size) canvas.Picture { return large })
}

// rounded is the ground of a card.
func rounded(fill, edge color.Color, edgeWidth, radius float32) *prim.Rectangle {
	r := prim.NewRectangle(fill)
	r.StrokeColor, r.StrokeWidth, r.CornerRadius = edge, edgeWidth, radius
	return r
}
