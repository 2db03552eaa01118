package file

import "copperglass/model"

// whatIf reads one variation.
func (d *decoder) whatIf(at *place, v raw) *model.WhatIf {
	w := &model.WhatIf{}
	w.Extra = d.object(at, v, func(key string, at *place, v raw) bool {
		switch key {
		case "name":
			w.Name = d.text(at, v)
		case "set":
			w.Set = d.params(at, v)
		default:
			return false
		}
		return true
	})
	if v.isObject() && w.Name == "" {
		d.fault(at.in("name"), "the what-if has no name")
	}
	return w
}

// mute reads one muted finding.
func (d *decoder) mute(at *place, v raw) *model.Mute {
	m := &model.Mute{}
	m.Extra = d.object(at, v, func(key string, at *place, v raw) bool {
		switch key {
		case "rule":
			m.Rule = d.text(at, v)
		case "parts":
			m.Parts = d.refs(at, v)
		case "reason":
			m.Reason = d.text(at, v)
		default:
			return false
		}
		return true
	})
	return m
}

// step reads one step of the story.
func (d *decoder) step(at *place, v raw) *model.Step {
	s := &model.Step{}
	s.Extra = d.object(at, v, func(key string, at *place, v raw) bool {
		switch key {
		case "title":
			s.Title = d.text(at, v)
		case "mode":
			s.Mode = d.text(at, v)
		case "set":
			s.Set = d.params(at, v)
		case "lit":
			s.Lit = d.refs(at, v)
		case "text":
			s.Text = d.text(at, v)
		default:
			return false
		}
		return true
	})
	return s
}

func (d *decoder) refs(at *place, v raw) []string {
	var refs []string
	d.list(at, v, MaxParts, func(at *place, v raw) { refs = append(refs, d.text(at, v)) })
	return refs
}

func whatIf(w *model.WhatIf) string {
	var o object
	o.put("name", quote(w.Name))
	o.put("set", params(w.Set))
	o.extra(w.Extra)
	return o.String()
}

func mute(m *model.Mute) string {
	var o object
	o.put("rule", quote(m.Rule))
	o.filled("parts", list(m.Parts, quote))
	o.text("reason", m.Reason)
	o.extra(m.Extra)
	return o.String()
}

func step(s *model.Step) string {
	var o object
	o.text("title", s.Title)
	o.text("mode", s.Mode)
	o.filled("set", params(s.Set))
	o.filled("lit", list(s.Lit, quote))
	o.text("text", s.Text)
	o.extra(s.Extra)
	return o.String()
}
