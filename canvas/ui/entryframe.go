package ui

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/theme"
)

// entryFrame keeps a text that is longer than its entry off the border, which the
// toolkit's own entry lets it run over with its scroll bar.
type entryFrame struct {
	fyne.WidgetRenderer
	entry *entry
}

// CreateRenderer makes what draws the entry.
func (e *entry) CreateRenderer() fyne.WidgetRenderer {
	return &entryFrame{e.Entry.CreateRenderer(), e}
}

func (f *entryFrame) Layout(size fyne.Size) {
	f.WidgetRenderer.Layout(size)
	f.inset()
}

func (f *entryFrame) Refresh() {
	f.WidgetRenderer.Refresh()
	f.inset()
}

// inset draws the edges of a long text in, so that the bar lies within the
// border, too.
func (f *entryFrame) inset() {
	if f.entry.MultiLine {
		return
	}
	th, size := f.entry.Theme(), f.entry.Size()
	border, pad := th.Size(theme.SizeNameInputBorder), th.Size(theme.SizeNameInnerPadding)
	for _, o := range f.Objects() {
		if s, ok := o.(*container.Scroll); ok {
			s.Move(fyne.NewPos(border, border))
			s.Resize(fyne.NewSize(max(size.Width-border-pad, 0), max(size.Height-4*border, 0)))
		}
	}
}
