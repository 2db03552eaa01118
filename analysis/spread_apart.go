package analysis

import (
	"fmt"
	"strings"

	"copperglass/model"
)

// drawnApart returns the diagram with every stack drawn as single parts, one
// upon the other and joined alike, and their names by the stack's. The first
// keeps the stack's name, the others are called REF#2, REF#3 and so on.
func drawnApart(d *model.Diagram) (*model.Diagram, map[string][]string) {
	out, stacks := *d, map[string][]string{}
	out.Parts = make([]*model.Part, 0, len(d.Parts))
	for _, p := range d.Parts {
		if p.Multiple() == 1 {
			out.Parts = append(out.Parts, p)
			continue
		}
		for i := range p.Multiple() {
			one := p.Clone()
			one.Count = 1
			if i > 0 {
				one.Ref = fmt.Sprintf("%s#%d", p.Ref, i+1)
			}
			out.Parts = append(out.Parts, one)
			stacks[p.Ref] = append(stacks[p.Ref], one.Ref)
		}
	}
	return &out, stacks
}

// apart sets for every part of a stack what is set for the stack.
func (b *batch) apart(s model.Setting) model.Setting {
	out := model.Setting{}
	for ref, params := range s {
		for name, v := range params {
			out.Set(ref, name, v)
			for _, one := range b.stacks[ref] {
				out.Set(one, name, v)
			}
		}
	}
	return out
}

// members returns the names under which the parts of a stack have what the
// whole has under the given one.
func (b *batch) members(name string) []string {
	ref, what, _ := strings.Cut(name, ".")
	first, isFirst := strings.CutSuffix(ref, "#1")
	switch {
	case isFirst && b.stacks[first] != nil:
		return []string{first + "." + what}
	case b.stacks[ref] == nil:
		return []string{name}
	}
	var names []string
	for _, one := range b.stacks[ref] {
		names = append(names, one+"."+what)
	}
	return names
}

// summands returns the quantities that add up to the one given: of a stack's
// current or power those of its parts, of anything else its first part's.
func (b *batch) summands(of string) []string {
	names := b.members(of)
	if strings.HasSuffix(of, ".amps") || strings.HasSuffix(of, ".watts") {
		return names
	}
	return names[:1]
}
