package ui

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"fyne.io/fyne/v2"
	prim "fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"

	"copperglass/model"
)

// chooser is the dialog for a file. The toolkit's own empties a file before
// anybody knows that it can be written again; this one only finds a name.
type chooser struct {
	window  *Window
	saving  bool
	suffix  string // of the files, with its dot
	folder  string
	entries []os.DirEntry
	name    *dialogEntry
	at      int  // the line that the keys are at, −1 for none
	marking bool // while the keys mark a line
	where   *widget.Label
	list    *widget.List
	nothing *prim.Text // in the place of an empty list
	problem *fyne.Container
	title   string
	path    string // the one accepted
	done    func(path string)
}

const (
	chooserWidth  = 560
	chooserHeight = 300
)

// chooseFile asks for a file, of which the name is suggested; done is called
// with its path.
func (w *Window) chooseFile(title string, saving bool, suggested, suffix string, done func(path string)) {
	c := &chooser{window: w, saving: saving, suffix: suffix, title: title, done: done, at: -1}
	c.name = w.dialogEntry(filepath.Base(suggested))
	c.name.step = c.step
	if suggested == "" {
		c.name.SetText("")
		c.name.SetPlaceHolder("name or path of a file")
	}
	c.where = widget.NewLabel("")
	c.where.Truncation = fyne.TextTruncateEllipsis
	c.list = widget.NewList(func() int { return len(c.entries) }, newFileLine, c.fill)
	c.list.OnSelected = c.selected
	c.nothing = styledText("nothing here", textSize, false, w.look.Quiet)
	c.problem = container.New(column{})
	c.enter(startFolder(suggested, w.settings.folder))
	up := widget.NewButtonWithIcon("", theme.MoveUpIcon(), func() { c.enter(filepath.Dir(c.folder)) })
	head := container.NewBorder(nil, nil, up, nil, c.where)
	body := container.New(column{gap: 8}, head, wide(fixedHeight(container.NewStack(c.list, container.NewCenter(c.nothing))), chooserWidth), c.name, c.problem)
	verb := "Open"
	if saving {
		verb = "Save"
	}
	w.ask(title, body, answer{label: "Cancel"}, answer{label: verb, do: c.finish, check: c.accept})
	w.focusAll(c.name)
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

// startFolder is the folder of the suggested file, else the last one used,
// else the person's own.
func startFolder(suggested, last string) string {
	if filepath.IsAbs(suggested) {
		return filepath.Dir(suggested)
	}
	if info, err := os.Stat(last); err == nil && info.IsDir() {
		return last
	}
	if home, err := os.UserHomeDir(); err == nil {
		return home
	}
	return string(filepath.Separator)
}

func newFileLine() fyne.CanvasObject {
	return container.NewBorder(nil, nil, widget.NewIcon(theme.FileIcon()), nil, widget.NewLabel(""))
}

func (c *chooser) fill(i widget.ListItemID, o fyne.CanvasObject) {
	line := o.(*fyne.Container)
	line.Objects[0].(*widget.Label).SetText(c.entries[i].Name())
	icon := theme.FileIcon()
	if c.entries[i].IsDir() {
		icon = theme.FolderIcon()
	}
	line.Objects[1].(*widget.Icon).SetResource(icon)
}

// step goes so many lines further by the keys, and takes the name there.
func (c *chooser) step(by int) {
	if len(c.entries) == 0 {
		return
	}
	c.at = max(0, min(c.at+by, len(c.entries)-1))
	name := c.entries[c.at].Name()
	if c.entries[c.at].IsDir() {
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
	if e.IsDir() {
		c.enter(filepath.Join(c.folder, e.Name()))
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
	c.entries = slices.DeleteFunc(entries, func(e os.DirEntry) bool {
		return strings.HasPrefix(e.Name(), ".") || !e.IsDir() && !strings.EqualFold(filepath.Ext(e.Name()), c.suffix)
	})
	slices.SortStableFunc(c.entries, func(a, b os.DirEntry) int {
		if a.IsDir() != b.IsDir() {
			if a.IsDir() {
				return -1
			}
			return 1
		}
		return model.NaturalCompare(a.Name(), b.Name())
	})
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
	if info, err := os.Stat(filepath.Dir(path)); err != nil || !info.IsDir() {
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
	text := "There is a file " + filepath.Base(c.path) + " already. Write over it?"
	c.window.ask("Write over it?", paragraph(text, dialogWidth, textSize, c.window.look.Ink),
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
