package ui

import (
	"slices"

	"copperglass/analysis"
	"copperglass/analysis/review"
	"copperglass/canvas/scene"
)

// flags are the findings that may have flags on the sheet: what the rules say
// of the drawing itself, not of what is only tried.
func (w *Window) flags() []scene.Finding {
	if w.inspector == nil || w.doc.Previewing() {
		return nil
	}
	r, ok := w.inspector.reviewOf()
	if !ok {
		return nil
	}
	var list []scene.Finding
	for _, f := range unmuted(r) {
		list = append(list, scene.Finding{Severity: scene.Severity(f.Severity), Parts: f.Parts})
	}
	return list
}

// before is what the figures on the sheet are compared with, or nil.
func (w *Window) before() *analysis.Result { return w.doc.before(w.settings.changes) }

// unmuted are the findings that are numbered.
func unmuted(r *review.Review) []review.Finding {
	return slices.DeleteFunc(slices.Clone(r.Findings), func(f review.Finding) bool { return f.Muted != "" })
}

// countFaults is how many faults are numbered before the findings.
func (doc *Document) countFaults() int {
	if r := doc.Result(); r != nil {
		return len(r.Faults)
	}
	return 0
}

// numberOf is a finding's number on the sheet, 0 for one that is muted.
func (in *inspector) numberOf(f review.Finding) int {
	r, ok := in.reviewOf()
	if !ok || f.Muted != "" {
		return 0
	}
	i := slices.IndexFunc(unmuted(r), func(g review.Finding) bool { return g.Rule == f.Rule && slices.Equal(g.Parts, f.Parts) })
	return in.doc.countFaults() + i + 1
}
