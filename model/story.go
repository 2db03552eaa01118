package model

import (
	"maps"
	"regexp"
	"slices"
	"strings"
)

// WhatIf is a named set of changes kept beside the original.
type WhatIf struct {
	Name  string
	Set   Params // by REF.NAME: "R4.resistance", "S1.state"
	Extra []Extra
}

// Setting returns the changes as a setting.
func (w *WhatIf) Setting() Setting { return settingOf(w.Set) }

// Mute hides one finding, with the person's reason.
type Mute struct {
	Rule   string   // its id
	Parts  []string // that the finding is about, in natural order
	Reason string
	Extra  []Extra
}

// Of reports whether the mute is of the finding of that rule about these parts.
func (m *Mute) Of(rule string, parts []string) bool {
	return m.Rule == rule && strings.Join(m.Parts, " ") == strings.Join(parts, " ")
}

// Step is one step of an explanation: a view of the circuit with a sentence.
type Step struct {
	Title string
	Mode  string   // that it shows; empty for the first
	Set   Params   // put over it, as of a WhatIf
	Lit   []string // parts to bring out; the others stand back
	Text  string   // with live figures in braces: {Q1.C.amps}
	Extra []Extra
}

// Setting returns what the step sets.
func (s *Step) Setting() Setting { return settingOf(s.Set) }

// settingOf sorts parameters named REF.NAME by part.
func settingOf(params Params) Setting {
	s := Setting{}
	for target, v := range params {
		if ref, name, ok := strings.Cut(target, "."); ok {
			s.Set(ref, name, v)
		}
	}
	return s
}

// Clone returns a copy that may be changed without changing w.
func (w *WhatIf) Clone() *WhatIf {
	c := *w
	c.Set = maps.Clone(w.Set)
	return &c
}

func whatIfList(d *Diagram) *[]*WhatIf { return &d.WhatIfs }
func muteList(d *Diagram) *[]*Mute     { return &d.Muted }
func storyList(d *Diagram) *[]*Step    { return &d.Story }

// AddWhatIf puts a variation at the end of the list.
func (f *Draft) AddWhatIf(w *WhatIf) {
	f.do(splice[*WhatIf]{whatIfList, len(f.d.WhatIfs), 0, []*WhatIf{w}})
}

// SetWhatIf puts w in the place of the variation at i.
func (f *Draft) SetWhatIf(i int, w *WhatIf) { f.do(splice[*WhatIf]{whatIfList, i, 1, []*WhatIf{w}}) }

// RemoveWhatIf takes the variation at i away.
func (f *Draft) RemoveWhatIf(i int) { f.do(splice[*WhatIf]{whatIfList, i, 1, nil}) }

// AddMute hides a finding.
func (f *Draft) AddMute(m *Mute) { f.do(splice[*Mute]{muteList, len(f.d.Muted), 0, []*Mute{m}}) }

// RemoveMute shows the finding hidden by the mute at i again.
func (f *Draft) RemoveMute(i int) { f.do(splice[*Mute]{muteList, i, 1, nil}) }

// AddStep puts a step at the end of the story.
func (f *Draft) AddStep(s *Step) { f.do(splice[*Step]{storyList, len(f.d.Story), 0, []*Step{s}}) }

// SetStep puts s in the place of the step at i.
func (f *Draft) SetStep(i int, s *Step) { f.do(splice[*Step]{storyList, i, 1, []*Step{s}}) }

// RemoveStep takes the step at i away.
func (f *Draft) RemoveStep(i int) { f.do(splice[*Step]{storyList, i, 1, nil}) }

// Override puts quantities over those of the parts and of the drawing, and over
// what modes set; what is not there is left out.
func (f *Draft) Override(s Setting) {
	for ref, params := range s {
		if ref == Drawing {
			for name, v := range params {
				f.SetParam(name, v)
			}
			continue
		}
		if p := f.d.Part(ref); p != nil {
			c := p.Clone()
			if c.Params == nil {
				c.Params = Params{}
			}
			maps.Copy(c.Params, params)
			f.SetPart(ref, c)
			f.overrideModes(ref, params)
		}
	}
}

// overrideModes changes what modes set of a part, where they do.
func (f *Draft) overrideModes(ref string, params Params) {
	for i, m := range f.d.Modes {
		set := maps.Clone(m.Set)
		for name, v := range params {
			for _, target := range []string{ref + "." + name, ref} {
				if _, said := set[target]; said && (target != ref || name == "state") {
					set[target] = v.String()
				}
			}
		}
		if !maps.Equal(set, m.Set) {
			c := *m
			c.Set = set
			f.SetMode(i, &c)
		}
	}
}

// Retarget rewrites the references to parts, pins and quantities in modes,
// variations, mutes and steps. It calls to with the part's reference and the name
// behind the dot, "" where there is none, and puts what to returns in their place.
func (f *Draft) Retarget(to func(ref, name string) (string, string)) {
	whole := func(refs []string) []string {
		var out []string
		for _, ref := range refs {
			moved, _ := to(ref, "")
			out = append(out, moved)
		}
		return out
	}
	for i, m := range f.d.Modes {
		c := *m
		c.Set = retargeted(m.Set, to)
		f.SetMode(i, &c)
	}
	for i, w := range f.d.WhatIfs {
		c := *w
		c.Set = retargeted(w.Set, to)
		f.SetWhatIf(i, &c)
	}
	for i, m := range f.d.Muted {
		c := *m
		c.Parts = whole(m.Parts)
		slices.SortFunc(c.Parts, NaturalCompare)
		f.do(splice[*Mute]{muteList, i, 1, []*Mute{&c}})
	}
	for i, s := range f.d.Story {
		c := *s
		c.Set, c.Lit = retargeted(s.Set, to), whole(s.Lit)
		c.Text = retargetedText(s.Text, to)
		f.SetStep(i, &c)
	}
}

func retargeted[M ~map[string]V, V any](set M, to func(ref, name string) (string, string)) M {
	if set == nil {
		return nil
	}
	out := make(M, len(set))
	for target, v := range set {
		out[joinTarget(to(SplitTarget(target)))] = v
	}
	return out
}

func joinTarget(ref, name string) string {
	if name == "" {
		return ref
	}
	return ref + "." + name
}

// liveFigure is a figure in braces in a step's text.
var liveFigure = regexp.MustCompile(`\{([^{}.]+)\.([^{}]+)\}`)

// retargetedText rewrites the figures in braces, {Q1.C.amps}.
func retargetedText(text string, to func(ref, name string) (string, string)) string {
	return liveFigure.ReplaceAllStringFunc(text, func(figure string) string {
		m := liveFigure.FindStringSubmatch(figure)
		pin, what, dotted := strings.Cut(m[2], ".")
		ref, name := to(m[1], pin)
		if dotted {
			name += "." + what
		}
		return "{" + joinTarget(ref, name) + "}"
	})
}
