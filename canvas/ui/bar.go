package ui

import (
	"fmt"
	"math"
	"strings"
	"time"

	"fyne.io/fyne/v2"
	prim "fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"

	"copperglass/analysis"
	"copperglass/canvas"
	"copperglass/model"
)

// barHeight is the height of the band.
func barHeight() float32 { return grown(46) }

// bar is the band along the top: what the drawing is called, how far it is
// traced, and whether its figures can be believed.
type bar struct {
	doc    *Document
	look   canvas.Theme
	object fyne.CanvasObject

	title   *titleEntry
	box     *titleBox // around the title
	traced  *prim.Text
	status  *prim.Text
	short   string // the status, which is cut where it does not fit
	news    string // what has just been done, shown in place of the status, or ""
	ahead   string // what letting go would cover, or what may be typed next, or ""
	doing   string // what the keys hold and how to go on, or ""
	exposed bool   // whether what is not saved would be lost in a crash
	table   actions
	later   Later
	still   func()          // keeps the news from fading
	whole   *hinted         // around the status
	alarm   *prim.Rectangle // behind a status that nobody shall miss
	row     *fyne.Container
}

func newBar(doc *Document, look canvas.Theme, t *tips, later Later, table actions, release func()) *bar {
	b := &bar{doc: doc, look: look, later: later, table: table, still: func() {}}
	b.box = newTitleBox(look, t, release)
	b.title = b.box.entry
	b.title.typed = b.rename
	b.title.lost = b.left
	b.title.cancel = doc.dropTyped
	b.traced = styledText("", textSize, false, look.BarQuiet)
	b.status = styledText("", textSize, false, look.BarQuiet)
	b.alarm = rounded(look.Flag, look.Flag, 0, 6)
	b.whole = newHinted(t, "", container.New(alarmLayout{}, b.alarm, b.status))
	b.row = container.New(barLayout{b}, b.box, b.traced, b.whole)
	b.object = container.NewStack(prim.NewRectangle(look.Bar), b.row)
	b.refresh()
	return b
}

// rename is called while the title is typed.
func (b *bar) rename(title string) {
	switch {
	case b.title.quiet:
	case title == b.doc.history.Diagram().Title:
		b.doc.dropTyped()
	default:
		b.doc.Type("name of the drawing", func(f *model.Draft) { f.SetTitle(title) })
	}
}

// left is called when the title loses the keyboard.
func (b *bar) left() {
	b.doc.keepTyped()
	b.title.show(b.doc.Shown().Title)
	b.box.rest()
}

// refresh follows the document.
func (b *bar) refresh() {
	d := b.doc.Shown()
	b.title.show(d.Title)
	b.title.call(b.doc.fileTitle())
	b.traced.Text, b.traced.Color = b.beside(), b.look.BarQuiet
	if b.exposed {
		b.traced.Color = b.look.OnBar
	}
	b.short, b.whole.text = b.says()
	b.status.Color, b.status.TextStyle.Bold = b.look.BarQuiet, false
	b.alarm.Hide()
	switch {
	case b.news != "":
		b.short, b.status.Color, b.status.TextStyle.Bold = b.news, b.look.OnBar, true
	case strings.HasPrefix(b.short, unsolvedWords):
		b.status.Color, b.status.TextStyle.Bold = b.look.OnFlag, true
		b.alarm.Show()
	}
	b.box.Refresh()
	b.traced.Refresh()
	b.row.Refresh()
}

// beside is what stands beside the title: whether the drawing is saved, how far it
// is traced, and whether what is not saved is kept.
func (b *bar) beside() string {
	var said []string
	if b.doc.Changed() {
		said = append(said, unsavedWords)
	}
	if t := traced(b.doc.Diagram()); t != "" {
		said = append(said, t)
	}
	if b.exposed {
		said = append(said, exposedWords)
	}
	return strings.Join(said, " · ")
}

// unsavedWords mark a drawing that is not in its file as it is.
const unsavedWords = "• not saved"

// exposedWords stand in the bar as long as the journal cannot be written.
const exposedWords = "unsaved work is not kept: save soon"

// newsTime is how long the bar says what has just been done.
const newsTime = 5 * time.Second

// report says for some seconds what has just been done.
func (b *bar) report(news string) {
	b.hush()
	b.news = news
	b.refresh()
	b.still = b.later(newsTime, b.fade)
}

// fade goes back to the status.
func (b *bar) fade() {
	b.news = ""
	b.refresh()
}

// hush drops what is waiting to fade.
func (b *bar) hush() { b.still() }

// says is what a gesture waits for where one is under way, else the status.
func (b *bar) says() (short, long string) {
	told := func(name string) string { return b.table.named(name).told() }
	switch k := b.doc.editor.Placing(); {
	case b.ahead != "":
		return b.ahead, ""
	case k != nil:
		return fmt.Sprintf("click or %s places it: %s · %s turns it, %s mirrors it, %s drops it",
			told("act"), k.Title, told("turn"), told("mirror"), told("cancel")), ""
	case !b.doc.editor.Hanging().Empty():
		return fmt.Sprintf("click or %s sets it down; %s turns it, %s mirrors it, %s drops it",
			told("act"), told("turn"), told("mirror"), told("cancel")), ""
	case b.doc.editor.DrawingWires():
		return fmt.Sprintf("drawing wires · click or %s where one begins, bends and ends; %s stops", told("act"), told("cancel")), ""
	case b.doing != "":
		return b.doing, ""
	}
	if dragging, loose := b.doc.editor.Dragging(); dragging {
		leaves := "leaves the wires behind"
		if b.doc.editor.Sliding() {
			return fmt.Sprintf("the wire slides and stays joined; %s takes it away from what it is joined to, %s puts it back", told("leave wires"), told("cancel")), ""
		}
		if loose {
			leaves = "takes the wires along"
		}
		return fmt.Sprintf("%s %s, %s turns it, %s puts it back", told("leave wires"), leaves, told("turn"), told("cancel")), ""
	}
	return status(b.doc)
}

// status says in few words, and then in all, how the solution stands.
func status(doc *Document) (short, long string) {
	r := doc.Result()
	switch {
	case len(doc.Shown().Parts) == 0:
		return "", ""
	case r == nil:
		return "solving…", ""
	case !r.Solved:
		return unsolved(r)
	}
	if doc.Previewing() { // where figures of the solver that change with every turn tell nobody anything
		return "solved, as tried · the drawing stays as it is", ""
	}
	short = fmt.Sprintf("solved in %s, %s · currents balance to %s A", elapsed(r.Elapsed), plural(r.Iterations, "iteration", "iterations"), magnitude(r.ResidualCurrent))
	long = fmt.Sprintf("Solved by %s in %s. At no net do the currents add up to more than %s A, and the powers of all parts add up to %s W.",
		r.Method, plural(r.Iterations, "iteration", "iterations"), magnitude(r.ResidualCurrent), magnitude(r.PowerBalance))
	return short, long
}

// unsolvedWords begin the status of a drawing without a solution.
const unsolvedWords = "not solved"

func unsolved(r *analysis.Result) (short, long string) {
	var stops []string
	for _, f := range r.Faults {
		if f.Stops {
			stops = append(stops, sentence(f.Text))
		}
	}
	if len(stops) == 0 {
		return unsolvedWords, ""
	}
	short = unsolvedWords + ": " + strings.TrimSuffix(stops[0], ".")
	return short, strings.Join(stops[:min(len(stops), 5)], " ")
}

// elapsed writes a time in milliseconds.
func elapsed(d time.Duration) string {
	ms := float64(d) / float64(time.Millisecond)
	switch {
	case ms < 10:
		return fmt.Sprintf("%.2f ms", ms)
	case ms < 1000:
		return fmt.Sprintf("%.0f ms", ms)
	}
	return fmt.Sprintf("%.1f s", ms/1000)
}

// magnitude writes the next power of ten above a small number, as in 1e-15.
func magnitude(x float64) string {
	x = math.Abs(x)
	if x == 0 {
		return "0"
	}
	return fmt.Sprintf("1e%.0f", math.Ceil(math.Log10(x)))
}

// barLayout gives the title and the count what they need and the status what
// is left.
type barLayout struct{ bar *bar }

func (l barLayout) Layout(objects []fyne.CanvasObject, size fyne.Size) {
	const pad, between = 12, 6
	b := l.bar
	x := float32(pad)
	for _, o := range objects[:2] {
		m := o.MinSize()
		m.Width = min(m.Width, size.Width*0.4)
		o.Resize(m)
		o.Move(fyne.NewPos(x, ceil((size.Height-m.Height)/2)))
		x += ceil(m.Width) + between
	}
	b.status.Text = b.fitting(max(size.Width-x-2*pad-alarmPad, 40))
	m := b.status.MinSize()
	m = m.AddWidthHeight(2*alarmPad, 8)
	objects[2].Resize(m)
	objects[2].Move(fyne.NewPos(float32(int(size.Width-m.Width-20+alarmPad)), ceil((size.Height-m.Height)/2)))
}

// fitting is the status as far as it fits a width, by whole clauses: half a figure
// would be another one.
func (b *bar) fitting(width float32) string {
	text, bold := b.short, b.status.TextStyle.Bold
	for textWidth(text, textSize, bold) > width {
		end := strings.LastIndex(text, " · ")
		if end < 0 {
			break
		}
		text = text[:end]
	}
	return elide(text, width, textSize, bold)
}

// alarmPad is the room of the status at its sides.
const alarmPad = 10

// alarmLayout puts its second object in the middle of its first.
type alarmLayout struct{}

func (alarmLayout) Layout(objects []fyne.CanvasObject, size fyne.Size) {
	m := objects[1].MinSize()
	objects[0].Resize(size)
	objects[1].Resize(m)
	objects[1].Move(fyne.NewPos(alarmPad, float32(int((size.Height-m.Height)/2))))
}

func (alarmLayout) MinSize(objects []fyne.CanvasObject) fyne.Size {
	return objects[1].MinSize().AddWidthHeight(2*alarmPad, 8)
}

func (l barLayout) MinSize([]fyne.CanvasObject) fyne.Size { return fyne.NewSize(200, barHeight()) }
