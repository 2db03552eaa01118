package ui

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"
)

// entryFrame keeps a text that is longer than its entry off the border, which the
// toolkit's own entry lets it run over, and has no bar under it: the cursor leads to
// what is not seen.
type entryFrame struct {
	fyne.WidgetRenderer
	entry  *widget.Entry
	scroll *container.Scroll // that has no bar any more, or nil
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
			f.bare(s, th)
			s.Move(fyne.NewPos(border, border))
			s.Resize(fyne.NewSize(max(room, 0), max(size.Height-4*border, 0)))
		}
	}
}

// bare takes the bar away. The toolkit's override gives what it is made with its
// theme, and need not stand in the window for that.
func (f *entryFrame) bare(s *container.Scroll, th fyne.Theme) {
	if f.scroll != s {
		f.scroll = s
		container.NewThemeOverride(s, barless{th})
	}
}
