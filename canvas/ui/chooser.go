package ui

import (
	"errors"
	"fmt"
	"image/color"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"fyne.io/fyne/v2"
	prim "fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"

	"copperglass/model"
	"copperglass/model/file"
)

// chooser is the dialog for a file. The toolkit's own empties a file before
// anybody knows that it can be written again; this one only finds a name.
type chooser struct {
	window  *Window
	saving  bool
	suffix  string // of the files, with its dot
	all     bool   // whether other files are listed as well
	folder  string
	entries []os.DirEntry
	name    *dialogEntry
	at      int  // the line that the keys are at, −1 for none
	marking bool // while the keys mark a line
	where   *widget.Label
	list    *widget.List
	nothing *prim.Text // in the place of an empty list
	problem *fyne.Container
	places  *fyne.Container
	title   string
	path    string // the one accepted
	done    func(path string)
}

const (
	chooserWidth  = 640
	chooserHeight = 320
	placesWidth   = 136
)

// chooseFile asks for a file, of which the name is suggested; done is called
// with its path.
func (w *Window) chooseFile(title string, saving bool, suggested, suffix string, done func(path string)) *chooser {
	c := &chooser{window: w, saving: saving, suffix: suffix, title: title, done: done, at: -1}
	c.name = w.dialogEntry(filepath.Base(suggested))
	c.name.step, c.name.up = c.step, c.up
	if suggested == "" {
		c.name.SetText("")
		c.name.SetPlaceHolder("name or path of a file")
	}
	c.where = widget.NewLabel("")
	c.where.Truncation = fyne.TextTruncateEllipsis
	c.list = widget.NewList(func() int { return len(c.entries) }, c.newLine, c.fill)
	c.list.OnSelected = c.selected
	c.nothing = styledText("nothing here", textSize, false, w.look.Quiet)
	c.problem = container.New(column{})
	c.places = container.New(column{gap: 2})
	c.enter(startFolder(suggested, w.doc.Path(), w.settings.folder))
	verb := "Open"
	if saving {
		verb = "Save"
	}
	w.ask(title, c.body(), answer{label: "Cancel"}, answer{label: verb, do: c.finish, check: c.accept})
	w.focusAll(c.name)
	return c
}

// body is the dialog without its buttons.
func (c *chooser) body() fyne.CanvasObject {
	escape := func() { c.window.typedInDialog(fyne.KeyEscape) }
	icon := func(icon fyne.Resource, label string, do func()) *button {
		b := newButton(label, do, escape)
		b.Icon, b.Importance = icon, widget.LowImportance
		return b
	}
	up := icon(theme.MoveUpIcon(), "", c.up)
	head := container.NewBorder(nil, nil, up, icon(theme.FolderNewIcon(), "New folder", c.askFolder), c.where)
	lists := container.New(columns{widths: []float32{grown(placesWidth), 0}, gap: 12, top: true}, c.places,
		fixedHeight(container.NewStack(c.list, container.NewCenter(c.nothing))))
	all := widget.NewCheck("All files", func(on bool) {
		c.all = on
		c.enter(c.folder)
		c.window.focusAll(c.name)
	})
	return container.New(column{gap: 8}, head, wide(lists, chooserWidth), container.NewBorder(nil, nil, nil, all, c.name), c.problem)
}

// showPlaces lists where else to look; the folder that is listed stands out.
func (c *chooser) showPlaces() {
	w := c.window
	var list []fyne.CanvasObject
	for _, f := range places(w.doc.Path(), w.settings.recent) {
		here := f.path == c.folder
		name := elide(f.name, grown(placesWidth)-34, textSize, here)
		line := container.New(columns{widths: []float32{18, 0}, gap: 8}, widget.NewIcon(placeIcon(f)), styledText(name, textSize, here, w.look.Ink))
		list = append(list, newTapArea(container.New(column{pad: 5}, line), func() {
			c.enter(f.path)
			w.focus(c.name)
		}))
	}
	refill(c.places, list...)
}

func placeIcon(f folder) fyne.Resource {
	switch f.name {
	case "Home":
		return theme.HomeIcon()
	case "Desktop":
		return theme.DesktopIcon()
	case "Documents":
		return theme.DocumentIcon()
	case "Downloads":
		return theme.DownloadIcon()
	}
	return theme.FolderIcon()
}

// up goes to the folder that holds this one.
func (c *chooser) up() { c.enter(filepath.Dir(c.folder)) }

// askFolder makes a folder here and goes into it.
func (c *chooser) askFolder() {
	w := c.window
	name, problem := w.dialogEntry(""), container.New(column{})
	name.SetPlaceHolder("name of the folder")
	form := container.New(column{gap: 8}, paragraph("In "+c.folder, dialogWidth, smallSize, w.look.Quiet), name, problem)
	made := func() bool {
		err := makeFolder(c.folder, name.Text)
		complain(problem, err, dialogWidth, w.look)
		return err == nil
	}
	w.ask("New folder", form, answer{label: "Cancel", do: func() { w.focus(c.name) }}, answer{label: "Make it", check: made, do: func() {
		c.enter(filepath.Join(c.folder, strings.TrimSpace(name.Text)))
		w.focus(c.name)
	}})
	w.focus(name)
}

// makeFolder makes a folder in another.
func makeFolder(in, name string) error {
	name = strings.TrimSpace(name)
	if name == "" || name != filepath.Base(name) || name == "." || name == ".." {
		return errors.New("a folder needs a name without a path")
	}
	if err := os.Mkdir(filepath.Join(in, name), 0o777); err != nil {
		return fmt.Errorf("%s cannot be made: %w", name, file.Explain(reason(err), in))
	}
	return nil
}

func fixedHeight(o fyne.CanvasObject) fyne.CanvasObject {
	return container.New(tall{chooserHeight}, o)
}

type tall struct{ height float32 }

func (l tall) Layout(objects []fyne.CanvasObject, size fyne.Size) {
	objects[0].Resize(size)
	objects[0].Move(fyne.NewPos(0, 0))
}

func (l tall) MinSize(objects []fyne.CanvasObject) fyne.Size {
	return fyne.NewSize(objects[0].MinSize().Width, l.height)
}

// startFolder is the folder of the suggested file or of the open one, else the
// last one used, else the person's own.
func startFolder(suggested, open, last string) string {
	for _, path := range []string{suggested, open} {
		if folder := filepath.Dir(path); filepath.IsAbs(path) && isFolder(folder) {
			return folder
		}
	}
	if isFolder(last) {
		return last
	}
	if home, err := os.UserHomeDir(); err == nil {
		return home
	}
	return string(filepath.Separator)
}

func isFolder(path string) bool {
	info, err := os.Stat(path)
	return err == nil && info.IsDir()
}

// newLine is a line of the list: what it is, its name, and when it was changed.
func (c *chooser) newLine() fyne.CanvasObject {
	name := widget.NewLabel("")
	name.Truncation = fyne.TextTruncateEllipsis
	when := styledText("", smallSize, false, c.window.look.Quiet)
	return container.New(columns{widths: []float32{20, 0, momentRoom(), listPad}, gap: 4}, widget.NewIcon(theme.FileIcon()), name, when, prim.NewRectangle(color.Transparent))
}

// listPad keeps the times off the edge of the list.
const listPad = 4

// momentRoom is the room of the longest time, which may be of this year or of
// one before.
func momentRoom() float32 {
	late := time.Date(time.Now().Year(), time.September, 28, 20, 48, 0, 0, time.Local)
	before := late.AddDate(-2, 0, 0)
	return ceil(max(textWidth(moment(before), smallSize, false), textWidth(late.Format(dayAndTime), smallSize, false)))
}

func (c *chooser) fill(i widget.ListItemID, o fyne.CanvasObject) {
	line, e := o.(*fyne.Container), c.entries[i]
	line.Objects[1].(*widget.Label).SetText(e.Name())
	icon, changed := theme.FileIcon(), ""
	if info, err := e.Info(); err == nil && !info.IsDir() {
		changed = moment(info.ModTime())
	}
	if c.isFolder(e) {
		icon = theme.FolderIcon()
	}
	line.Objects[0].(*widget.Icon).SetResource(icon)
	when := line.Objects[2].(*prim.Text)
	when.Text = changed
	when.Refresh()
}

// isFolder follows symbolic links.
func (c *chooser) isFolder(e os.DirEntry) bool {
	if e.Type()&os.ModeSymlink == 0 {
		return e.IsDir()
	}
	return isFolder(filepath.Join(c.folder, e.Name()))
}

// step goes so many lines further by the keys, and takes the name there.
func (c *chooser) step(by int) {
	if len(c.entries) == 0 {
		return
	}
	c.at = max(0, min(c.at+by, len(c.entries)-1))
	name := c.entries[c.at].Name()
	if c.isFolder(c.entries[c.at]) {
		name += string(filepath.Separator)
	}
	c.marking = true
	c.list.Select(c.at)
	c.marking = false
	c.name.SetText(name)
	c.window.focusAll(c.name)
}

// selected goes into a folder or takes a file's name.
func (c *chooser) selected(i widget.ListItemID) {
	if c.marking {
		return
	}
	c.list.UnselectAll()
	e := c.entries[i]
	if c.isFolder(e) {
		c.enter(filepath.Join(c.folder, e.Name()))
		c.window.focus(c.name)
		return
	}
	c.name.SetText(e.Name())
	c.window.focusAll(c.name)
}

// enter lists a folder: its folders, then its files with the suffix.
func (c *chooser) enter(folder string) {
	entries, err := os.ReadDir(folder)
	if err != nil {
		c.tell(fmt.Errorf("%s cannot be listed: %w", folder, reason(err)))
		return
	}
	c.folder, c.at = folder, -1
	c.list.UnselectAll()
	folders := map[string]bool{}
	for _, e := range entries {
		folders[e.Name()] = c.isFolder(e)
	}
	c.entries = slices.DeleteFunc(entries, func(e os.DirEntry) bool {
		fits := c.all || folders[e.Name()] || strings.EqualFold(filepath.Ext(e.Name()), c.suffix)
		return strings.HasPrefix(e.Name(), ".") || !fits
	})
	slices.SortStableFunc(c.entries, func(a, b os.DirEntry) int {
		if folders[a.Name()] != folders[b.Name()] {
			if folders[a.Name()] {
				return -1
			}
			return 1
		}
		return model.NaturalCompare(a.Name(), b.Name())
	})
	c.showPlaces()
	c.where.SetText(folder)
	c.nothing.Hidden = len(c.entries) > 0
	c.nothing.Refresh()
	c.list.Refresh()
	c.list.ScrollToTop()
	c.tell(nil)
}

// reason is why a file operation failed, without the path that stands before
// it already.
func reason(err error) error {
	var path *os.PathError
	if errors.As(err, &path) {
		return path.Err
	}
	return err
}

func (c *chooser) tell(err error) { complain(c.problem, err, chooserWidth, c.window.look) }

// accept finds out whether what is written can be the file.
func (c *chooser) accept() bool {
	path := strings.TrimSpace(c.name.Text)
	if path == "" {
		return false
	}
	path = expand(path, c.folder)
	info, err := os.Stat(path)
	if err == nil && info.IsDir() {
		c.enter(path)
		c.name.SetText("")
		return false
	}
	if c.saving {
		return c.acceptNew(path)
	}
	if err != nil {
		c.tell(fmt.Errorf("%s cannot be opened: %w", path, reason(err)))
		return false
	}
	c.path = path
	return true
}

// acceptNew appends the suffix and finds out whether there is a folder for the
// file.
func (c *chooser) acceptNew(path string) bool {
	if !strings.EqualFold(filepath.Ext(path), c.suffix) {
		path += c.suffix
	}
	if !isFolder(filepath.Dir(path)) {
		c.tell(fmt.Errorf("there is no folder %s", filepath.Dir(path)))
		return false
	}
	c.path = path
	return true
}

// finish hands the path over, but asks before something else is written over.
func (c *chooser) finish() {
	if _, err := os.Stat(c.path); !c.saving || err != nil || c.path == c.window.doc.Path() {
		c.take(c.path)
		return
	}
	text := "“" + filepath.Base(c.path) + "” in " + filepath.Dir(c.path) + " would be lost."
	c.window.ask("There is such a file already", paragraph(text, dialogWidth, textSize, c.window.look.Ink),
		answer{label: "Cancel", do: func() { c.window.chooseFile(c.title, true, c.path, c.suffix, c.done) }},
		answer{label: "Write over it", do: func() { c.take(c.path) }},
	)
}

func (c *chooser) take(path string) {
	c.window.settings.folder = filepath.Dir(path)
	c.window.settings.save()
	c.done(path)
}

// expand makes a path absolute: ~ is the person's own folder, everything else
// is about the folder that is listed.
func expand(path, folder string) string {
	if home, err := os.UserHomeDir(); err == nil && (path == "~" || strings.HasPrefix(path, "~"+string(filepath.Separator))) {
		return filepath.Join(home, path[1:])
	}
	if filepath.IsAbs(path) {
		return filepath.Clean(path)
	}
	return filepath.Join(folder, path)
}
