package model

import (
	"slices"
	"strings"
)

// markedTypes are what makers print on small transistors. A code of two or three
// signs never identifies a part alone: with other makers it means others.
var markedTypes = []struct {
	code, name string
	status     Status
}{
	{"1AM", "MMBT3904", Confirmed}, {"K1N", "MMBT3904", Confirmed}, {"7A", "MMBT3904", FromMemory},
	{"2A", "MMBT3906", Confirmed}, {"7B", "MMBT3906", Confirmed},
	{"6A", "BC817-16", Confirmed}, {"6B", "BC817-25", Confirmed}, {"6C", "BC817-40", Confirmed},
	{"5A", "BC807-16", Confirmed}, {"5B", "BC807-25", Confirmed}, {"5C", "BC807-40", Confirmed},
	{"1E", "BC847A", FromMemory}, {"1F", "BC847B", FromMemory}, {"1G", "BC847C", FromMemory},
	{"3E", "BC857A", FromMemory}, {"3F", "BC857B", FromMemory}, {"3G", "BC857C", FromMemory},
	{"1P", "MMBT2222A", FromMemory}, {"2F", "MMBT2907A", FromMemory},
	{"702", "2N7002", Confirmed}, {"7X2", "2N7002", Confirmed}, {"704", "2N7002K", Confirmed},
}

// TypesMarked returns the transistors on whose cases makers print this code, bare
// or followed by one letter for the place of manufacture. It is empty for a code
// that the handbook does not know.
func TypesMarked(marking string) []string {
	folded := foldName(marking)
	var names []string
	for _, t := range markedTypes {
		if rest, ok := strings.CutPrefix(folded, foldName(t.code)); ok && len(rest) <= 1 && strings.Trim(rest, "0123456789") == rest {
			names = append(names, t.name)
		}
	}
	return names
}

// HasMarking reports whether the handbook knows the code on that transistor's case.
func HasMarking(name string) bool {
	for _, t := range markedTypes {
		if IsSameType(t.name, name) {
			return true
		}
	}
	return false
}

// IsSameType reports whether two names are those of the same type.
func IsSameType(a, b string) bool { return foldName(a) == foldName(b) }

// FamiliesNamed returns the families of chips that a name belongs to, as
// "ATtiny13A" does to "ATtiny13, 25, 45, 85".
func FamiliesNamed(name string) []ChipFamily {
	var found []ChipFamily
	for _, f := range chipFamilies {
		if slices.ContainsFunc(f.types(), func(one string) bool { return isOfType(strings.ToUpper(name), strings.ToUpper(one)) }) {
			found = append(found, f)
		}
	}
	return found
}

// isOfType reports whether a name contains a type's name with no further digit
// before or behind it, which would make it another type.
func isOfType(name, one string) bool {
	const least = 3
	at := strings.Index(name, one)
	if at < 0 || len(one) < least {
		return false
	}
	digit := func(s string) bool { return s != "" && strings.ContainsAny(s, "0123456789") }
	return !digit(name[max(0, at-1):at]) && !digit(name[at+len(one):min(len(name), at+len(one)+1)])
}

// types lists the types of a family by their full names: "ATtiny13, 25" is
// ATtiny13 and ATtiny25.
func (f ChipFamily) types() []string {
	const digits = "0123456789"
	var names []string
	before := ""
	for _, item := range strings.Split(f.Name, ", ") {
		for _, word := range strings.Fields(item) {
			if !strings.ContainsAny(word, digits) || strings.HasSuffix(word, "xx") {
				continue
			}
			if strings.Trim(word, digits) == "" {
				word = before + word
			}
			before = strings.TrimRight(word, digits)
			names = append(names, word)
		}
	}
	return names
}

// FedAt reports whether the family takes supply and ground at the pins of these
// numbers.
func (f ChipFamily) FedAt(supply, ground string) bool {
	return slices.Contains(f.supply, supply) && slices.Contains(f.ground, ground)
}

// SupplyPins returns the numbers of the pins that take the supply.
func (f ChipFamily) SupplyPins() []string { return slices.Clone(f.supply) }

// GroundPins returns the numbers of the pins that are joined to ground.
func (f ChipFamily) GroundPins() []string { return slices.Clone(f.ground) }
