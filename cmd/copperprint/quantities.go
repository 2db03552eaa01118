package main

import (
	"strings"

	"copperglass/model"
	"copperglass/model/quantity"
)

// names is a flag that takes a list with commas and may be repeated.
type names []string

func (n *names) String() string { return strings.Join(*n, ",") }

// Set adds the names of one list.
func (n *names) Set(text string) error {
	for _, name := range strings.Split(text, ",") {
		if name = strings.TrimSpace(name); name != "" {
			*n = append(*n, name)
		}
	}
	return nil
}

const aboutOf = "`Q,…` quantities: net.NAME.volts, REF.PIN.amps, REF.watts or REF.param; may be repeated"

// need says that there must be quantities.
func (n names) need(verb string) error {
	if len(n) == 0 {
		return failure{misused, misuse("%s: say which quantities, with --of net.NAME.volts,REF.PIN.amps", verb), "copperprint help " + verb}
	}
	return nil
}

// parseTolerances reads REF.param=5 %.
func parseTolerances(d *model.Diagram, texts settings) (map[string]float64, error) {
	own := make(map[string]float64, len(texts))
	for _, text := range texts {
		name, value, ok := strings.Cut(text, "=")
		ref, param, dotted := strings.Cut(name, ".")
		if !ok || !dotted {
			return nil, misuse("--tolerance %s: write REF.param=fraction, such as R1.resistance=5%%", text)
		}
		if _, err := describe(d, ref, param); err != nil {
			return nil, misuse("--tolerance %s: %v", text, err)
		}
		fraction, err := quantity.Parse(value, quantity.None)
		if err != nil {
			return nil, misuse("--tolerance %s: %v", text, err)
		}
		own[name] = fraction
	}
	return own, nil
}
