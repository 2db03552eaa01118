package assets

import (
	"embed"
	"fmt"
	"path"
	"slices"
	"strings"
)

//go:embed examples/*.cglass
var examples embed.FS

// Examples returns the names of the drawings that come with the program,
// sorted.
func Examples() []string {
	entries, err := examples.ReadDir("examples")
	if err != nil {
		panic("assets: " + err.Error())
	}
	var names []string
	for _, e := range entries {
		names = append(names, strings.TrimSuffix(e.Name(), ".cglass"))
	}
	return names
}

// Example returns the drawing file of that name.
func Example(name string) ([]byte, error) {
	if !slices.Contains(Examples(), name) {
		return nil, fmt.Errorf("there is no example %q; there are %s", name, strings.Join(Examples(), ", "))
	}
	return examples.ReadFile(path.Join("examples", name+".cglass"))
}
