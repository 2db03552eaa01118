package analysis

import (
	"slices"
	"strings"

	"copperglass/model"
)

// valueFaults says what is wrong with the part's values, and which of those that
// it cannot be computed without are not known. A value that is there but wrong
// is said to be wrong, and not also to be lacking.
func valueFaults(p *model.Part, k *model.Kind, v model.Values, problems []string) faults {
	var missing []string
	if k != nil && k.Equation != nil {
		missing = k.Missing(v)
	}
	var found faults
	for _, text := range problems {
		explained := func(name string) bool {
			return strings.HasPrefix(text, p.Ref+"."+name+":") || strings.HasPrefix(text, p.Ref+":")
		}
		if slices.ContainsFunc(missing, explained) {
			missing = slices.DeleteFunc(missing, explained)
			text += ": until then " + p.Ref + " is left open"
		}
		found.add(Fault{Text: text, Parts: []string{p.Ref}})
	}
	if len(missing) > 0 {
		found.add(Fault{Text: lacks(p, missing), Parts: []string{p.Ref}})
	}
	return found
}

// lacks says that the part cannot be computed for want of values.
func lacks(p *model.Part, missing []string) string {
	for i, name := range missing {
		missing[i] = strings.ReplaceAll(name, "_", " ")
	}
	return p.Ref + " is left open: its " + list(missing) + verb(len(missing), " is", " are") + " not known; enter " + verb(len(missing), "it", "them")
}
