package scene

import (
	"math"
	"slices"
	"strings"
)

// Level is how much of the labels is shown. Each level shows what the one below
// it shows, where it stands there, and more.
type Level int

// The levels of detail. The zero Level is for a drawing at about its own size.
const (
	Outline Level = iota - 2 // the parts by name and value, tags and flags
	Main                     // and the loads' currents, and the voltages
	Normal                   // and all that finds a place
	Close                    // and more in smaller letters, for who has zoomed in
	Closest                  // and still more
)

// The least scales of levels, in pixels to the sheet unit. Below the normal one
// there is no room for all labels in letters that can be read.
const (
	mainScale   = 0.25
	normalScale = 0.45
)

// LevelAt returns the level for a scale, in pixels to the sheet unit. The
// smaller letters of higher levels are 10 pixels high where those begin.
func LevelAt(scale float64) Level {
	switch {
	case scale < mainScale:
		return Outline
	case scale < normalScale:
		return Main
	case scale < 10/(smaller[0]*textSize):
		return Normal
	case scale < 10/(smaller[1]*textSize):
		return Close
	}
	return Closest
}

// How text grows where the sheet is far away.
const (
	leastLetters   = 7.0 // pixels, of a usual line of text, as long as all names and values shall have room
	outlineLetters = 9.0 // below mainScale
	growthStep     = 1.1 // labels move with every step
	mostGrowth     = 4.0
)

// GrowthAt returns how much larger than usual labels are at a scale, in pixels
// to the sheet unit, so that they can be read from far away: 1 near by. What
// then finds no place is left out by its rank.
func GrowthAt(scale float64) float64 {
	letters := leastLetters
	if scale < mainScale {
		letters = outlineLetters
	}
	need := letters / (textSize * scale)
	if !(need > 1) {
		return 1
	}
	return min(mostGrowth, math.Pow(growthStep, math.Round(math.Log(need)/math.Log(growthStep))))
}

// least is the least loss of what a level shows.
func (l Level) least() float64 {
	switch {
	case l <= Outline:
		return badgeLoss
	case l == Main:
		return voltageLoss
	}
	return 0
}

// shows reports whether a label is of that level or a lower one.
func (l Level) shows(q *request) bool { return q.loss >= l.least() }

// smaller are the sizes of the letters of those that find no place at Normal,
// by level from Close on.
var smaller = [...]float64{0.7, 0.5}

// keepToLevel leaves labels out or brings more in, as the level wants. What has
// a place at a lower level keeps it.
func (b *builder) keepToLevel() {
	for _, q := range b.labels {
		if !b.o.Level.shows(q) {
			q.at = nowhere
		}
	}
	full := b.scale
	for i, size := range smaller {
		if int(b.o.Level) > i {
			b.scale = full * size
			b.tryAgain()
		}
	}
	b.scale = full
}

// tryAgain looks for places for what has none, in the letters there are now.
func (b *builder) tryAgain() {
	from := len(b.labels)
	for _, q := range b.labels[:from] {
		first := len(b.labels)
		b.askAgain(q)
		for _, again := range b.labels[first:] {
			again.instead = q
		}
	}
	b.settle(from)
	b.labels = slices.DeleteFunc(b.labels, func(q *request) bool { return q.instead != nil && q.at == nowhere })
	for _, q := range b.labels[min(from, len(b.labels)):] {
		if q.instead != nil {
			q.instead.told = true
		}
	}
	b.labels = slices.DeleteFunc(b.labels, func(q *request) bool { return q.told && q.at == nowhere })
}

// askAgain asks for another place for a figure, or for what is left out of a
// name.
func (b *builder) askAgain(q *request) {
	if q.at != nowhere {
		if f := &q.forms[q.spots[q.at].form]; f.omits != "" && !q.told {
			b.askOmitted(q, f)
		}
		return
	}
	switch {
	case q.Kind == VoltageLabel:
		b.askVoltage(b.alike.at(q.of))
	case q.Kind == PowerLabel:
		b.askPower(&b.parts[q.of])
	case q.Kind == CurrentLabel && q.each:
		b.tellEach(&b.parts[q.of])
	case q.total:
		b.askTotal(q.of)
	case q.Kind == CurrentLabel:
		b.askCurrent(q.of)
	}
}

// askOmitted asks for a place for what is left out of a part's name.
func (b *builder) askOmitted(q *request, f *form) {
	p := &b.parts[q.of]
	again := b.newRequest(Label{Kind: ValueLabel, Ref: q.Ref, Net: -1, Text: f.omits}, valueLoss)
	again.of = q.of
	var lines [][]run
	for i, w := range strings.Split(f.omits, "\n") {
		lines = append(lines, []run{{text: w, colour: b.wordColour(i + len(f.lines) - 1)}})
	}
	again.forms = []form{newForm(b.scaled(textSize), lines...)}
	b.seek().besidePart(p, again.forms, p.sideCosts())
	b.ask(again)
}
