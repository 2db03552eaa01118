package main

import (
	"copperglass/analysis"
	"copperglass/model/net"
)

// solutionJSON is the machine form of an operating point.
func solutionJSON(r *analysis.Result, words map[string]string) object {
	o := object{
		{"mode", orNull(r.Mode)},
		{"nets", netsJSON(r)},
		{"parts", partsJSON(r, words)},
		{"residual_current", number(r.ResidualCurrent)},
		{"power_balance", number(r.PowerBalance)},
		{"iterations", r.Iterations},
		{"method", orNull(r.Method)},
	}
	return append(append(o, statesJSON(r)...), member{"faults", faultsJSON(r)})
}

func netsJSON(r *analysis.Result) object {
	nets := object{}
	for i, n := range r.Nets.Nets {
		if i < len(r.Volts) {
			nets.put(n.Name, number(r.Volts[i]))
		} else {
			nets.put(n.Name, nil)
		}
	}
	return nets
}

func partsJSON(r *analysis.Result, words map[string]string) object {
	parts := object{}
	for _, ref := range sortedRefs(r.Parts) {
		part := partJSON(r.Nets, r.Parts[ref])
		if text := words[ref]; text != "" {
			part.put("words", text)
		}
		parts.put(ref, part)
	}
	return parts
}

func partJSON(nets *net.Netlist, p *analysis.PartResult) object {
	o := object{
		{"kind", p.Kind},
		{"pins", pinsJSON(nets, p, 1)},
		{"power", number(p.Power)},
	}
	if p.Count > 1 {
		n := float64(p.Count)
		o.put("count", p.Count)
		o.put("each", object{{"pins", pinsJSON(nets, p, n)}, {"power", number(p.Power / n)}})
	}
	if isTransistor(p.Kind) {
		o.put("state", orNull(string(p.State)))
		o.put("forced_beta", number(p.ForcedBeta))
	}
	for _, f := range p.Figures {
		o.put(f.Name, number(f.Value))
	}
	return o
}

// pinsJSON gives the currents of one of so many parts.
func pinsJSON(nets *net.Netlist, p *analysis.PartResult, count float64) object {
	pins := object{}
	for _, pin := range p.Pins {
		name := any(nil)
		if pin.Net >= 0 {
			name = nets.Nets[pin.Net].Name
		}
		pins.put(pin.Name, object{{"net", name}, {"current", number(pin.Amps / count)}})
	}
	return pins
}

func faultsJSON(r *analysis.Result) []object {
	faults := []object{}
	for _, f := range r.Faults {
		nets := []string{}
		for _, i := range f.Nets {
			nets = append(nets, r.Nets.Nets[i].Name)
		}
		faults = append(faults, object{{"text", f.Text}, {"stops", f.Stops}, {"parts", append([]string{}, f.Parts...)}, {"nets", nets}})
	}
	return faults
}

func isTransistor(kind string) bool {
	switch kind {
	case "npn", "pnp", "nmos", "pmos":
		return true
	}
	return false
}
