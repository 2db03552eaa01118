package model

import (
	"fmt"
	"strings"

	"copperglass/model/quantity"
)

// Phase is a part of each day that a circuit spends in one mode.
type Phase struct {
	Mode  string
	Hours float64 // of 24
}

// RestOfDay is what a mode's EachDay says where the mode takes what the others
// leave of the day.
const RestOfDay = "rest"

const hoursOfDay = 24

// Day returns the phases of a day in the drawing's schedule, in the order of
// its modes: none where it has no schedule.
func (d *Diagram) Day() ([]Phase, error) {
	var texts [][2]string
	for _, m := range d.Modes {
		if strings.TrimSpace(m.EachDay) != "" {
			texts = append(texts, [2]string{m.Name, m.EachDay})
		}
	}
	return ReadDay(texts)
}

// ReadDay reads a day's schedule: pairs of a mode's name and how long of each day it
// lasts, as "2 h" or "15 min"; at most one may have RestOfDay.
func ReadDay(texts [][2]string) ([]Phase, error) {
	var day []Phase
	sum, rest := 0.0, -1
	for _, t := range texts {
		hours, err := ReadDaily(t[1])
		switch {
		case err != nil:
			return nil, fmt.Errorf("%s: %w", t[0], err)
		case isRest(t[1]) && rest >= 0:
			return nil, fmt.Errorf("%s and %s cannot both have the rest of the day", day[rest].Mode, t[0])
		case isRest(t[1]):
			rest = len(day)
		}
		sum += hours
		day = append(day, Phase{t[0], hours})
	}
	if sum > hoursOfDay*(1+1e-9) {
		return nil, fmt.Errorf("the modes make %.4g hours, and a day has %d", sum, hoursOfDay)
	}
	if rest < 0 {
		return day, nil
	}
	if day[rest].Hours = hoursOfDay - sum; !(day[rest].Hours > 0) {
		day = append(day[:rest], day[rest+1:]...)
	}
	return day, nil
}

func isRest(text string) bool { return strings.EqualFold(strings.TrimSpace(text), RestOfDay) }

// ReadDaily reads how many hours of each day a mode lasts; for RestOfDay it returns
// 0.
func ReadDaily(text string) (hours float64, err error) {
	if isRest(text) {
		return 0, nil
	}
	said, scale := strings.TrimSpace(text), 1.0
	if minutes, ok := strings.CutSuffix(said, "min"); ok {
		said, scale = minutes, 1.0/60
	}
	hours, err = quantity.Parse(said, quantity.Hour)
	hours *= scale
	switch {
	case err != nil:
		return 0, fmt.Errorf("%q is no time of the day; write it as 2 h, 15 min or %s", excerpt(text), RestOfDay)
	case !(hours > 0 && hours <= hoursOfDay):
		return 0, fmt.Errorf("%q should be more than nothing and not more than %d h", excerpt(text), hoursOfDay)
	}
	return hours, nil
}
