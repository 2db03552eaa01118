// Package cmd holds no code of its own, only the test that keeps the import
// order of all the others.
package cmd

import (
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// allowed says which of our own packages each package may import, tests aside.
// A package that is not listed may not exist.
var allowed = map[string][]string{
	"model/geom":               {},
	"model/quantity":           {},
	"model":                    {"model/geom", "model/quantity"},
	"model/file":               {"model", "model/geom", "model/quantity"},
	"model/journal":            {"model", "model/file"},
	"model/net":                {"model", "model/geom"},
	"analysis/sparse":          {},
	"analysis/sparse/klubench": {"analysis/sparse", "analysis/bench/rows"}, // benchmark only, behind a build tag
	"analysis/device":          {},
	"analysis/newton":          {"analysis/sparse"},
	"analysis": {"model", "model/geom", "model/net", "model/quantity", "analysis/device", "analysis/newton",
		"analysis/sparse"},
	"analysis/drain":        {"analysis", "model", "model/quantity"},
	"analysis/review":       {"analysis", "analysis/drain", "model", "model/net", "model/quantity"},
	"analysis/story":        {"analysis", "analysis/review", "model", "model/quantity"},
	"analysis/whatif":       {"analysis", "analysis/drain", "analysis/review", "model", "model/quantity"},
	"assets":                {},
	"analysis/bench/rows":   {},
	"analysis/bench/growth": {"analysis", "analysis/bench/rows", "model", "model/file", "model/geom", "model/net"}, // benchmark only
	"analysis/bench/spread": {"analysis", "assets", "analysis/bench/rows", "model", "model/file"},                  // benchmark only
	"canvas":                {"model/geom", "assets"},
	"canvas/symbol":         {"canvas", "model", "model/geom", "model/quantity"},
	"canvas/scene": {"canvas", "canvas/symbol", "model", "model/geom", "model/net", "model/quantity",
		"analysis"},
	"canvas/raster":      {"canvas", "assets"},
	"canvas/svg":         {"canvas", "assets"},
	"canvas/chart":       {"canvas", "assets", "model/quantity", "analysis/drain"},
	"canvas/svg/svgtest": {"canvas", "canvas/raster", "canvas/svg", "assets"}, // for tests only
	"canvas/tool":        {"canvas", "canvas/symbol", "model", "model/geom", "model/net"},
	"canvas/ui": {"canvas", "canvas/chart", "canvas/symbol", "canvas/tool", "canvas/scene", "canvas/raster", "canvas/svg",
		"model", "model/file", "model/geom", "model/journal", "model/net", "model/quantity", "analysis", "analysis/drain",
		"analysis/review", "analysis/story", "analysis/whatif", "assets"},
	"cmd/copperglass":        {"canvas/ui", "model/file", "assets", "cmd/copperglass/locale"},
	"cmd/copperglass/locale": {},
	"cmd/copperprint": {"model", "model/file", "model/net", "model/quantity", "analysis", "analysis/drain", "analysis/review",
		"analysis/story", "analysis/whatif", "assets",
		"canvas", "canvas/chart", "canvas/symbol", "canvas/scene", "canvas/raster", "canvas/svg"},
}

// toolkit are the packages that may import the GUI toolkit; only the second
// may open a real window with it.
var toolkit = []string{"canvas/ui", "cmd/copperglass"}

const module = "copperglass/"

func TestImportOrder(t *testing.T) {
	seen := 0
	eachImport(t, "..", func(dir, file, path string, isTest bool) {
		seen++
		may, listed := allowed[dir]
		if !listed && !isTest {
			t.Errorf("%s: package %s has no place in the import order", file, dir)
			return
		}
		if own, ok := strings.CutPrefix(path, module); ok && !isTest && !slices.Contains(may, own) {
			t.Errorf("%s imports %s, which the import order does not allow", file, own)
		}
		if strings.HasPrefix(path, "fyne.io/") && !slices.Contains(toolkit, dir) {
			t.Errorf("%s imports the toolkit (%s)", file, path)
		}
		if path == "fyne.io/fyne/v2/app" && dir != "cmd/copperglass" {
			t.Errorf("%s opens real windows (%s)", file, path)
		}
	})
	if seen < 50 {
		t.Errorf("looked at %d imports only: is the test run from its own folder?", seen)
	}
}

// TestImportOrderIsAnOrder follows every allowed import down: a package may
// never come back to itself.
func TestImportOrderIsAnOrder(t *testing.T) {
	var visit func(pkg string, above []string)
	visit = func(pkg string, above []string) {
		if slices.Contains(above, pkg) {
			t.Fatalf("import order goes in a circle: %s → %s", strings.Join(above, " → "), pkg)
		}
		for _, next := range allowed[pkg] {
			visit(next, append(above, pkg))
		}
	}
	for pkg := range allowed {
		visit(pkg, nil)
	}
}

// eachImport calls f for each import of each Go file below root, with the
// file's package directory relative to root.
func eachImport(t *testing.T, root string, f func(dir, file, path string, isTest bool)) {
	t.Helper()
	err := filepath.WalkDir(root, func(name string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() && strings.HasPrefix(d.Name(), ".") && d.Name() != ".." {
			return fs.SkipDir
		}
		if filepath.Ext(name) != ".go" {
			return nil
		}
		parsed, err := parser.ParseFile(token.NewFileSet(), name, nil, parser.ImportsOnly)
		if err != nil {
			return err
		}
		rel, err := filepath.Rel(root, filepath.Dir(name))
		if err != nil {
			return err
		}
		for _, spec := range parsed.Imports {
			path, err := strconv.Unquote(spec.Path.Value)
			if err != nil {
				return err
			}
			f(filepath.ToSlash(rel), name, path, strings.HasSuffix(name, "_test.go"))
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
}
