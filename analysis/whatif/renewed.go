package whatif

import (
	"fmt"
	"math"
	"slices"

	"copperglass/analysis/review"
	"copperglass/model/quantity"
)

// Renewal tells what the value comes to with new cells and which one to take
// if it is to hold from these on: "With new cells 1.8 Ω gives 31.9 mA; from new
// cells on take 5.1 Ω, for 20.1 mA then; as the
// cells are drawn that gives 10 mA." Value and of write a value and the quantity.
// Over is what is above its rating with new ones. There is nothing where new cells
// change nothing, or the drawing's are.
func (h *Hit) Renewal(value, of func(float64) string) (advice string, over []string) {
	if h.Fresh == nil || !(math.Abs(h.Renewed.Reached/h.Reached-1) > telling) {
		return "", nil
	}
	text := fmt.Sprintf("With new cells %s gives %s", value(h.Preferred), of(h.Renewed.Reached))
	switch {
	case math.IsNaN(h.Fresh.Value):
		text += "; from new cells on no value does it"
	case h.Fresh.Preferred == h.Preferred:
		text += ", and no other value comes nearer"
	default:
		text += fmt.Sprintf("; if it is to hold from new cells on, take %s, for %s then", value(h.Fresh.Preferred), of(h.Fresh.Reached))
		if h.Fresh.Heats {
			text += fmt.Sprintf(" and %s of heat", quantity.Solved(h.Fresh.Watts, quantity.Watt))
			if enough := enoughWatts(h.Fresh.Watts); enough > 0 {
				text += " (one for " + quantity.Short(enough, quantity.Watt) + ")"
			}
		}
		if !math.IsNaN(h.Renewed.Drawn) {
			text += fmt.Sprintf("; as the cells are drawn that gives %s", of(h.Renewed.Drawn))
		}
	}
	for _, words := range OverWords(h.Renewed.Over) {
		over = append(over, "With new cells "+words)
	}
	return text + ".", over
}

// Worst are the figures above their rating with the cells as drawn that new
// cells do not make worse; what new ones make of the others is in Renewed.
func (h *Hit) Worst() []review.Rating {
	if h.Fresh == nil {
		return h.Over
	}
	return slices.DeleteFunc(slices.Clone(h.Over), func(r review.Rating) bool {
		return slices.ContainsFunc(h.Renewed.Over, func(n review.Rating) bool { return n.Part == r.Part && n.Rule == r.Rule && n.Value >= r.Value })
	})
}
