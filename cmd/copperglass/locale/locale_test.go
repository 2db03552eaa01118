package locale

import "testing"

func TestLocale(t *testing.T) {
	for _, c := range []struct {
		env map[string]string
		isC bool
	}{
		{map[string]string{}, true},
		{map[string]string{"LANG": "C.UTF-8"}, true},
		{map[string]string{"LANG": "de_DE.UTF-8"}, false},
		{map[string]string{"LANG": "de_DE.UTF-8", "LC_ALL": "POSIX"}, true},
		{map[string]string{"LANG": "C", "LC_MESSAGES": "fr_FR"}, false},
	} {
		if got := isC(name(func(v string) string { return c.env[v] })); got != c.isC {
			t.Errorf("%v: %v, want %v", c.env, got, c.isC)
		}
	}
}
