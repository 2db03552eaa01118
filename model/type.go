package model

import (
	"fmt"

	"copperglass/model/quantity"
)

// Type says whether a quantity takes a number, a word, or true or false.
type Type uint8

// The types of value.
const (
	NumberType Type = iota // a number in the quantity's unit
	WordType               // one of its choices, or free text where it has none
	FlagType               // true or false
)

// Type returns the type of value q takes. It follows from its default and its
// choices, and is a number where neither says otherwise.
func (q *Param) Type() Type {
	if _, isFlag := q.Default.Enabled(); isFlag {
		return FlagType
	}
	if _, isWord := q.Default.Text(); isWord || len(q.Choices) > 0 {
		return WordType
	}
	return NumberType
}

// Type returns the type of v. An unset value counts as a word.
func (v Value) Type() Type {
	switch v.kind {
	case number:
		return NumberType
	case flag:
		return FlagType
	}
	return WordType
}

// Parse reads the quantity as people type it: "4k7", "closed", "true".
func (q *Param) Parse(text string) (Value, error) {
	switch q.Type() {
	case WordType:
		return Word(text), nil
	case FlagType:
		if text != "true" && text != "false" {
			return Value{}, fmt.Errorf("%q is not true or false", text)
		}
		return Flag(text == "true"), nil
	}
	x, err := quantity.Parse(text, q.Unit)
	return Number(x), err
}

// DrawingParam returns the description of a quantity of the drawing as a
// whole, or nil.
func DrawingParam(name string) *Param {
	k := Kind{Params: temperatureParams()}
	return k.Param(name)
}
