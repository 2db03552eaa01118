package ui

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"
)

// entryFrame keeps a text that is longer than its entry off the border, which the
// toolkit's own entry lets it run over. The bar under such a text stays: a theme of
// its own for each entry would take it away, but the toolkit (2.7.1) keeps all fonts
// anew, and for ever, for each.
type entryFrame struct {
	fyne.WidgetRenderer
	entry *widget.Entry
}

// CreateRenderer makes what draws the entry.
func (e *entry) CreateRenderer() fyne.WidgetRenderer {
	return &entryFrame{WidgetRenderer: e.Entry.CreateRenderer(), entry: &e.Entry}
}

// CreateRenderer makes what draws the entry.
func (e *dialogEntry) CreateRenderer() fyne.WidgetRenderer {
	return &entryFrame{WidgetRenderer: e.Entry.CreateRenderer(), entry: &e.Entry}
}

func (f *entryFrame) Layout(size fyne.Size) {
	f.WidgetRenderer.Layout(size)
	f.inset()
}

func (f *entryFrame) Refresh() {
	f.WidgetRenderer.Refresh()
	f.inset()
}

// inset draws the edges of a long text in.
func (f *entryFrame) inset() {
	if f.entry.MultiLine {
		return
	}
	th, size := f.entry.Theme(), f.entry.Size()
	border, pad := th.Size(theme.SizeNameInputBorder), th.Size(theme.SizeNameInnerPadding)
	room := size.Width - border - pad
	if f.entry.ActionItem != nil {
		room -= f.entry.ActionItem.MinSize().Width
	}
	for _, o := range f.Objects() {
		if s, ok := o.(*container.Scroll); ok {
			s.Move(fyne.NewPos(border, border))
			s.Resize(fyne.NewSize(max(room, 0), max(size.Height-4*border, 0)))
		}
	}
}
