package model

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"copperglass/model/quantity"
)

// Battery is its open-circuit voltage behind its resistance.
func (catalogue) Battery() Kind {
	return Kind{
		Name:   "battery",
		Title:  "Battery",
		About:  "Cells in a row; their voltage falls and their resistance rises as they are used up.",
		Prefix: "BT", Key: 'G', Order: 1,
		Pins:        upright("+", "-"),
		PinWords:    polesInWords(),
		Params:      batteryParams(),
		FromValue:   batteryValue,
		FromMarking: batteryValue,
		Typical:     batteryTypical,
		Suggest:     "3 × LR6",
		Equation:    behindResistance("voltage", "resistance"),
		Handbook:    batteryHandbook(),
	}
}

func batteryParams() []Param {
	return []Param{
		{Name: "cells", Meaning: "cells or blocks in series", Min: 1, Max: 1000, Source: "one, or what makes the voltage that is written"},
		{Name: "chemistry", Meaning: "kind of cell", Choices: chemistryNames(), Source: "by its size; alkaline, where nothing is said"},
		{Name: "size", Meaning: "designation of IEC 60086 or everyday name", Choices: sizeNames(), Source: "LR6, where nothing is said"},
		{Name: "charge_left", Meaning: "charge left, 1 when new and 0 when empty", Default: Number(1), Max: 1, Source: "new, where nothing is said"},
		{Name: "voltage", Meaning: "voltage of the whole battery without load", Unit: quantity.Volt, Required: true, Min: -1e9, Max: 1e9, Source: "the cells' at rest, by the charge left"},
		{Name: "resistance", Meaning: "resistance of the whole battery under a steady load", Unit: quantity.Ohm, Required: true, Max: 1e15, Source: "the cells', by the charge left and the temperature"},
	}
}

var (
	countedText = regexp.MustCompile(`^(\d+)\s*[×xX*]\s*(\S.*)$`) // "3 × LR6", "3xAA", "3 × 1.5 V"
	plainCount  = regexp.MustCompile(`^(\d+)\s+([A-Za-z0-9].*)$`) // "4 AA"
)

// batteryValue reads cells, "3 × LR6", "4 AA NiMH", "CR2032", or the voltage of
// the whole battery, "4.5 V". With a count a voltage is a cell's.
func batteryValue(text string) (Params, error) {
	said := strings.TrimSpace(text)
	if m := countedText.FindStringSubmatch(said); m != nil {
		return countedCells(text, m[1], m[2])
	}
	if params, ok := cellWords(said); ok {
		return params, nil
	}
	if m := plainCount.FindStringSubmatch(said); m != nil {
		if params, err := countedCells(text, m[1], m[2]); err == nil {
			return params, nil
		}
	}
	return nil, batteryError(text)
}

func batteryError(text string) error {
	return fmt.Errorf("%q is no battery that the catalogue knows; write cells as in 3 × LR6 or 4 × AA NiMH, or a voltage as in 4.5 V", excerpt(text))
}

// countedCells reads so many of what is written behind the count.
func countedCells(text, count, rest string) (Params, error) {
	n, err := strconv.ParseFloat(count, 64)
	params, ok := cellWords(rest)
	if err != nil || !ok {
		return nil, batteryError(text)
	}
	params["cells"] = Number(n)
	if volts, ok := params["voltage"].Num(); ok {
		params["voltage"] = Number(n * volts)
	}
	return params, nil
}

const mostWords = 4 // "9 V", "lithium coin": nobody writes more

// cellWords reads a size or a voltage, with or without a chemistry before or
// behind it.
func cellWords(text string) (Params, bool) {
	words := strings.Fields(text)
	for split := 0; split <= len(words) && len(words) <= mostWords; split++ {
		front, back := strings.Join(words[:split], " "), strings.Join(words[split:], " ")
		for _, pair := range [][2]string{{front, back}, {back, front}} {
			if params, ok := sizeAndChemistry(pair[0], pair[1]); ok {
				return params, true
			}
		}
	}
	return nil, false
}

// sizeAndChemistry reads a size or a voltage, and a chemistry that may be empty.
func sizeAndChemistry(size, chemistry string) (Params, bool) {
	params := Params{}
	if chemistry != "" {
		i := slices.IndexFunc(chemistries, func(c cellChemistry) bool { return c.called(chemistry) })
		if i < 0 {
			return nil, false
		}
		params["chemistry"] = Word(chemistries[i].name)
	}
	if name, ok := sizeNamed()[foldName(size)]; ok {
		params["size"] = Word(name)
		return params, true
	}
	volts, err := quantity.Parse(size, quantity.Volt)
	params["voltage"] = Number(volts)
	return params, err == nil
}

func batteryTypical(v Values, to Params) {
	if v["voltage"].IsSet() && !v["size"].IsSet() {
		typicalOfVoltage(v, to)
		return
	}
	c := cellFor(v.Text("size"), v.Text("chemistry"))
	if c == nil {
		to["cells"] = Number(1)
		return
	}
	count, left := 1.0, v.Num("charge_left")
	if n, ok := v["cells"].Num(); ok {
		count = n
	}
	to["cells"] = Number(count)
	to["size"] = Word(c.size)
	to["chemistry"] = Word(c.chemistry)
	to["voltage"] = Number(count * c.openVolts(left))
	to["resistance"] = Number(count * c.sustainedOhms(left, v.Num("temperature")))
}

// typicalOfVoltage takes a battery of which only the voltage is known, and
// perhaps the chemistry, for as many of the chemistry's commonest cells as
// make that voltage.
func typicalOfVoltage(v Values, to Params) {
	c := cellFor("", v.Text("chemistry"))
	count := math.Abs(v.Num("voltage")) / chemistryNamed(c.chemistry).nominal
	if n, ok := v["cells"].Num(); ok {
		count = n
	}
	to["cells"] = Number(max(1, math.Round(count)))
	to["resistance"] = Number(count * c.sustainedOhms(v.Num("charge_left"), v.Num("temperature")))
}

// cellOf returns the cell that a battery with these quantities is made of, or
// nil where only its voltage is known.
func cellOf(v Values) *cell {
	if !v["size"].IsSet() {
		return nil
	}
	return cellFor(v.Text("size"), v.Text("chemistry"))
}
