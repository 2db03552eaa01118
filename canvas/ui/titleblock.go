package ui

import (
	"strings"
	"time"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"copperglass/model"
)

// editBlock asks for the title, and for who drew it, when, and which revision
// it is: the title block of the sheet and of exported pictures. A new one is of
// today, by who drew the last.
func (w *Window) editBlock() {
	d := w.doc.Diagram()
	block := d.Block
	if block == (model.TitleBlock{}) {
		block = model.TitleBlock{Who: w.settings.who, Date: time.Now().Format(time.DateOnly)}
	}
	title, who := w.dialogEntry(d.Title), w.dialogEntry(block.Who)
	date, revision := w.dialogEntry(block.Date), w.dialogEntry(block.Revision)
	line := func(label string, e fyne.CanvasObject) fyne.CanvasObject {
		return container.New(columns{widths: []float32{labelRoom(), 0}, gap: labelGap}, styledText(label, textSize, false, w.look.Quiet), e)
	}
	form := container.New(column{gap: 8}, line("Title", title), line("Drawn by", who), line("Date", date), line("Revision", revision),
		paragraph("With a name, a date or a revision, a title block stands below the drawing, in pictures too.", dialogWidth, smallSize, w.look.Quiet))
	w.ask("Title block", form, answer{label: "Cancel"}, answer{label: "Done", do: func() {
		w.settings.signed(who.Text)
		w.fail("Not done", w.doc.setBlock(title.Text, model.TitleBlock{Who: who.Text, Date: date.Text, Revision: revision.Text}))
	}})
	w.focusAll(title)
}

// setBlock names the drawing and fills its title block in, where that is
// anything new.
func (doc *Document) setBlock(title string, b model.TitleBlock) error {
	for _, text := range []*string{&title, &b.Who, &b.Date, &b.Revision} {
		*text = strings.TrimSpace(*text)
	}
	if d := doc.Diagram(); d.Title == title && d.Block == b {
		return nil
	}
	return doc.Edit("title block", "", func(f *model.Draft) {
		f.SetTitle(title)
		f.SetBlock(b)
	})
}
