package ui

import (
	"fmt"
	"strings"

	"copperglass/canvas/tool"
	"copperglass/model"
	"copperglass/model/net"
)

// recast is what of a part does not stay as it becomes one of another kind.
type recast struct {
	at         int    // the part's place in the drawing
	ref        string // as it was called
	renamed    bool
	was, value string // where the value does not stay: what it was and what it becomes, which may be nothing
	loose      []string
}

// recasts are what changes of the parts that become parts of kind k.
func recasts(d *model.Diagram, refs []string, k *model.Kind) []recast {
	nets := net.Build(d)
	var list []recast
	for _, ref := range refs {
		p := d.Part(ref)
		if p == nil || p.Kind == k.Name || p.LookupKind() != nil && p.LookupKind().Sign {
			continue
		}
		c, pins := p.Recast(k)
		r := recast{at: d.PartIndex(ref), ref: ref, renamed: c.Ref == ""}
		if p.Value != "" && c.Value != p.Value {
			r.was, r.value = p.Value, c.Value
		}
		for _, pin := range p.PlacedPins() {
			if _, kept := pins[pin.Name]; !kept && !nets.Alone(ref, pin.Name) {
				r.loose = append(r.loose, pin.Name)
			}
		}
		list = append(list, r)
	}
	return list
}

// mostRecasts is of how many parts is said what changes.
const mostRecasts = 3

// foretell says what would change, or nothing.
func foretell(list []recast, k *model.Kind) string {
	return tellRecasts(list, func(r recast) (said []string) {
		if r.renamed {
			said = append(said, r.ref+" gets a name with "+k.Prefix)
		}
		switch {
		case r.was != "" && r.value == "":
			said = append(said, r.ref+" loses its value "+r.was)
		case r.was != "":
			said = append(said, fmt.Sprintf("%s’s value %s becomes %s", r.ref, r.was, r.value))
		}
		if len(r.loose) > 0 {
			said = append(said, fmt.Sprintf("what is joined to %s’s %s is left loose", r.ref, enumerate(r.loose)))
		}
		return said
	})
}

// tell says what has changed in d, or nothing.
func tell(list []recast, d *model.Diagram, typical string) string {
	return tellRecasts(list, func(r recast) (said []string) {
		now := d.Parts[r.at]
		if now.Ref != r.ref {
			said = append(said, r.ref+" is "+now.Ref+" now")
		}
		switch {
		case r.was != "" && r.value == "" && len(now.LookupKind().Handbook) > 0:
			said = append(said, fmt.Sprintf("%s is no %s, and the value is empty: %s lists types", r.was, inSentence(now.LookupKind().Title), typical))
		case r.was != "" && r.value == "":
			said = append(said, "the value "+r.was+" is gone")
		case r.was != "":
			said = append(said, fmt.Sprintf("the value %s became %s", r.was, r.value))
		}
		if len(r.loose) > 0 {
			said = append(said, fmt.Sprintf("what was joined to %s is loose", enumerate(r.loose)))
		}
		return said
	})
}

// tellRecasts makes sentences of what is said of the first parts.
func tellRecasts(list []recast, say func(recast) []string) string {
	var all []string
	for i, r := range list {
		if i == mostRecasts {
			all = append(all, "and so on for "+plural(len(list)-i, "part more", "parts more"))
			break
		}
		if said := say(r); len(said) > 0 {
			all = append(all, strings.Join(said, ", "))
		}
	}
	return strings.Join(all, "; ")
}

// chooseKind asks which kind the selected parts are to become, and says what of
// them would not stay.
func (w *Window) chooseKind() {
	var list []found
	for _, k := range w.otherKinds() {
		more := foretell(recasts(w.doc.Diagram(), w.doc.selectedRefs(), k), k)
		if more != "" {
			more = "· " + more + "."
		}
		list = append(list, found{title: k.Title, detail: k.About, more: more, choose: func() { w.changeKind(k) }})
	}
	w.find("Make it another kind", "a kind of part", "Change", list)
}

// changeKind makes the selected parts parts of kind k, and tells what of them has
// not stayed.
func (w *Window) changeKind(k *model.Kind) {
	before := w.doc.history.Revision()
	list := recasts(w.doc.Diagram(), w.doc.selectedRefs(), k)
	w.surface.edit(func(e *tool.Editor) { e.ChangeKind(k) })
	w.toSheet()
	if w.doc.history.Revision() == before {
		return
	}
	if words := tell(list, w.doc.Diagram(), w.keyOf("look up")); words != "" {
		w.bar.report(words + "; " + w.keyOf("undo") + " takes it back")
	}
}
