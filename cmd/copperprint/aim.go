package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"

	"copperglass/analysis/whatif"
	"copperglass/model"
	"copperglass/model/quantity"
)

// aim finds the value that brings a quantity to where it is wanted.
func (p *program) aim(args []string) error {
	var c conditions
	fs := p.flags("aim")
	c.flags(fs)
	series := fs.String("series", "E24", "`SERIES` of preferred values to round resistors, capacitors, inductors and Zener diodes to (E3 to E192), or none")
	var out output
	out.flags(fs, "a sentence for people")
	d, operands, err := p.open(fs, guarded(args), 3)
	if err != nil {
		return err
	}
	a, err := c.aimOptions(d, operands[1], unguarded(operands[2]), *series)
	if err != nil {
		return err
	}
	hit, err := whatif.Run(context.Background(), d, a)
	var missed *whatif.Unreached
	switch {
	case errors.As(err, &missed) && !math.IsNaN(missed.Least): // which is an answer too
		return p.publish(out, nil, func(w io.Writer) error { return writeMissed(w, out, a, missed) })
	case err != nil:
		return failure{code: stopped, err: err}
	}
	return p.publish(out, nil, func(w io.Writer) error {
		if out.inJSON {
			return writeJSON(w, aimJSON(a, hit))
		}
		_, err := fmt.Fprintln(w, aimInWords(d, a, hit))
		return err
	})
}

// aimJSON has what the value comes to with the cells as drawn, and under
// new_cells, where those are not new, what it comes to with new ones and which
// value to take from these on.
func aimJSON(a whatif.Aim, h *whatif.Hit) object {
	o := object{{"parameter", a.Parameter}, {"of", a.Of}, {"want", number(a.Want)}, {"value", number(h.Value)},
		{"preferred", number(h.Preferred)}, {"reached", number(h.Reached)}, {"before", number(h.Before)}, {"power", number(h.Watts)},
		{"over_ratings", append([]string{}, whatif.OverWords(h.Over)...)}}
	o.put("rests_on_gain", gainsJSON(h.Gains))
	if h.Fresh == nil {
		return append(o, member{"new_cells", nil})
	}
	return append(o, member{"new_cells", object{
		{"reached_by_preferred", number(h.Renewed.Reached)}, {"power_at_preferred", number(h.Renewed.Watts)},
		{"over_ratings", append([]string{}, whatif.OverWords(h.Renewed.Over)...)},
		{"value", number(h.Fresh.Value)}, {"preferred", number(h.Fresh.Preferred)}, {"reached", number(h.Fresh.Reached)}, {"power", number(h.Fresh.Watts)},
		{"reached_as_drawn", number(h.Renewed.Drawn)}}})
}

// gainsJSON is how far the answer goes with the gains of transistors.
func gainsJSON(gains []whatif.Gain) []object {
	list := []object{}
	for _, g := range gains {
		list = append(list, object{{"part", g.Part}, {"gain", object{{"low", number(g.Low)}, {"high", number(g.High)}}},
			{"reached", object{{"low", number(g.Least)}, {"high", number(g.Most)}}}, {"source", g.Source}})
	}
	return list
}

// writeMissed says that no value does, and what the quantity comes to.
func writeMissed(w io.Writer, out output, a whatif.Aim, u *whatif.Unreached) error {
	if !out.inJSON {
		_, err := fmt.Fprintln(w, strings.ToUpper(u.Error()[:1])+u.Error()[1:]+".")
		return err
	}
	return writeJSON(w, object{{"parameter", a.Parameter}, {"of", a.Of}, {"want", number(a.Want)}, {"value", nil}, {"preferred", nil}, {"reached", nil},
		{"reachable", object{{"low", number(u.Least)}, {"high", number(u.Most)}}},
		{"tried", object{{"low", number(u.Low)}, {"high", number(u.High)}}}})
}

// aimOptions reads the operands.
func (c *conditions) aimOptions(d *model.Diagram, parameter, wish, series string) (a whatif.Aim, err error) {
	a.Parameter, a.Mode = parameter, c.mode
	if a.Set, err = c.check(d); err != nil {
		return a, err
	}
	of, want, ok := strings.Cut(wish, "=")
	if !ok {
		return a, misuse("%q is no aim; write a quantity and its value, such as D1.A.amps=20mA", wish)
	}
	a.Of = of
	if a.Want, err = quantity.Parse(want, unitOf(d, of)); err != nil {
		return a, misuse("%s: %v", wish, err)
	}
	if series != "none" {
		n, err := strconv.Atoi(strings.TrimPrefix(strings.ToUpper(series), "E"))
		if err != nil || quantity.Series(n).Digits() == nil {
			return a, misuse("--series %s: there are E3, E6, E12, E24, E48, E96, E192 and none", series)
		}
		a.Series = quantity.Series(n)
	}
	return a, nil
}

// unitOf is the unit of a quantity, by its name.
func unitOf(d *model.Diagram, of string) quantity.Unit {
	switch {
	case strings.HasSuffix(of, ".volts"):
		return quantity.Volt
	case strings.HasSuffix(of, ".amps"):
		return quantity.Ampere
	case strings.HasSuffix(of, ".watts"):
		return quantity.Watt
	case strings.HasSuffix(of, whatif.LastsSuffix), strings.HasSuffix(of, ".run_time_hours"):
		return quantity.Hour
	}
	ref, name, _ := strings.Cut(of, ".")
	if q, err := describe(d, ref, name); err == nil {
		return q.Unit
	}
	return quantity.None
}

func aimInWords(d *model.Diagram, a whatif.Aim, h *whatif.Hit) string {
	unit, target := unitOf(d, a.Parameter), unitOf(d, a.Of)
	value := func(x float64) string { return quantity.Short(x, unit) }
	of := func(x float64) string { return quantity.Format(x, target) }
	want := math.Copysign(a.Want, h.Reached) // of a current its size alone may be wanted
	text := fmt.Sprintf("%s = %s brings %s to %s", a.Parameter, quantity.Format(h.Value, unit), a.Of, of(want))
	switch {
	case h.Series != 0:
		text += fmt.Sprintf("; %s of %v gives %s", value(h.Preferred), h.Series, of(h.Reached))
	case h.Preferred != h.Value:
		text += fmt.Sprintf("; %s gives %s", value(h.Preferred), of(h.Reached))
	}
	if h.Heats {
		text += fmt.Sprintf(", and the part turns %s into heat", quantity.Short(h.Watts, quantity.Watt))
	}
	text += fmt.Sprintf(" (now %s).", of(h.Before))
	lines := slices.Concat([]string{text}, h.GainWords(of), whatif.OverWords(h.Worst()))
	if advice, over := h.Renewal(value, of); advice != "" {
		lines = append(append(lines, advice), over...)
	}
	return strings.Join(lines, "\n")
}
