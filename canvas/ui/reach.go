package ui

import (
	"reflect"
	"slices"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
)

// children are what an object is made of, as far as the keys may go there.
func children(o fyne.CanvasObject) []fyne.CanvasObject {
	switch o := o.(type) {
	case *fyne.Container:
		return o.Objects
	case *hinted:
		return []fyne.CanvasObject{o.content}
	case *container.ThemeOverride:
		return []fyne.CanvasObject{o.Content}
	case *container.Scroll:
		return []fyne.CanvasObject{o.Content}
	case *entry:
		if o.ActionItem != nil {
			return []fyne.CanvasObject{o.ActionItem}
		}
	}
	return nil
}

// focusables are what the keys can go to within an object, in the order of Tab.
func focusables(o fyne.CanvasObject) []fyne.Focusable {
	if !o.Visible() {
		return nil
	}
	var list []fyne.Focusable
	if f, is := o.(fyne.Focusable); is {
		list = append(list, f)
	}
	for _, each := range children(o) {
		list = append(list, focusables(each)...)
	}
	return list
}

// has reports whether an object is, or has within it, another.
func has(o, other fyne.CanvasObject) bool {
	return o == other || slices.ContainsFunc(children(o), func(each fyne.CanvasObject) bool { return has(each, other) })
}

// rebuilt gives a container other objects. Where the keys were at one of the old
// ones they are at the like one afterwards, or, where there is none, at the
// nearest of its sort.
func rebuilt(box *fyne.Container, build func() []fyne.CanvasObject) {
	c := fyne.CurrentApp().Driver().CanvasForObject(box)
	at := -1
	var held fyne.Focusable
	if c != nil && c.Focused() != nil {
		held = c.Focused()
		at = slices.Index(focusables(box), held)
	}
	refill(box, build()...)
	if at < 0 {
		return
	}
	if next := alike(focusables(box), at, held); next != nil {
		c.Focus(next)
		return
	}
	c.Unfocus()
}

// alike is the object nearest to a place of the list that is of the same sort as
// another, or nil.
func alike(list []fyne.Focusable, at int, other fyne.Focusable) fyne.Focusable {
	var nearest fyne.Focusable
	off := len(list) + at + 1
	for i, f := range list {
		if d := max(i-at, at-i); d < off && reflect.TypeOf(f) == reflect.TypeOf(other) {
			nearest, off = f, d
		}
	}
	return nearest
}

// revealRoom is how far from the edge of its room an object is brought.
const revealRoom = 24

// reveal scrolls an object that has got the keys into view.
func reveal(o fyne.CanvasObject) {
	for _, w := range fyne.CurrentApp().Driver().AllWindows() {
		if s := scrollAround(w.Canvas().Content(), o); s != nil {
			revealIn(s, o)
			return
		}
	}
}

func revealIn(s *container.Scroll, o fyne.CanvasObject) {
	below, _ := heightIn(s.Content, o)
	top, room := below-s.Offset.Y, s.Size().Height
	switch bottom := top + o.Size().Height; {
	case top < 0:
		s.ScrollToOffset(fyne.NewPos(s.Offset.X, max(s.Offset.Y+top-revealRoom, 0)))
	case bottom > room:
		s.ScrollToOffset(fyne.NewPos(s.Offset.X, s.Offset.Y+min(bottom-room+revealRoom, top)))
	}
}

// heightIn is how far below the top of an object another stands that it has
// within it. The toolkit tells that only of what has been painted.
func heightIn(o, other fyne.CanvasObject) (y float32, there bool) {
	if o == other {
		return 0, true
	}
	for _, each := range children(o) {
		if y, there := heightIn(each, other); there {
			return each.Position().Y + y, true
		}
	}
	return 0, false
}

// scrollAround is what scrolls the object up and down, or nil.
func scrollAround(from, o fyne.CanvasObject) *container.Scroll {
	if s, is := from.(*container.Scroll); is && s.Direction == container.ScrollVerticalOnly && has(s.Content, o) {
		return s
	}
	for _, each := range children(from) {
		if s := scrollAround(each, o); s != nil {
			return s
		}
	}
	return nil
}

// handBack gives the keys back to the sheet after something has been chosen by
// the pointer. One who chooses by the keys goes on from there.
func (in *inspector) handBack(keyed bool) {
	if !keyed {
		in.release()
	}
}

// keysTo gives the keys to the first of what they can go to within an object, and
// reports whether there is such.
func (in *inspector) keysTo(o fyne.CanvasObject) bool {
	c := fyne.CurrentApp().Driver().CanvasForObject(in.object)
	list := focusables(o)
	if c == nil || len(list) == 0 {
		return false
	}
	c.Focus(list[0])
	return true
}

// keysWithin reports whether the keys are at something within an object.
func (in *inspector) keysWithin(o fyne.CanvasObject) bool {
	c := fyne.CurrentApp().Driver().CanvasForObject(in.object)
	return c != nil && c.Focused() != nil && slices.Contains(focusables(o), c.Focused())
}

// keyed is what the keys are at in the panel, or nil.
func (in *inspector) keyed() fyne.CanvasObject {
	if !in.keysWithin(in.body) {
		return nil
	}
	return fyne.CurrentApp().Driver().CanvasForObject(in.object).Focused().(fyne.CanvasObject)
}

// anchored carries out a change of the page while what somebody works at, if
// anything, stays where it is on the screen, however long what stands above it
// gets.
func (in *inspector) anchored(anchor func() fyne.CanvasObject, change func()) {
	before, held := heightIn(in.body, anchor())
	at := in.scroll.Offset.Y
	change()
	if after, still := heightIn(in.body, anchor()); held && still {
		in.scroll.ScrollToOffset(fyne.NewPos(0, max(at+after-before, 0)))
	}
}
