package model

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"

	"copperglass/model/quantity"
)

// Values are a part's quantities by name, in SI units, once everything that sets
// them is taken into account. In rising order of precedence that is: the
// catalogue, the drawing's temperature, the part's value or else its marking, the
// part's params, and what the mode and the caller set.
type Values map[string]Value

// Num returns the number called name, 0 where it is not set.
func (v Values) Num(name string) float64 { x, _ := v[name].Num(); return x }

// Text returns the word called name, empty where it is not set.
func (v Values) Text(name string) string { s, _ := v[name].Text(); return s }

// Enabled returns the yes or no called name, false where it is not set.
func (v Values) Enabled(name string) bool { b, _ := v[name].Enabled(); return b }

// Setting is what a mode or a caller sets for one analysis without changing
// the drawing: by part reference, or "drawing", and then by parameter. A
// chip's output is a parameter named by its pin number.
type Setting map[string]Params

// Drawing is the name under which a Setting holds the drawing's own
// quantities.
const Drawing = "drawing"

// Set puts one value into the setting.
func (s Setting) Set(ref, name string, v Value) {
	if s[ref] == nil {
		s[ref] = Params{}
	}
	s[ref][name] = v
}

// Setting returns what the mode sets. A nil mode sets nothing.
func (m *Mode) Setting() Setting {
	s := Setting{}
	if m == nil {
		return s
	}
	for target, state := range m.Set {
		ref, pin := SplitTarget(target)
		if pin == "" {
			pin = "state"
		}
		s.Set(ref, pin, Word(state))
	}
	return s
}

// SplitTarget splits the name of what a mode sets into part and pin: "IC1.7" into
// "IC1" and "7", "S1" into "S1" and "".
func SplitTarget(target string) (ref, pin string) {
	ref, pin, _ = strings.Cut(target, ".")
	return ref, pin
}

// With returns s with the values of t put over it.
func (s Setting) With(t Setting) Setting {
	out := Setting{}
	for _, from := range []Setting{s, t} {
		for ref, params := range from {
			for name, v := range params {
				out.Set(ref, name, v)
			}
		}
	}
	return out
}

// Resolve returns the quantities of p in d under the setting. The problems, in
// words for people, name what could not be understood; such a quantity keeps
// the catalogue's value, or stays unset where a required one is missing.
func (d *Diagram) Resolve(p *Part, s Setting) (Values, []string) {
	return NewResolver(d, p).Resolve(s)
}

// Resolver works out the quantities of one part again and again as a setting
// changes. It reads the part's texts once and keeps its memory.
type Resolver struct {
	diagram  *Diagram
	part     *Part
	kind     *Kind  // nil where the catalogue has none
	read     Params // what the value or the marking says
	misread  string // why it could not be understood
	explicit Values // what the drawing and the setting say, later sources over earlier ones
	said     Values // explicit put over the catalogue's defaults
	typical  Params // what Kind.Typical derives from said
	former   Params // typical of the time before
	values   Values // said with typical in the place of defaults; the same map as said without Typical
	problems []string
}

// NewResolver returns the resolver of p, a part of d.
func NewResolver(d *Diagram, p *Part) *Resolver {
	r := &Resolver{diagram: d, part: p, kind: p.LookupKind()}
	if r.kind == nil {
		return r
	}
	r.explicit = make(Values, 8)
	r.said = make(Values, len(r.kind.Params)+1)
	r.values = r.said
	if r.kind.Typical != nil {
		r.typical, r.former = make(Params, 5), make(Params, 5)
		r.values = make(Values, len(r.kind.Params)+1)
	}
	r.readTexts()
	return r
}

// Values returns what was resolved last. It is the resolver's own and changes
// with it.
func (r *Resolver) Values() Values { return r.values }

// Resolve does what Diagram.Resolve does. The values are the resolver's own and
// hold until it is asked again.
func (r *Resolver) Resolve(s Setting) (Values, []string) {
	if r.kind == nil {
		return Values{}, []string{fmt.Sprintf("%s is of an unknown kind %q", r.part.Ref, r.part.Kind)}
	}
	r.problems = nil
	clear(r.explicit)
	for _, drawn := range [2]Params{r.diagram.Params, s[Drawing]} {
		r.set(drawn, "temperature")
		r.set(drawn, "reference_temperature")
	}
	if r.misread != "" {
		r.problems = append(r.problems, r.misread)
	}
	r.put(r.read)
	r.put(r.part.Params)
	r.put(s[r.part.Ref])
	r.complete()
	return r.values, r.problems
}

// Put puts one quantity over all others, as a setting does for the part since it
// was last resolved, and spares most of the work of resolving it again. It
// reports false, and the part has to be resolved again, where the quantity is
// refused or others follow from it than before. Problems stay as they were.
func (r *Resolver) Put(name string, v Value) bool {
	if r.kind == nil || r.check(name, v) != nil {
		return false
	}
	r.explicit[name], r.said[name], r.values[name] = v, v, v
	if r.kind.Typical == nil {
		return true
	}
	r.typical, r.former = r.former, r.typical
	clear(r.typical)
	r.kind.Typical(r.said, r.typical)
	r.lay()
	return sameNames(r.typical, r.former)
}

func sameNames(p, q Params) bool {
	for name := range p {
		if _, ok := q[name]; !ok {
			return false
		}
	}
	return len(p) == len(q)
}

// readTexts reads the value as written, or the marking where no value is.
func (r *Resolver) readTexts() {
	from, text := r.kind.FromValue, r.part.Value
	if strings.TrimSpace(text) == "" {
		from, text = r.kind.FromMarking, r.part.Marking
	}
	if from == nil || strings.TrimSpace(text) == "" {
		return
	}
	params, err := from(text)
	if err != nil {
		r.misread = fmt.Sprintf("%s: %v", r.part.Ref, err)
		return
	}
	r.read = params
}

func (r *Resolver) put(params Params) {
	first := len(r.problems)
	for name := range params {
		r.set(params, name)
	}
	slices.Sort(r.problems[first:]) // a map has no order
}

// set takes over the quantity called name, if params has it.
func (r *Resolver) set(params Params, name string) {
	v, ok := params[name]
	if !ok {
		return
	}
	if q := r.kind.Param(name); q != nil && q.Type() == NumberType && v.kind == word { // a mode's sets are texts
		if parsed, err := q.Parse(v.text); err == nil {
			v = parsed
		}
	}
	if err := r.check(name, v); err != nil {
		r.problems = append(r.problems, fmt.Sprintf("%s.%s: %v", r.part.Ref, name, err))
		return
	}
	r.explicit[name] = v
}

// complete fills in what neither drawing nor setting says: the catalogue's
// defaults, and over them what is typical of a part so described.
func (r *Resolver) complete() {
	clear(r.said)
	for i := range r.kind.Params {
		q := &r.kind.Params[i]
		if q.Default.IsSet() && !q.Required {
			r.said[q.Name] = q.Default
		}
	}
	maps.Copy(r.said, r.explicit)
	if r.kind.Typical != nil {
		clear(r.typical)
		r.kind.Typical(r.said, r.typical)
		clear(r.values)
		maps.Copy(r.values, r.said)
		r.lay()
	}
}

// lay puts typical quantities over the catalogue's defaults, except where the
// drawing or the setting says otherwise.
func (r *Resolver) lay() {
	for name, v := range r.typical {
		if _, said := r.explicit[name]; !said {
			r.values[name] = v
		}
	}
}

// Missing returns the required quantities that are not set, in the kind's
// order.
func (k *Kind) Missing(v Values) []string {
	var names []string
	for i := range k.Params {
		q := &k.Params[i]
		if q.Required && !v[q.Name].IsSet() {
			names = append(names, q.Name)
		}
	}
	return names
}

// check tells what is wrong with setting the quantity called name, or the pin
// of that number, to v. A name the kind does not know is kept without
// complaint: the file may be newer than the program.
func (r *Resolver) check(name string, v Value) error {
	if q := r.kind.Param(name); q != nil {
		return q.Check(v)
	}
	numbered := func(pin ChipPin) bool { return pin.Number == name }
	if len(r.kind.PinStates) > 0 && slices.ContainsFunc(r.part.Pins, numbered) {
		return (&Param{Choices: r.kind.PinStates}).Check(v)
	}
	return nil
}

// Check tells what is wrong with v as the quantity q, in words for people.
func (q *Param) Check(v Value) error {
	if len(q.Choices) > 0 {
		s, ok := v.Text()
		if !ok || !slices.Contains(q.Choices, s) {
			return fmt.Errorf("%q is not one of %s", v, strings.Join(q.Choices, ", "))
		}
		return nil
	}
	if _, isFlag := q.Default.Enabled(); isFlag {
		if _, ok := v.Enabled(); !ok {
			return fmt.Errorf("%q is not true or false", v)
		}
		return nil
	}
	if _, isText := q.Default.Text(); isText {
		if _, ok := v.Text(); !ok {
			return fmt.Errorf("%q is not a word", v)
		}
		return nil
	}
	return q.checkNumber(v)
}

// write writes a number as the quantity to three digits, a part of a whole in per
// cent.
func (q *Param) write(x float64) string {
	if q.Unit == quantity.None && q.Min == 0 && q.Max == 1 {
		return quantity.Short(100*x, quantity.Percent)
	}
	return quantity.Short(x, q.Unit)
}

// writeExactly is as write, but with all digits where three would make the number
// one of its own limits.
func (q *Param) writeExactly(x float64) string {
	if text := q.write(x); text != q.write(q.Min) && text != q.write(q.Max) {
		return text
	}
	return strings.TrimSpace(strconv.FormatFloat(x, 'g', -1, 64) + " " + q.Unit.String())
}

func (q *Param) checkNumber(v Value) error {
	x, ok := v.Num()
	switch {
	case !ok:
		return fmt.Errorf("%q is not a number", v)
	case math.IsNaN(x) || math.IsInf(x, 0):
		return fmt.Errorf("%v is not a finite number", v)
	case q.Min == 0 && q.Max == 0:
		return nil
	case x < q.Min || x > q.Max:
		return fmt.Errorf("%s is outside %s to %s; correct it", q.writeExactly(x), q.write(q.Min), q.write(q.Max))
	}
	return nil
}
