package scene

import (
	"strings"

	"copperglass/canvas"
)

const (
	captionSize = 16.0
	captionDot  = " · "
	captionLong = 120 // runes of the title, and of the mode
)

// Caption is the line above an exported picture: the drawing's title, the mode
// it is in and what is tried with it, any of which may be empty.
func Caption(title, mode, tried string) string {
	return strings.Join(some(title, strings.Join(some(mode, tried), ", ")), captionDot)
}

// writeCaption writes the caption above the drawing, at its left.
func (b *builder) writeCaption() {
	if b.o.Caption == "" {
		return
	}
	title, mode := b.o.Caption, ""
	if i := strings.LastIndex(title, captionDot); i >= 0 {
		title, mode = title[:i], title[i+1:]
	}
	title, mode = brief(title, captionLong), brief(mode, captionLong)
	at := canvas.Pt(b.s.Bounds.Min.X, b.s.Bounds.Min.Y-canvas.Grid)
	size := b.scaled(captionSize)
	head := &canvas.Text{At: at, String: title, Size: size, Bold: true, Colour: b.t.Ink}
	at.X += canvas.TextWidth(title+" ", size, true)
	tail := &canvas.Text{At: at, String: mode, Size: size, Colour: b.t.Quiet}
	b.add(head)
	if mode != "" {
		b.add(tail)
	}
	b.s.Bounds = b.s.Bounds.Union(head.Bounds()).Union(tail.Bounds())
}
