package analysis

import (
	"slices"
	"strings"

	"copperglass/model"
)

// pinName is what people call the pin of p: "cathode (K)", "minus (−)",
// "pin 1", "pin 7 (OUT)".
func pinName(p *model.Part, pin string) string {
	if name := p.LookupKind().PinWords[pin]; name != "" {
		return name + " (" + strings.Replace(pin, "-", "−", 1) + ")"
	}
	for _, c := range p.Pins {
		if c.Number == pin && c.Name != "" {
			return "pin " + pin + " (" + c.Name + ")"
		}
	}
	return "pin " + pin
}

// list joins names as in a sentence: "a", "a and b", "a, b and c".
func list(names []string) string {
	last := len(names) - 1
	if last < 1 {
		return strings.Join(names, "")
	}
	return strings.Join(names[:last], ", ") + " and " + names[last]
}

// netsNamed is "net a" or "nets a, b and c"; of many, the first few.
func netsNamed(names []string) string {
	return verb(len(names), "net ", "nets ") + someOf(names)
}

// someOf names all of a few, or the first of many.
func someOf(names []string) string {
	const most = 6
	if len(names) > most+1 {
		names = append(slices.Clone(names[:most]), "others")
	}
	return list(names)
}

// verb picks the form of a word for n things.
func verb(n int, one, many string) string {
	if n == 1 {
		return one
	}
	return many
}

// sortedNames returns the names in natural order, each once.
func sortedNames(names []string) []string {
	names = slices.Clone(names)
	slices.SortFunc(names, model.NaturalCompare)
	return slices.Compact(names)
}

func sortedInts(x []int) []int {
	slices.Sort(x)
	return slices.Compact(x)
}
