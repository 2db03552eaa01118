// Package rows keeps the file in which all benchmarks put their results:
//
//	{"machine": "…", "rows": [{"name", "ours_ns", "allocs", "rival", "rival_ns", "ratio"}]}
package rows

import (
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
)

// Row is our time for one thing, in ns, and beside it a rival's, if there is
// one.
type Row struct {
	Name    string  `json:"name"`
	OursNS  float64 `json:"ours_ns"`
	Allocs  float64 `json:"allocs"`
	Rival   string  `json:"rival"`
	RivalNS float64 `json:"rival_ns"`
	Ratio   float64 `json:"ratio"` // ours to the rival's
}

type report struct {
	Machine string `json:"machine"`
	Rows    []Row  `json:"rows"`
}

// Merge puts the rows at the end of the file, which it makes where there is
// none, and takes those out that had one of their names before. The file names
// the machine of the last call.
func Merge(file string, rows []Row) error {
	old, err := read(file)
	if err != nil {
		return err
	}
	kept := slices.DeleteFunc(old, func(r Row) bool {
		return slices.ContainsFunc(rows, func(s Row) bool { return s.Name == r.Name })
	})
	text, err := json.MarshalIndent(report{Machine(), append(kept, rows...)}, "", "  ")
	if err != nil {
		return err
	}
	if err := os.MkdirAll(filepath.Dir(file), 0o755); err != nil {
		return err
	}
	return os.WriteFile(file, append(text, '\n'), 0o644)
}

func read(file string) ([]Row, error) {
	text, err := os.ReadFile(file)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	var r report
	if err := json.Unmarshal(text, &r); err != nil {
		return nil, fmt.Errorf("%s holds no benchmark rows; remove it: %w", file, err)
	}
	return r.Rows, nil
}

// Machine names the processor as the kernel does, where it does.
func Machine() string {
	text, _ := os.ReadFile("/proc/cpuinfo")
	for line := range strings.Lines(string(text)) {
		if key, value, ok := strings.Cut(line, ":"); ok && strings.TrimSpace(key) == "model name" {
			return fmt.Sprintf("%s, %d cores, %s", strings.TrimSpace(value), runtime.NumCPU(), runtime.Version())
		}
	}
	return fmt.Sprintf("%s/%s, %d cores, %s", runtime.GOOS, runtime.GOARCH, runtime.NumCPU(), runtime.Version())
}
