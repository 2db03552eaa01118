package ui

import (
	"maps"
	"slices"

	"copperglass/analysis"
	"copperglass/model"
)

// sight is how the drawing is looked at, which is no part of it.
type sight struct {
	lit        map[string]bool         // parts that stand out; none where all do
	glimpse    string                  // the part that stands out for a moment, in the place of those, or ""
	before     func() *analysis.Result // what figures are compared with; nil for nothing
	modeBefore string                  // the mode that was shown before this one, or ""
}

// Light lets parts stand out on the sheet, with the wires between them, and all
// else stand back; without any, nothing stands back.
func (doc *Document) Light(refs ...string) {
	lit := map[string]bool{}
	for _, ref := range refs {
		lit[ref] = true
	}
	if !maps.Equal(lit, doc.sight.lit) || doc.sight.glimpse != "" {
		doc.sight.lit, doc.sight.glimpse = lit, ""
		doc.tell(SightChanged)
	}
}

// Glimpse lets one part stand out while it is on, in the place of what else
// does.
func (doc *Document) Glimpse(ref string, on bool) {
	switch s := &doc.sight; {
	case on && doc.shown.Part(ref) != nil:
		s.glimpse = ref
	case s.glimpse == ref:
		s.glimpse = ""
	default:
		return
	}
	doc.tell(SightChanged)
}

// lit are the parts that stand out now.
func (doc *Document) lit() map[string]bool {
	if doc.sight.glimpse != "" {
		return map[string]bool{doc.sight.glimpse: true}
	}
	return doc.sight.lit
}

// steps reports whether pressing a part steps through the modes, as that of a
// button does where there are several.
func (doc *Document) steps(ref string) bool { return doc.stepsBy(doc.shown.Part(ref)) }

func (doc *Document) stepsBy(p *model.Part) bool {
	return p != nil && p.Kind == "button" && len(doc.shown.Modes) > 1
}

// stepper is the first part that steps through the modes, or "".
func (doc *Document) stepper() string {
	for _, p := range doc.shown.Parts {
		if p.Placed && doc.stepsBy(p) {
			return p.Ref
		}
	}
	return ""
}

// stepMode chooses the mode that many places further on.
func (doc *Document) stepMode(by int) {
	modes := doc.shown.Modes
	at := slices.IndexFunc(modes, func(m *model.Mode) bool { return m.Name == doc.mode })
	doc.SetMode(modes[(at+by+len(modes))%len(modes)].Name)
}

// Compare marks on the sheet what differs from another result of the drawing,
// which is asked for each time and may be nil; without a function that ends.
func (doc *Document) Compare(before func() *analysis.Result) {
	doc.sight.before = before
	doc.tell(SightChanged)
}

// before is what the figures on the sheet are compared with, or nil: what
// Compare was given or, where that is wanted, the mode before.
func (doc *Document) before(sinceMode bool) *analysis.Result {
	s := &doc.sight
	if s.before != nil {
		return s.before()
	}
	since := doc.modeSince()
	if !sinceMode || since == "" {
		return nil
	}
	for _, m := range doc.answer.Modes {
		if m.Name == since {
			return m.Result
		}
	}
	return nil
}

// modeSince is the mode shown before this one, or "" where what is shown is not
// compared with one.
func (doc *Document) modeSince() string {
	if s := &doc.sight; s.before == nil && !doc.Previewing() && s.modeBefore != doc.mode {
		return s.modeBefore
	}
	return ""
}

// beside is the drawing itself where what is shown is compared with it, else
// nil.
func (doc *Document) beside() *model.Diagram {
	if doc.sight.before == nil || !doc.Previewing() {
		return nil
	}
	return doc.history.Diagram()
}
