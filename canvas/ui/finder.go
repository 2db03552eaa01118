package ui

import (
	"slices"
	"strings"
	"unicode"

	"fyne.io/fyne/v2"
	prim "fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"

	"copperglass/canvas"
)

// found is a line of a list that can be searched.
type found struct {
	title  string
	detail string // quieter, behind the title
	end    string // at the right, such as a key
	words  string // what else it is found by
	more   string // what is told of it when it is about to be chosen, after the detail
	now    bool   // whether it is what holds at present, where a list begins
	off    bool   // whether it cannot be chosen now
	choose func()
}

// finder is a list that is searched while one types.
type finder struct {
	window *Window
	all    []found
	shown  []found
	at     int // the line that Enter chooses, −1 for none
	entry  *finderEntry
	list   *widget.List
	none   *prim.Text
	about  *fyne.Container // the whole of what the line that Enter chooses says
	told   string          // what stands there
}

const (
	finderWidth  = 560
	finderHeight = 380
	finderLine   = 30
	finderPad    = 10
	aboutHeight  = 34 // two lines
)

// find opens a list that is searched while one types. Enter and a click choose
// a line; the verb says what that does.
func (w *Window) find(title, prompt, verb string, all []found) {
	f := &finder{window: w, all: all}
	f.entry = &finderEntry{dialogEntry: dialogEntry{window: w, step: f.step}, finder: f}
	f.entry.ExtendBaseWidget(f.entry)
	f.entry.SetPlaceHolder(prompt)
	f.entry.OnChanged = f.search
	f.list = widget.NewList(func() int { return len(f.shown) }, func() fyne.CanvasObject { return newFinderLine(w.look) }, f.fill)
	f.list.HideSeparators = true
	f.list.OnSelected = f.tapped
	f.none = styledText("nothing like that", textSize, false, w.look.Quiet)
	f.about = container.New(column{})
	f.search("")
	room := container.New(tall{w.listHeight()}, container.NewStack(container.New(overhang{}, f.list), container.NewCenter(f.none)))
	body := container.New(column{gap: 8}, f.entry, wide(room, w.listWidth()), container.New(atLeast{height: grown(aboutHeight)}, f.about))
	w.ask(title, body, answer{label: "Close"}, answer{label: verb, check: f.ready, do: f.choose})
	if f.at > 0 {
		f.list.ScrollTo(f.at)
	}
	w.focus(f.entry)
}

// listHeight is the height of a list in a dialog: as much as it may have, in the
// window there is.
func (w *Window) listHeight() float32 {
	const around = 242 // heading, entry, what is told of a line, and buttons, for text of the usual size
	return max(grown(100), min(grown(finderHeight), w.win.Canvas().Size().Height-grown(around)))
}

// listWidth is its width.
func (w *Window) listWidth() float32 {
	const around = 60
	return min(grown(finderWidth), w.win.Canvas().Size().Width-around)
}

// overhang puts the bar that scrolls a list beside its lines, into the margin.
type overhang struct{}

// listBar is the room of that bar.
const listBar = 12

func (overhang) Layout(objects []fyne.CanvasObject, size fyne.Size) {
	objects[0].Move(fyne.NewPos(0, 0))
	objects[0].Resize(size.AddWidthHeight(listBar, 0))
}

func (overhang) MinSize(objects []fyne.CanvasObject) fyne.Size { return objects[0].MinSize() }

// search shows the lines that answer to all words of the text, the likeliest
// first. Enter takes the first of the likeliest that can be chosen, and before
// anything is typed what holds already.
func (f *finder) search(text string) {
	words := strings.Fields(strings.ToLower(text))
	best := notFound
	ranks := map[string]int{}
	f.shown = f.shown[:0]
	for _, each := range f.all {
		rank := each.rank(words)
		if rank < notFound {
			f.shown = append(f.shown, each)
			ranks[each.title] = rank
			best = min(best, rank)
		}
	}
	if best < someLetters {
		f.shown = slices.DeleteFunc(f.shown, func(l found) bool { return ranks[l.title] == someLetters })
	}
	slices.SortStableFunc(f.shown, func(a, b found) int { return ranks[a.title] - ranks[b.title] })
	f.at = slices.IndexFunc(f.shown, func(l found) bool { return !l.off && ranks[l.title] == best })
	f.none.Hidden = len(f.shown) > 0
	f.none.Refresh()
	if now := slices.IndexFunc(f.shown, func(l found) bool { return l.now }); now >= 0 && len(words) == 0 {
		f.at = now
	}
	f.list.Refresh()
	f.list.ScrollToTop()
	f.tell()
}

// tell writes below the list what has no room on the chosen line.
func (f *finder) tell() {
	text := ""
	if f.at >= 0 {
		text = strings.TrimSpace(f.shown[f.at].detail + " " + f.shown[f.at].more)
	}
	if text == f.told {
		return
	}
	f.told = text
	refill(f.about, paragraph(text, f.window.listWidth(), smallSize, f.window.look.Quiet))
}

// How a line answers to what is searched for, from the likeliest.
const (
	byEnd       = iota // it is what stands at the right, such as a key
	inTitle            // words of the title begin so
	inWords            // words of the whole line begin so
	someLetters        // the letters are somewhere in it
	notFound
)

// rank is how the line answers to words, which are in small letters.
func (l found) rank(words []string) int {
	all := strings.ToLower(l.title + " " + l.detail + " " + l.end + " " + l.words)
	switch {
	case len(words) > 0 && strings.ToLower(l.end) == strings.Join(words, " "):
		return byEnd
	case beginWords(strings.ToLower(l.title), words):
		return inTitle
	case beginWords(all, words):
		return inWords
	case !slices.ContainsFunc(words, func(word string) bool { return !strings.Contains(all, word) }):
		return someLetters
	}
	return notFound
}

// beginWords reports whether each of the words begins a word of the text.
func beginWords(text string, words []string) bool {
	of := strings.FieldsFunc(text, func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsNumber(r) })
	return !slices.ContainsFunc(words, func(word string) bool {
		return !slices.ContainsFunc(of, func(w string) bool { return strings.HasPrefix(w, word) })
	})
}

// ready reports whether there is a line to choose.
func (f *finder) ready() bool { return f.at >= 0 && !f.shown[f.at].off }

func (f *finder) choose() { f.shown[f.at].choose() }

// tapped chooses the line that was clicked.
func (f *finder) tapped(i widget.ListItemID) {
	f.list.UnselectAll()
	f.at = i
	f.window.typedInDialog(fyne.KeyReturn)
	f.list.Refresh()
}

// step goes to another line, over those that cannot be chosen.
func (f *finder) step(by int) {
	way := 1
	if by < 0 {
		way = -1
	}
	to := max(0, min(f.at+by, len(f.shown)-1))
	for to >= 0 && to < len(f.shown) && f.shown[to].off {
		to += way
	}
	if to < 0 || to >= len(f.shown) {
		return
	}
	f.at = to
	f.list.ScrollTo(to)
	f.list.Refresh()
	f.tell()
}

func (f *finder) fill(i widget.ListItemID, o fyne.CanvasObject) {
	o.(*finderRow).show(f.shown[i], i == f.at)
}

// finderEntry is where the words are typed that are searched for.
type finderEntry struct {
	dialogEntry
	finder *finder
}

// finderRow is one line on the screen.
type finderRow struct {
	widget.BaseWidget
	look               canvas.Theme
	ground             *prim.Rectangle
	title, detail, end *prim.Text
	line               found
}

func newFinderLine(look canvas.Theme) *finderRow {
	r := &finderRow{look: look}
	r.ground = rounded(look.Chosen, look.Accent, 1, 6)
	r.title = styledText("", textSize, false, look.Ink)
	r.detail = styledText("", smallSize, false, look.Quiet)
	r.end = styledText("", smallSize, true, look.Quiet)
	r.ExtendBaseWidget(r)
	return r
}

func (r *finderRow) show(line found, chosen bool) {
	r.line = line
	r.title.Color, r.end.Color = r.look.Ink, r.look.Ink
	if line.off {
		r.title.Color, r.end.Color = r.look.Quiet, r.look.Quiet
	}
	r.ground.Hidden = !chosen
	r.Refresh()
}

func (r *finderRow) CreateRenderer() fyne.WidgetRenderer { return &finderRowRenderer{r} }

type finderRowRenderer struct{ r *finderRow }

func (v *finderRowRenderer) MinSize() fyne.Size {
	return fyne.NewSize(finderWidth/2, grown(finderLine))
}

// Layout gives the title and the end what they need, and the detail what is
// left.
func (v *finderRowRenderer) Layout(size fyne.Size) {
	r := v.r
	const between = 12
	size.Width -= listBar
	r.ground.Resize(size)
	put := func(t *prim.Text, x float32, s string) float32 {
		t.Text = s
		m := t.MinSize()
		t.Resize(m)
		t.Move(fyne.NewPos(float32(int(x)), float32(int((size.Height-m.Height)/2))))
		t.Refresh()
		return x + m.Width
	}
	end := size.Width - finderPad
	if r.line.end != "" {
		end -= textWidth(r.line.end, smallSize, true)
	}
	put(r.end, end, r.line.end)
	x := put(r.title, finderPad, elide(r.line.title, end-finderPad-between, textSize, false)) + between
	detail := ""
	if room := end - between - x; room > 30 {
		detail = elide(r.line.detail, room, smallSize, false)
	}
	put(r.detail, x, detail)
}

func (v *finderRowRenderer) Refresh() {
	v.Layout(v.r.Size())
	v.r.ground.Refresh()
}

func (v *finderRowRenderer) Objects() []fyne.CanvasObject {
	return []fyne.CanvasObject{v.r.ground, v.r.title, v.r.detail, v.r.end}
}

func (v *finderRowRenderer) Destroy() {}

// listCommands shows all that can be done, with its keys.
func (w *Window) listCommands() {
	var all []found
	for _, table := range []actions{w.menu.table, w.chooseModeActions(), exampleActions(), w.recentActions()} {
		for i := range table {
			all = append(all, w.foundAction(&table[i]))
		}
	}
	all = append(all, w.foundAsks()...)
	w.find("All commands", "what to do: turn, resistor, export, …", "Do it", all)
}

// foundAsks are the questions about the circuit, about the part that is selected,
// and which resistor gives an LED a wanted current.
func (w *Window) foundAsks() []found {
	in := w.inspector
	var list []found
	add := func(of, words string, offers []offer) {
		for _, o := range offers {
			list = append(list, found{title: o.title, detail: strings.TrimSpace("Ask "+of) + " · " + o.help, words: words, choose: func() { w.askFrom(of, o) }})
		}
	}
	selected := w.selectedPart()
	if selected != nil && selected.Ref == in.ref {
		add(selected.Ref, "", in.partAsks())
	}
	for _, p := range w.doc.Shown().Parts {
		if p.Kind == "led" && (selected == nil || p.Ref != selected.Ref) {
			add(p.Ref, "resistor for 20 mA LED current link", in.resistorOffers(p))
		}
	}
	add("", "", in.circuitAsks())
	return list
}

// askFrom opens a question of the list of commands, about a part or about all.
func (w *Window) askFrom(ref string, o offer) {
	w.toSheet()
	if ref != "" {
		w.doc.Select(ref)
	}
	w.inspector.ask(o.topic())
	if w.inspector.topic != nil && w.inspector.topic.types {
		w.toFields()
	}
}

// foundAction is an action as a line of the list. It is run when the list is
// gone, or it would wait for it.
func (w *Window) foundAction(a *action) found {
	return found{
		title: a.says(w), detail: a.group + " · " + a.help, end: a.told(), words: a.words + " " + commandWords(a.name), off: !a.can(w),
		choose: func() {
			w.toSheet()
			w.run(a)
		},
	}
}
