package review

import (
	"fmt"

	"copperglass/model"
)

// loadRules look at what else the circuit drives.
func loadRules() []rule {
	return []rule{
		{"motor-held-still", Fact, "the voltage that a brushed motor makes grows with its speed: textbook law (from memory)", motorHeldStill},
	}
}

// motorHeldStill finds motors whose current is that of standing still, as
// nobody said what they make by turning.
func motorHeldStill(s *sight) []remark {
	var found []remark
	for _, p := range s.parts("motor") {
		through := s.through(p)
		if !s.heldStill(p) || through < leastLoad {
			continue
		}
		found = append(found, remark{
			parts: []string{p.Ref}, weight: through, figures: []Figure{{"current", through}},
			text: fmt.Sprintf("%s is worked out as if held still, as no back voltage is given: %s is what it takes at the start or jammed, and turning it takes less. Measure the current while it turns.",
				p.Ref, amps(through)),
		})
	}
	return found
}

// heldStill reports whether a motor makes no voltage of its own.
func (s *sight) heldStill(p *model.Part) bool {
	return p.Kind == "motor" && s.values[p.Ref].Num("back_voltage") == 0
}
