package symbol

import (
	"strings"
	"testing"

	"copperglass/model"
)

func TestEveryKindHasASymbol(t *testing.T) {
	left := map[string]bool{}
	for name := range symbols {
		left[name] = true
	}
	for _, k := range model.Kinds() {
		name := strings.ReplaceAll(k.Name, "_", "")
		if !left[name] {
			t.Errorf("kind %q has no symbol", k.Name)
		}
		delete(left, name)
	}
	for name := range left {
		t.Errorf("symbol %q is of no kind in the model", name)
	}
}
