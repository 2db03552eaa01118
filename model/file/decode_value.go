package file

import (
	"errors"
	"maps"
	"math"
	"slices"
	"strconv"
	"unicode/utf8"

	"copperglass/model"
	"copperglass/model/geom"
)

// object visits the members of v. Those that visit does not know are returned.
func (d *decoder) object(at *place, v raw, visit func(key string, at *place, v raw) bool) []model.Extra {
	if !v.isObject() {
		d.fault(at, "%s stands where an object is expected", v.description())
		return nil
	}
	var extra []model.Extra
	seen := map[string]bool{}
	for k, value := range v.members() {
		if !d.enter(at) {
			break
		}
		key := d.text(at, k)
		in := at.in(key)
		if seen[key] {
			d.fault(in, "the key %s stands twice in one object", quoted(key))
			continue
		}
		seen[key] = true
		if !visit(key, in, value) {
			extra = append(extra, model.Extra{Key: key, Raw: value.compact()})
		}
	}
	return extra
}

// list visits the items of v, at most most of them.
func (d *decoder) list(at *place, v raw, most int, visit func(at *place, v raw)) {
	if !v.isList() {
		d.fault(at, "%s stands where a list is expected", v.description())
		return
	}
	for i, item := range v.elements() {
		if i == most {
			d.stop(at, "the list has more than %d items, which is the most allowed", most)
		}
		if !d.enter(at) {
			return
		}
		visit(at.item(i), item)
	}
}

// text reads a text of limited length.
func (d *decoder) text(at *place, v raw) string {
	if !v.isString() {
		d.fault(at, "%s stands where text is expected", v.description())
		return ""
	}
	const longestEscape = len(`\u0000`)
	if len(v) > MaxText*longestEscape+len(`""`) || utf8.RuneCountInString(v.text()) > MaxText {
		d.fault(at, "the text has more than %d characters, which is the most allowed", MaxText)
		return ""
	}
	return v.text()
}

// word reads a text that must be one of those given.
func (d *decoder) word(at *place, v raw, allowed ...string) string {
	before := len(d.faults)
	s := d.text(at, v)
	if len(d.faults) == before && !slices.Contains(allowed, s) {
		d.fault(at, "%s should be %s", quoted(s), orList(allowed))
	}
	return s
}

func (d *decoder) flag(at *place, v raw) bool {
	if s := string(v); s != "true" && s != "false" {
		d.fault(at, "%s stands where true or false is expected", v.description())
	}
	return string(v) == "true"
}

// float reads a number that float64 can hold.
func (d *decoder) float(at *place, v raw) (float64, bool) {
	if len(v) > maxNumber {
		d.fault(at, "the number is written with more than %d characters", maxNumber)
		return 0, false
	}
	x, err := strconv.ParseFloat(string(v), 64)
	if errors.Is(err, strconv.ErrRange) {
		d.fault(at, "%s is too large a number", v)
	}
	return x, err == nil
}

// integer reads a whole number from least to most.
func (d *decoder) integer(at *place, v raw, least, most int) (int, bool) {
	if !v.isNumber() {
		d.fault(at, "%s stands where a whole number is expected", v.description())
		return 0, false
	}
	x, ok := d.float(at, v)
	switch {
	case !ok:
		return 0, false
	case x != math.Trunc(x):
		d.fault(at, "%s is not a whole number", v)
	case x < float64(least) || x > float64(most):
		d.fault(at, "%s is not from %d to %d", v, least, most)
	default:
		return int(x), true
	}
	return 0, false
}

// point reads a place on the grid.
func (d *decoder) point(at *place, v raw) geom.Point {
	var xy [2]int
	n := 0
	if v.isList() {
		for i, c := range v.elements() {
			if n++; i < 2 {
				xy[i], _ = d.integer(at.item(i), c, -MaxCoordinate, MaxCoordinate)
			}
		}
	}
	if n != 2 {
		d.fault(at, "a point is a list of two whole numbers, such as [4, 6]")
	}
	return geom.Pt(xy[0], xy[1])
}

// params reads named quantities: numbers, words, true and false.
func (d *decoder) params(at *place, v raw) model.Params {
	params := model.Params{}
	d.object(at, v, func(name string, at *place, v raw) bool {
		switch {
		case v.isNumber():
			if x, ok := d.float(at, v); ok {
				params[name] = model.Written(x, string(v))
			}
		case v.isString():
			params[name] = model.Word(d.text(at, v))
		case string(v) == "true", string(v) == "false":
			params[name] = model.Flag(string(v) == "true")
		default:
			d.fault(at, "%s stands where a number, a word, true or false is expected", v.description())
		}
		return true
	})
	if len(params) == 0 {
		return nil
	}
	return params
}

// texts reads texts by name: net names by pin, states by what a mode sets.
func (d *decoder) texts(at *place, v raw) map[string]string {
	var texts map[string]string
	d.object(at, v, func(name string, at *place, v raw) bool {
		if texts == nil {
			texts = map[string]string{}
		}
		texts[name] = d.text(at, v)
		return true
	})
	return texts
}

func sortedKeys(m map[string]string) []string {
	return slices.SortedFunc(maps.Keys(m), model.NaturalCompare)
}
