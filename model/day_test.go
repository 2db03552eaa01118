package model

import (
	"slices"
	"strings"
	"testing"
)

func TestDay(t *testing.T) {
	t.Parallel()
	for name, tt := range map[string]struct {
		each  [][2]string // mode and what it says
		want  []Phase
		wrong string
	}{
		"no schedule":      {each: [][2]string{{"Off", ""}, {"White", " "}}},
		"hours":            {each: [][2]string{{"White", "2 h"}, {"Amber", "1"}}, want: []Phase{{"White", 2}, {"Amber", 1}}},
		"minutes":          {each: [][2]string{{"White", "15 min"}}, want: []Phase{{"White", 0.25}}},
		"the rest":         {each: [][2]string{{"Off", "rest"}, {"White", "2 h"}, {"Amber", "1 h"}}, want: []Phase{{"Off", 21}, {"White", 2}, {"Amber", 1}}},
		"no rest is left":  {each: [][2]string{{"Off", "rest"}, {"White", "24 h"}}, want: []Phase{{"White", 24}}},
		"too much":         {each: [][2]string{{"White", "20 h"}, {"Amber", "5 h"}}, wrong: "the modes make 25 hours, and a day has 24"},
		"two rests":        {each: [][2]string{{"Off", "rest"}, {"Amber", "rest"}}, wrong: "Off and Amber cannot both"},
		"nothing":          {each: [][2]string{{"White", "0 h"}}, wrong: "more than nothing"},
		"longer than days": {each: [][2]string{{"White", "25 h"}}, wrong: "not more than 24 h"},
		"no time":          {each: [][2]string{{"White", "often"}}, wrong: "2 h, 15 min or rest"},
	} {
		d := &Diagram{}
		for _, e := range tt.each {
			d.Modes = append(d.Modes, &Mode{Name: e[0], EachDay: e[1]})
		}
		day, err := d.Day()
		switch {
		case tt.wrong == "" && (err != nil || !slices.Equal(day, tt.want)):
			t.Errorf("%s: %v, %v; want %v", name, day, err, tt.want)
		case tt.wrong != "" && (err == nil || !strings.Contains(err.Error(), tt.wrong)):
			t.Errorf("%s: %v, want %q", name, err, tt.wrong)
		}
	}
}
