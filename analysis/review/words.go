package review

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"copperglass/analysis"
	"copperglass/model"
	"copperglass/model/quantity"
)

// Words tell of each part what it does at an operating point, in a sentence or
// two made of its figures: by reference. Of a part that the analysis has
// nothing to say about there are none, and none at all where r is not solved.
func Words(ctx context.Context, d *model.Diagram, r *analysis.Result) map[string]string {
	words := map[string]string{}
	if !r.Solved {
		return words
	}
	s := newSight(ctx, d, r, r.Set)
	for _, p := range d.Parts {
		if s.r.Parts[p.Ref] == nil {
			continue
		}
		text := s.tell(p)
		if strings.Contains(text, unknown) {
			text = p.Ref + " hangs where nothing determines what it does."
		}
		if text != "" {
			words[p.Ref] = text
		}
	}
	return words
}

// unknown is how a figure is written that nothing determines.
var unknown = quantity.Short(math.NaN(), quantity.Volt)

// tell chooses the sentence by the kind of part.
func (s *sight) tell(p *model.Part) string {
	switch p.Kind {
	case "npn", "pnp":
		return s.tellBipolar(p)
	case "nmos", "pmos":
		return s.tellFieldEffect(p)
	case "led":
		return s.tellLED(p)
	case "diode":
		return s.tellDiode(p)
	case "zener":
		return s.tellZener(p)
	case "resistor":
		return s.tellResistor(p)
	case "battery", "supply":
		return s.tellSource(p)
	case "chip":
		return s.tellChip(p)
	case "switch", "button":
		return s.tellSwitch(p)
	case "capacitor":
		return s.tellCapacitor(p)
	case "potentiometer":
		return s.tellPotentiometer(p)
	case "meter":
		return s.tellMeter(p)
	case "lamp", "motor", "fuse", "inductor":
		return s.tellLoad(p)
	}
	return ""
}

func (s *sight) tellBipolar(p *model.Part) string {
	q := s.r.Parts[p.Ref]
	base, load := math.Abs(s.amps(p, "B")), math.Abs(s.amps(p, "C"))
	lost, bias := math.Abs(s.volts(p, "C", "E")), s.bias(p, "B", "E")
	switch q.State {
	case analysis.Saturated:
		if s.atTheEdge(p) && load > leastLoad {
			return fmt.Sprintf("%s is on the edge of saturation: %s in its base carry no more than about %s, so that its base is the limit (forced β %s, %s lost).",
				p.Ref, amps(base), amps(s.carries(p, 1)), plain(math.Abs(q.ForcedBeta)), volts(lost))
		}
		const margin = 1.25 // what it could carry beyond what it does, to be well saturated: our judgement
		could, just := s.carries(p, 1), ""
		if could < margin*load {
			just = "only just "
		}
		return fmt.Sprintf("%s is %ssaturated: %s in its base could carry %s%s, and the circuit lets it have %s (forced β %s, %s lost).",
			p.Ref, just, amps(base), amps(could), s.fallenGain(p, could/base), amps(load), plain(math.Abs(q.ForcedBeta)), volts(lost))
	case analysis.Active:
		if sets := s.setInItsPlace(p); sets != "" {
			return fmt.Sprintf("%s is active and its emitter follows its base: the %s through it hang on %s more than on its own gain (%s in its base, a gain of %s), and %s stay across it.",
				p.Ref, amps(load), sets, amps(base), plain(math.Abs(q.ForcedBeta)), volts(lost))
		}
		return fmt.Sprintf("%s is active: its base sets the current, %s in it make %s (a gain of %s), and %s stay across it.",
			p.Ref, amps(base), amps(load), plain(math.Abs(q.ForcedBeta)), volts(lost))
	case analysis.Reverse:
		return s.tellReverse(p, "C", "E")
	}
	return fmt.Sprintf("%s is off: %s between base and emitter is too little to turn it on, and it holds back %s.", p.Ref, volts(bias), volts(lost))
}

// fallenGain says that a transistor's gain is well below the usual at a current as
// large as its base could make.
func (s *sight) fallenGain(p *model.Part, gain float64) string {
	const well = 0.8
	usual := s.values[p.Ref].Num("forward_beta")
	if gain > well*usual {
		return ""
	}
	return fmt.Sprintf(" (a gain of %s: its %s falls at large currents)", plain(math.Round(gain)), plain(usual))
}

// setInItsPlace names the resistor in the emitter of an active transistor where
// that decides about the current more than its gain does; "" where it does not,
// and where none is there. From
//
//	V = I R_E + (I/β) R_B + V_BE, V_BE = V_T ln(I/I_S)
//
// a relative change of R_E moves I by −I R_E/S of itself, one of β by
// (I/β) R_B/S, with S = I R_E + (I/β) R_B + V_T. R_B is what the resistors at
// the base make together.
func (s *sight) setInItsPlace(p *model.Part) string {
	if s.switches(p) || s.net(p, "B") == s.net(p, "C") {
		return ""
	}
	feed, known := s.baseFeed(p)
	through := math.Abs(s.amps(p, "E"))
	for _, j := range s.at[s.net(p, "E")] {
		if !known || j.part.Kind != "resistor" || s.isLink(j.part) || s.through(j.part) < through/2 {
			continue
		}
		first, second := s.ends(j.part)
		over := math.Abs(s.volts(j.part, first, second))
		if over <= feed {
			return ""
		}
		share := over / (over + feed + model.ThermalVoltage(s.values[p.Ref].Num("temperature")))
		return fmt.Sprintf("%s (1 %% more of it moves them by about %.2g %%)", j.part.Ref, share)
	}
	return ""
}

// baseFeed is the voltage that the base current of a transistor takes in the
// resistors at its base, nothing where a source holds the base. It is false where
// something else feeds it.
func (s *sight) baseFeed(p *model.Part) (volts float64, known bool) {
	n := s.net(p, "B")
	if len(s.held[n]) > 0 {
		return 0, true
	}
	siemens := 0.0
	for _, j := range s.at[n] {
		if j.part.Kind == "resistor" && !s.isLink(j.part) {
			siemens += 1 / s.values[j.part.Ref].Num("resistance")
		}
	}
	return math.Abs(s.amps(p, "B")) / siemens, siemens > 0
}

// carries is the collector current in amperes that the base current of a bipolar
// transistor could carry if its gain were that part of its type's: by its law
//
//	I = 2 I_F/(1 + √(1 + 4 I_F/I_K)), I_F = β I_B
//
// without the little that a collector's voltage adds.
func (s *sight) carries(p *model.Part, part float64) float64 {
	v := s.values[p.Ref]
	forward := part * v.Num("forward_beta") * math.Abs(s.amps(p, "B"))
	knee := v.Num("knee_current")
	if knee == 0 {
		return forward
	}
	return 2 * forward / (1 + math.Sqrt(1+4*forward/knee))
}

// bias is the voltage that opens a transistor, positive when it does.
func (s *sight) bias(p *model.Part, from, to string) float64 {
	if p.Kind == "pnp" || p.Kind == "pmos" {
		return s.volts(p, to, from)
	}
	return s.volts(p, from, to)
}

func (s *sight) tellFieldEffect(p *model.Part) string {
	q := s.r.Parts[p.Ref]
	load, lost := math.Abs(s.amps(p, "D")), math.Abs(s.volts(p, "D", "S"))
	gate, threshold := s.bias(p, "G", "S"), s.values[p.Ref].Num("threshold_voltage")
	switch q.State {
	case analysis.Saturated:
		return fmt.Sprintf("%s is fully on: %s at its gate are %s above its threshold, and it loses %s at %s (%s).",
			p.Ref, volts(gate), volts(gate-threshold), volts(lost), amps(load), ohms(lost/load))
	case analysis.Active:
		return fmt.Sprintf("%s is partly on: its gate, %s against a threshold of %s, sets %s, and %s stay across it.",
			p.Ref, volts(gate), volts(threshold), amps(load), volts(lost))
	case analysis.Reverse:
		return s.tellReverse(p, "D", "S")
	}
	return fmt.Sprintf("%s is off: %s at its gate stay below its threshold of %s, and it holds back %s.", p.Ref, volts(gate), volts(threshold), volts(lost))
}

// leastLight is the current in amperes from which an LED gives some light.
const leastLight = 1e-5

func (s *sight) tellLED(p *model.Part) string {
	each, across := s.amps(p, "A"), s.volts(p, "A", "K")
	if each < leastLight {
		return fmt.Sprintf("%s is dark: %s across it is too little for light.", p.Ref, volts(across))
	}
	if p.Multiple() == 1 {
		return fmt.Sprintf("%s takes %s at %s%s.", p.Ref, amps(each), volts(across), s.ofLimit(p, "led-over-current"))
	}
	all := s.r.Parts[p.Ref].Pin("A").Amps
	text := fmt.Sprintf("The %d of %s share %s, %s each if they are alike%s", p.Multiple(), p.Ref, amps(all), amps(each), s.ofLimit(p, "led-over-current"))
	if one, then, ok := s.withOneLower(lights{strings: [][]*model.Part{{p}}, count: p.Multiple(), amps: all}); ok {
		text += fmt.Sprintf("; with usual bins one may carry %s, %s of what flows then", amps(one), percent(one/then))
	}
	return text + "."
}

// ofLimit tells how the figure of a part that a rule is about stands to its limit,
// where it has one.
func (s *sight) ofLimit(p *model.Part, rule string) string {
	for _, l := range limits() {
		if l.id != rule || !slices.Contains(l.kinds, p.Kind) {
			continue
		}
		x, most := l.figure(s, p), l.rating(s, p)
		switch {
		case !(most > 0) || x < most/100:
			return ""
		case x > most:
			return fmt.Sprintf(", over its limit of %s%s", quantity.Short(most, l.unit), s.heated(p, l))
		}
		return fmt.Sprintf(", %s of its limit%s", percent(x/most), s.heated(p, l))
	}
	return ""
}

func (s *sight) tellDiode(p *model.Part) string {
	through, across := s.amps(p, "A"), s.volts(p, "A", "K")
	switch {
	case through > 1e-6:
		return fmt.Sprintf("%s conducts %s and loses %s.", p.Ref, amps(through), volts(across))
	case across < 0:
		return fmt.Sprintf("%s blocks %s.", p.Ref, volts(-across))
	}
	return fmt.Sprintf("%s does not conduct: %s across it is too little.", p.Ref, volts(across))
}

func (s *sight) tellZener(p *model.Part) string {
	v := s.values[p.Ref]
	reverse, through := s.volts(p, "K", "A"), -s.amps(p, "A")
	switch {
	case reverse > 0 && through > 0.1*v.Num("breakdown_current"):
		return fmt.Sprintf("%s regulates: it holds %s and takes %s for it.", p.Ref, volts(reverse), amps(through))
	case reverse > 0 && through > 1e-6:
		return fmt.Sprintf("%s stands at %s, below its %s, and lets %s through: too little to regulate.", p.Ref, volts(reverse), volts(v.Num("breakdown_voltage")), amps(through))
	}
	return s.tellDiode(p)
}

// leastHeat is the power in watts from which on a link is said to lose it.
const leastHeat = 1e-6

func (s *sight) tellResistor(p *model.Part) string {
	first, second := s.ends(p)
	through, across := math.Abs(s.amps(p, first)), math.Abs(s.volts(p, first, second))
	switch {
	case s.isLink(p) && through < nothing:
		return fmt.Sprintf("%s is a link and carries nothing.", p.Ref)
	case s.isLink(p) && s.inPlaceOfBallast(p) != nil:
		return fmt.Sprintf("%s is a link: %s flow through it, and nothing limits them but %s.", p.Ref, amps(through), s.limitsInWords(s.limiting(s.inPlaceOfBallast(p))))
	case s.isLink(p) && s.watts(p) < leastHeat:
		return fmt.Sprintf("%s is a link: %s flow through it and nothing is lost.", p.Ref, amps(through))
	case s.isLink(p):
		return fmt.Sprintf("%s is a link: %s flow through it and %s are lost.", p.Ref, amps(through), watts(s.watts(p)))
	case through < nothing:
		return fmt.Sprintf("%s carries no current to speak of.", p.Ref)
	}
	each, all := eachOf(p), ""
	if n := p.Multiple(); n > 1 {
		all = fmt.Sprintf(", %s in all,", amps(through*float64(n)))
	}
	return fmt.Sprintf("%s drops %s at %s%s%s and turns %s%s into heat%s.", p.Ref, volts(across), amps(through), each, all, watts(s.watts(p)), each, s.ofLimit(p, "resistor-over-power"))
}

func (s *sight) tellSource(p *model.Part) string {
	open, under := s.r.Parts[p.Ref].Figure("open_circuit_voltage"), s.volts(p, "+", "-")
	given := -s.amps(p, "+")
	switch {
	case math.Abs(given) < 1e-12:
		return fmt.Sprintf("%s gives nothing and stands at %s.", p.Ref, volts(under))
	case given*open < 0:
		return fmt.Sprintf("%s is charged: %s flow into it.", p.Ref, amps(math.Abs(given)))
	}
	text := fmt.Sprintf("%s gives %s%s at %s", p.Ref, amps(math.Abs(given)), eachOf(p), volts(under))
	if n := p.Multiple(); n > 1 {
		text = fmt.Sprintf("The %d of %s give %s, %s each, at %s", n, p.Ref, amps(math.Abs(given)*float64(n)), amps(math.Abs(given)), volts(under))
	}
	if lost := math.Abs(open - under); lost > 0.005*math.Abs(open) {
		text += fmt.Sprintf("; %s of its %s are lost in its own %s", volts(lost), volts(math.Abs(open)), ohms(s.values[p.Ref].Num("resistance")))
	}
	return text + "."
}

func (s *sight) tellChip(p *model.Part) string {
	var does []string
	for _, pin := range p.Pins {
		role, state := s.chipPin(p, pin.Number)
		through := s.amps(p, pin.Number)
		switch {
		case role == "supply":
			does = append(does, fmt.Sprintf("takes %s", amps(through)))
		case role != "output" && role != "open_drain":
		case state == "high":
			does = append(does, fmt.Sprintf("%s is high and gives %s%s", pinName(pin), amps(math.Abs(through)), s.sags(p, pin.Number, "supply")))
		case state == "low":
			does = append(does, fmt.Sprintf("%s is low and draws %s%s", pinName(pin), amps(math.Abs(through)), s.sags(p, pin.Number, "ground")))
		default:
			does = append(does, pinName(pin)+" is off")
		}
	}
	if does == nil {
		return ""
	}
	return p.Ref + " " + strings.Join(does, "; ") + "."
}

// sags says how far the load pulls an output from the rail that it is switched
// to, where that is worth a word.
func (s *sight) sags(p *model.Part, number, rail string) string {
	const little = 0.01 // V
	at := pinOf(p, rail)
	if at == "" {
		return ""
	}
	off := s.volts(p, number, at)
	switch {
	case off > little:
		return ", which lifts it to " + volts(off) + " above " + rail
	case off < -little:
		return ", which pulls it " + volts(-off) + " below " + rail
	}
	return ""
}

func pinName(pin model.ChipPin) string {
	if pin.Name == "" {
		return "pin " + pin.Number
	}
	return fmt.Sprintf("pin %s (%s)", pin.Number, pin.Name)
}

func (s *sight) tellSwitch(p *model.Part) string {
	first, second := s.ends(p)
	if s.isLink(p) {
		return fmt.Sprintf("%s is closed and carries %s.", p.Ref, amps(math.Abs(s.amps(p, first))))
	}
	held := math.Abs(s.volts(p, first, second))
	if !finite(held) {
		return fmt.Sprintf("%s is open, and nothing determines the voltage behind it.", p.Ref)
	}
	return fmt.Sprintf("%s is open and holds back %s.", p.Ref, volts(held))
}

func (s *sight) tellCapacitor(p *model.Part) string {
	if s.r.Restless() {
		return fmt.Sprintf("%s has %s across it at the point that the circuit swings about, and is charged to one side and the other of that.", p.Ref, volts(voltsAcross(s, p)))
	}
	return fmt.Sprintf("%s holds %s and lets nothing through at rest.", p.Ref, volts(voltsAcross(s, p)))
}

func (s *sight) tellLoad(p *model.Part) string {
	first, second := s.ends(p)
	text := fmt.Sprintf("%s takes %s at %s, %s%s", p.Ref, amps(math.Abs(s.amps(p, first))), volts(math.Abs(s.volts(p, first, second))), watts(math.Abs(s.watts(p))), eachOf(p))
	if s.heldStill(p) {
		text += ", worked out as if held still: turning, it makes a back voltage and takes less"
	}
	return text + "."
}
