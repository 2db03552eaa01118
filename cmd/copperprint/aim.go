package main

import (
	"context"
	"fmt"
	"io"
	"math"
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
	series := fs.String("series", "E24", "`SERIES` of preferred values to round to (E3 to E192), or none")
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
	if err != nil {
		return failure{code: stopped, err: err}
	}
	return p.publish(out, nil, func(w io.Writer) error {
		if out.inJSON {
			return writeJSON(w, object{{"parameter", a.Parameter}, {"of", a.Of}, {"want", number(a.Want)}, {"value", number(hit.Value)},
				{"preferred", number(hit.Preferred)}, {"reached", number(hit.Reached)}, {"before", number(hit.Before)}, {"power", number(hit.Watts)}})
		}
		_, err := fmt.Fprintln(w, aimInWords(d, a, hit))
		return err
	})
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
	}
	ref, name, _ := strings.Cut(of, ".")
	if q, err := describe(d, ref, name); err == nil {
		return q.Unit
	}
	return quantity.None
}

func aimInWords(d *model.Diagram, a whatif.Aim, h *whatif.Hit) string {
	unit, target := unitOf(d, a.Parameter), unitOf(d, a.Of)
	text := fmt.Sprintf("%s = %s brings %s to %s", a.Parameter, quantity.Format(h.Value, unit), a.Of, quantity.Format(a.Want, target))
	if a.Series != 0 {
		text += fmt.Sprintf("; %s of %v gives %s", quantity.Short(h.Preferred, unit), a.Series, quantity.Format(h.Reached, target))
	}
	if !math.IsNaN(h.Watts) {
		text += fmt.Sprintf(", and the part turns %s into heat", quantity.Short(h.Watts, quantity.Watt))
	}
	text += fmt.Sprintf(" (now %s).", quantity.Format(h.Before, target))
	return strings.Join(append([]string{text}, whatif.OverWords(h.Over)...), "\n")
}
