package review

import (
	"fmt"
	"math"

	"copperglass/model"
)

// tellReverse is of a transistor that carries current the other way round than
// one does that switches.
func (s *sight) tellReverse(p *model.Part, first, second string) string {
	from, to := pinWord(first), pinWord(second)
	if s.amps(p, first) < 0 {
		from, to = to, from
	}
	how := "works the wrong way round"
	if s.guardsAgainstReversal(p) {
		how = "is wired as a protection against reversed cells, and so carries its current backwards"
	}
	return fmt.Sprintf("%s %s: %s flow from %s to %s, and it loses %s.",
		p.Ref, how, amps(math.Abs(s.amps(p, first))), from, to, volts(math.Abs(s.volts(p, first, second))))
}

// pinWord is a transistor's pin in words.
func pinWord(pin string) string {
	return map[string]string{"C": "collector", "E": "emitter", "D": "drain", "S": "source"}[pin]
}

// guardsAgainstReversal reports whether a field-effect transistor lies with its
// drain at a pole of a source, so that its body diode leads as the current is to,
// and with its gate at the other pole, which opens it as long as the cells lie
// right.
func (s *sight) guardsAgainstReversal(p *model.Part) bool {
	poles := map[string][2]string{"pmos": {"+", "-"}, "nmos": {"-", "+"}}
	at, known := poles[p.Kind]
	if !known || s.net(p, "G") == s.net(p, "S") {
		return false
	}
	for _, q := range s.parts("battery", "supply") {
		if s.net(q, at[0]) != s.net(p, "D") {
			continue
		}
		for _, j := range s.drivers(p) {
			if s.net(j.part, j.pin) == s.net(q, at[1]) {
				return true
			}
		}
	}
	return false
}

// tellPotentiometer says where the wiper stands and what flows through the two
// parts of the track.
func (s *sight) tellPotentiometer(p *model.Part) string {
	v := s.values[p.Ref]
	first, second, wiper := math.Abs(s.amps(p, "1")), math.Abs(s.amps(p, "2")), math.Abs(s.amps(p, "W"))
	total, place := v.Num("resistance"), v.Num("position")
	head := fmt.Sprintf("%s has its wiper %s of the way from pin 1 to pin 2", p.Ref, percent(place))
	switch {
	case first < nothing && second < nothing && wiper < nothing:
		return head + " and carries no current to speak of."
	case second < nothing:
		return s.tellRheostat(p, head, "1", place*total)
	case first < nothing:
		return s.tellRheostat(p, head, "2", (1-place)*total)
	}
	text := fmt.Sprintf("%s and divides %s into %s and %s: %s flow through pin 1, %s through pin 2",
		head, volts(math.Abs(s.volts(p, "1", "2"))), volts(math.Abs(s.volts(p, "1", "W"))), volts(math.Abs(s.volts(p, "W", "2"))), amps(first), amps(second))
	if wiper < nothing {
		return text + ", and nothing is taken at the wiper."
	}
	return fmt.Sprintf("%s and %s through the wiper.", text, amps(wiper))
}

// tellRheostat is of a potentiometer of which only the part of the track between
// one pin and the wiper carries current.
func (s *sight) tellRheostat(p *model.Part, head, pin string, ohm float64) string {
	return fmt.Sprintf("%s and works as a resistor of %s between pin %s and the wiper: it drops %s at %s and turns %s into heat.",
		head, ohms(ohm), pin, volts(math.Abs(s.volts(p, pin, "W"))), amps(math.Abs(s.amps(p, pin))), watts(s.watts(p)))
}

// tellMeter says what a meter reads, and what it takes for it.
func (s *sight) tellMeter(p *model.Part) string {
	first, second := s.ends(p)
	through, across := s.amps(p, first), s.volts(p, first, second)
	if s.values[p.Ref].Text("measures") == "amps" {
		text := p.Ref + " reads " + amps(through)
		if lost := math.Abs(across); lost > leastSeen {
			text += fmt.Sprintf(", and takes %s for it", volts(lost))
		}
		return text + "."
	}
	text := p.Ref + " reads " + volts(across)
	if math.Abs(through) >= nothing {
		text += fmt.Sprintf(", and draws %s for it", amps(math.Abs(through)))
	}
	return text + "."
}

// leastSeen is the voltage in volts from which on it is said what an ammeter takes.
const leastSeen = 1e-6
