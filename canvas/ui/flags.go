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
// of what is shown, or said before the change that is tried. Those of other modes
// only keep their numbers.
func (w *Window) flags() []scene.Finding {
	if w.inspector == nil {
		return nil
	}
	r, fresh := w.inspector.latestReview()
	if r == nil {
		return nil
	}
	list := make([]scene.Finding, 0, len(r.Findings))
	for i := range r.Findings {
		f := &r.Findings[i]
		_, here := f.In(w.doc.Mode())
		list = append(list, scene.Finding{Severity: scene.Severity(f.Severity), Parts: f.Flagged(w.doc.Shown()), Key: f.Key(), Muted: f.Muted != "", Elsewhere: !here, Stale: !fresh})
	}
	return list
}

// flagText is what the finding at a place among the flags says.
func (w *Window) flagText(i int) string {
	r, fresh := w.inspector.latestReview()
	return flagText(r, fresh, i, w.doc.Mode())
}

// flagText is what a finding says in a mode in which it holds.
func flagText(r *review.Review, fresh bool, i int, mode string) string {
	if r == nil || i >= len(r.Findings) {
		return ""
	}
	text, _ := r.Findings[i].In(mode)
	if !fresh && text != "" {
		return "before this change, which is not looked at yet: " + text
	}
	return text
}

// explainer tells what the flags that there are now say below an exported
// picture. What it returns is for any goroutine.
func (w *Window) explainer() func(scene.Flag) string {
	r, fresh := w.inspector.latestReview()
	result, mode := w.doc.Result(), w.doc.Mode()
	return func(f scene.Flag) string {
		if f.Finding < 0 {
			return sentence(result.Faults[f.Fault].Text)
		}
		return sentence(flagText(r, fresh, f.Finding, mode))
	}
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

// countFaults is how many faults are numbered before the findings.
func (doc *Document) countFaults() int {
	if r := doc.Result(); r != nil {
		return len(r.Faults)
	}
	return 0
}

// numberOf is a finding's number on the sheet, which one that is muted keeps, so
// that the others do not change theirs; 0 where it is not among them.
func (in *inspector) numberOf(f review.Finding) int {
	r, _ := in.latestReview()
	if r == nil {
		return 0
	}
	i := slices.IndexFunc(r.Findings, func(g review.Finding) bool { return g.Rule == f.Rule && slices.Equal(g.Parts, f.Parts) })
	if i < 0 {
		return 0
	}
	return in.doc.countFaults() + i + 1
}
