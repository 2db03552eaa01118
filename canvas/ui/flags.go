package ui

import (
	"fmt"
	"slices"
	"strings"

	"copperglass/analysis"
	"copperglass/analysis/review"
	"copperglass/canvas"
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

// flagText is what the finding at a place among the flags says.
func (w *Window) flagText(i int) string {
	if r, ok := w.inspector.reviewOf(); ok {
		if list := unmuted(r); i < len(list) {
			return list[i].Text
		}
	}
	return ""
}

// flagWords tell what the flags at a place of the sheet stand for, or are "".
func (s *surface) flagWords(at canvas.Point) string {
	if s.scene == nil {
		return ""
	}
	var lines []string
	for _, f := range s.scene.Flags {
		if !f.Shown || !f.Box.Contains(at) {
			continue
		}
		text := ""
		if r := s.doc.Result(); f.Finding >= 0 {
			text = s.found(f.Finding)
		} else if r != nil && f.Fault < len(r.Faults) {
			text = r.Faults[f.Fault].Text
		}
		if text != "" {
			lines = append(lines, fmt.Sprintf("%d  %s", f.Number, sentence(text)))
		}
	}
	return strings.Join(lines, "\n")
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
