package model

// resistorCase is a size of resistors with what such stand.
type resistorCase struct {
	name         string
	watts, volts float64
}

const (
	resistorPowers = "usual for the case: 1/16 W for 0402, 1/10 for 0603, 1/8 for 0805, 1/4 for 1206 at 70 °C, makers' size tables (confirmed); larger and leaded ones from memory"
	resistorVolts  = "usual for the case: Yageo RC_L sheet and, for leaded film resistors, makers' sheets (from memory)"
	usualCase      = "0805"
)

var resistorCases = []resistorCase{
	{"0201", 0.05, 25}, {"0402", 0.0625, 50}, {"0603", 0.1, 75}, {usualCase, 0.125, 150}, {"1206", 0.25, 200},
	{"1210", 0.5, 200}, {"2010", 0.75, 200}, {"2512", 1, 200},
	{"leaded 1/8 W", 0.125, 200}, {"leaded 1/4 W", 0.25, 250}, {"leaded 1/2 W", 0.5, 350}, {"leaded 1 W", 1, 350}, {"leaded 2 W", 2, 350},
}

func resistorCaseNames() []string {
	names := make([]string, len(resistorCases))
	for i, c := range resistorCases {
		names[i] = c.name
	}
	return names
}

// resistorTypical gives a resistor the ratings of its case.
func resistorTypical(v Values, to Params) {
	name := v.Text("case_size")
	for _, c := range resistorCases {
		if c.name == name {
			to["power_rating"], to["voltage_rating"] = Number(c.watts), Number(c.volts)
		}
	}
}
