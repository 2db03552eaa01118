package model

import (
	"cmp"
	"reflect"
	"slices"
	"sync"

	"copperglass/model/geom"
	"copperglass/model/quantity"
)

// Kind is a kind of part: what there is to know about it apart from any one
// part in a drawing.
type Kind struct {
	Name   string           // as in the file: "current_source"
	Title  string           // for people: "Current source"
	About  string           // one sentence for whoever points at it
	Prefix string           // letters of its reference designators
	Key    rune             // the key that places one
	Order  int              // place in the palette, from the top
	Orient geom.Orientation // as a new one is laid

	// Pins returns the pins p has, in their order, about p's own origin before
	// it is turned.
	Pins func(p *Part) []Pin

	// PinWords are what people call the pins besides the letter on the
	// drawing: "cathode" for K.
	PinWords map[string]string

	// Sign says that it is no part of the board but a sign on the drawing that
	// names a net or says something.
	Sign bool

	// Load says that such parts are what a circuit is built for, as LEDs, lamps
	// and motors are: modes are compared by their currents.
	Load bool

	// Params are the quantities the kind understands.
	Params []Param

	// FromValue reads the text in a part's Value into quantities, and FromMarking
	// that in its Marking. Nil where the text is only a name.
	FromValue   func(text string) (Params, error)
	FromMarking func(text string) (Params, error)

	// Typical puts into to the quantities that nobody has stated and that follow
	// from others of the part: an LED's from its colour, a battery's from its
	// cells.
	Typical func(v Values, to Params)

	// Suggest is the Value of a new part, and NewPins the pins it has where the
	// person describes them.
	Suggest string
	NewPins []ChipPin

	// PinStates are the words that a pin may be set to by its number. Empty
	// where pins have no states.
	PinStates []string

	// Handbook lists what may be written as Value with data behind it.
	Handbook []HandbookEntry

	// Equation tells the elements that the part is made of, in terms of its
	// pins and of nodes inside it. Nil for a kind that carries no current.
	Equation func(p *Part, v Values, to Equation)
}

// Pin is a place where a part can be joined.
type Pin struct {
	Name string     // "1", "C", "+"
	At   geom.Point // about the part's origin, unturned
	Out  geom.Point // unit step away from the part: the way a wire leaves
}

// Param describes one quantity of a kind.
type Param struct {
	Name     string
	Meaning  string        // a few words for people
	Unit     quantity.Unit // SI
	Default  Value         // what the catalogue says; unset where there is nothing to assume
	Required bool          // without it the part cannot be computed and is left open
	Min, Max float64       // the allowed range; both zero for any finite number
	Choices  []string      // the allowed words, for a quantity that is a word
	Source   string        // where the default is from
}

// catalogue's exported methods are the kinds there are, one each: a new kind
// is one new file with one more method, and nothing else.
type catalogue struct{}

// The kinds are collected at first use, when the tables they stand on are
// there: the compiler does not see what a method called by reflection needs.
var (
	kinds      = sync.OnceValue(collectKinds)
	kindByName = sync.OnceValue(indexKinds)
)

func collectKinds() []*Kind {
	v := reflect.ValueOf(catalogue{})
	var all []*Kind
	for i := range v.NumMethod() {
		k := v.Method(i).Call(nil)[0].Interface().(Kind)
		k.Params = append(k.Params, temperatureParams()...)
		all = append(all, &k)
	}
	slices.SortFunc(all, func(a, b *Kind) int { return cmp.Compare(a.Order, b.Order) })
	return all
}

func indexKinds() map[string]*Kind {
	m := map[string]*Kind{}
	for _, k := range kinds() {
		m[k.Name] = k
	}
	return m
}

// Kinds returns the kinds there are, in the order of the palette.
func Kinds() []*Kind { return slices.Clone(kinds()) }

// LookupKind returns the kind of that name, or nil.
func LookupKind(name string) *Kind { return kindByName()[name] }

// LookupKind returns the part's kind, or nil where the catalogue has none.
func (p *Part) LookupKind() *Kind { return LookupKind(p.Kind) }

// Param returns the description of the quantity called name, or nil.
func (k *Kind) Param(name string) *Param {
	for i := range k.Params {
		if k.Params[i].Name == name {
			return &k.Params[i]
		}
	}
	return nil
}

// PlacedPins returns the part's pins where they stand on the sheet.
func (p *Part) PlacedPins() []Pin {
	k := p.LookupKind()
	if k == nil {
		return nil
	}
	pins := k.Pins(p)
	for i := range pins {
		pins[i].At = p.At.Add(p.Orient.Apply(pins[i].At))
		pins[i].Out = p.Orient.Apply(pins[i].Out)
	}
	return pins
}

// NewPart returns a part of kind k as the palette gives it, without a
// reference designator.
func (k *Kind) NewPart(at geom.Point) *Part {
	return &Part{Kind: k.Name, Placed: true, At: at, Orient: k.Orient, Value: k.Suggest, Pins: slices.Clone(k.NewPins)}
}
