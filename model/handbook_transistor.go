package model

import (
	"slices"
	"sync"
)

// isNamed reports whether one of the names is the folded one, see foldName.
func isNamed(names []string, folded string) bool {
	return slices.ContainsFunc(names, func(name string) bool { return foldName(name) == folded })
}

// transistorType is a row of the bipolar or of the field-effect table.
type transistorType struct {
	name, kind string
	entry      HandbookEntry
	params     Params
}

// transistorTypes lists the types of all kinds, one row for each of their names.
func transistorTypes() []transistorType {
	var all []transistorType
	for _, t := range bipolarTypes {
		for _, name := range t.names {
			all = append(all, transistorType{name, t.kind, HandbookEntry{name, t.about, t.status, t.source}, t.params()})
		}
	}
	for _, t := range fieldEffectTypes {
		for _, name := range t.names {
			all = append(all, transistorType{name, t.kind, HandbookEntry{name, t.about, t.status, t.source}, t.params()})
		}
	}
	return all
}

// transistorNamed are the types by their folded names.
var transistorNamed = sync.OnceValue(func() map[string]transistorType {
	named := map[string]transistorType{}
	for _, t := range transistorTypes() {
		named[foldName(t.name)] = t
	}
	return named
})

func transistorHandbook(kind string) []HandbookEntry {
	var entries []HandbookEntry
	for _, t := range transistorTypes() {
		if t.kind == kind {
			entries = append(entries, t.entry)
		}
	}
	return entries
}
