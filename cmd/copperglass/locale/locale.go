// Package locale names a language where the environment has only the C locale.
// The toolkit reads the locale before main begins and complains of "C" on
// standard error. Packages are initialised in the order of their import paths
// as far as their imports allow (The Go Programming Language Specification,
// "Program initialization"), so this one, which imports no other of ours,
// comes before the toolkit's.
package locale

import (
	"os"
	"strings"
)

func init() {
	if os.Getenv("LANGUAGE") == "" && isC(name(os.Getenv)) {
		os.Setenv("LANGUAGE", "en")
	}
}

// name is the locale of messages by the precedence that POSIX gives the
// variables (IEEE Std 1003.1-2017, 8.2).
func name(getenv func(string) string) string {
	for _, variable := range []string{"LC_ALL", "LC_MESSAGES", "LANG"} {
		if v := getenv(variable); v != "" {
			return v
		}
	}
	return ""
}

func isC(name string) bool {
	base, _, _ := strings.Cut(name, ".")
	return base == "" || base == "C" || base == "POSIX"
}
