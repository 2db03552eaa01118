package model

import (
	"fmt"
	"slices"
	"sync"

	"copperglass/model/quantity"
)

// cellChemistry is a kind of cell.
type cellChemistry struct {
	name       string
	aliases    []string // folded
	nominal    float64  // V
	endPoint   float64  // V, where such cells count as empty under load
	open       curve    // open-circuit voltage of a cell over the fraction used
	resistance curve    // multiple of the new cell's resistance over the fraction used
	warmth     curve    // multiple of the resistance at 25 °C over kelvin
}

// The open-circuit voltages are those of a cell at rest for an hour or more, by
// the fraction of its charge used.
var (
	// Alkaline: makers' handbooks (from memory), ±0.05 V; 1.58 to 1.60 V when new
	// (confirmed, advanced-battery.com on alkaline cells).
	alkalineOpen = curve{{0, 1.60}, {0.05, 1.53}, {0.1, 1.48}, {0.2, 1.42}, {0.3, 1.38}, {0.4, 1.345}, {0.5, 1.31},
		{0.6, 1.28}, {0.7, 1.25}, {0.8, 1.20}, {0.9, 1.12}, {1, 0.95}}
	// Zinc-carbon: Linden's Handbook of Batteries ch. 9 (from memory), ±0.06 V;
	// when new an estimate above the 1.60 V at least of the Sonluk R03 product
	// specification JYSO222, 2008 (confirmed).
	zincOpen = curve{{0, 1.65}, {0.05, 1.58}, {0.1, 1.54}, {0.2, 1.49}, {0.3, 1.45}, {0.4, 1.41}, {0.5, 1.37},
		{0.6, 1.33}, {0.7, 1.28}, {0.8, 1.22}, {0.9, 1.12}, {1, 0.95}}
	// Lithium iron disulphide: Energizer L91 sheet at 100 to 200 mA (from memory)
	// and 0.12 V on top for the load (estimate); 1.79 V when new (from memory).
	// Left to rest, a spent cell recovers to more than the end of this curve.
	lithiumOpen = curve{{0, 1.79}, {0.05, 1.67}, {0.1, 1.64}, {0.25, 1.62}, {0.5, 1.60}, {0.75, 1.56}, {0.85, 1.52}, {0.95, 1.37}, {1, 1.02}}
	// Nickel-metal hydride: makers' handbooks at 0.2 of the capacity per hour
	// (from memory) and 0.015 V on top for the load (calculated); 1.40 to 1.45 V
	// off the charger (confirmed, voltagebasics.com).
	hydrideOpen = curve{{0, 1.42}, {0.05, 1.345}, {0.1, 1.315}, {0.2, 1.285}, {0.4, 1.265}, {0.6, 1.245}, {0.8, 1.215}, {0.9, 1.165}, {0.95, 1.115}, {1, 1.015}}
	// Lithium-ion, graphite and nickel oxides: textbook values (from memory), ±0.04 V.
	lithiumIonOpen = curve{{0, 4.18}, {0.1, 4.06}, {0.2, 3.97}, {0.3, 3.89}, {0.4, 3.80}, {0.5, 3.72},
		{0.6, 3.66}, {0.7, 3.60}, {0.8, 3.53}, {0.9, 3.44}, {0.95, 3.32}, {1, 3.0}}
	// Lithium iron phosphate: textbook values (from memory), ±0.03 V.
	phosphateOpen = curve{{0, 3.40}, {0.1, 3.33}, {0.25, 3.31}, {0.4, 3.29}, {0.6, 3.27}, {0.75, 3.24}, {0.85, 3.20}, {0.93, 3.10}, {0.97, 2.95}, {1, 2.5}}
	// Lithium manganese dioxide coin: Panasonic and Energizer sheets on 15 kΩ
	// (from memory), where the load takes 4 mV.
	coinOpen = curve{{0, 3.15}, {0.05, 3.02}, {0.2, 2.98}, {0.4, 2.95}, {0.6, 2.90}, {0.85, 2.65}, {0.93, 2.40}, {1, 2.0}}
)

// How the resistance rises as a cell empties, as a multiple of the new one's.
// That zinc-carbon rises and alkaline stays low for most of the discharge is
// confirmed (University of Delaware page after Horowitz and Hill, 1989, p. 922).
var (
	// About 1.5 at half, 2 to 3 at the end: Energizer alkaline handbook (from memory).
	alkalineRise = curve{{0, 1}, {0.5, 1.5}, {0.9, 2.25}, {1, 3}}
	// About 2 at half, 3 to 5 at the end: Linden's Handbook (from memory).
	zincRise = curve{{0, 1}, {0.5, 2}, {0.8, 3}, {1, 5}}
	// Nearly flat: Energizer lithium handbook (from memory).
	lithiumRise = curve{{0, 1}, {0.9, 1.1}, {1, 1.5}}
	// Flat but for the end: estimate for rechargeable cells.
	rechargeableRise = curve{{0, 1}, {0.8, 1.05}, {0.95, 1.5}, {1, 2.5}}
	// 18 to 20 Ω up to 150 of 240 mAh and 30 Ω at 170 mAh: Duracell CR2032 graph
	// (confirmed, Interactive Matter 2009); beyond that an estimate.
	coinRise = curve{{0, 1}, {0.625, 1.1}, {0.71, 1.67}, {0.85, 3}, {1, 5}}
)

// How the resistance moves with temperature, as a multiple of that at 25 °C.
var (
	// LR6: 0.9 Ω at −40 °C, 0.15 Ω at room temperature, 0.10 Ω at +40 °C
	// (calculated from the Energizer E91 datasheet as quoted by EPFL); at 60 °C
	// an estimate.
	alkalineWarmth = curve{{233.15, 6}, {RoomTemperature, 1}, {313.15, 0.67}, {333.15, 0.55}}
	// About 2 at 0 °C and 4 at −15 °C: Linden's Handbook ch. 9 (from memory); at
	// 60 °C an estimate.
	zincWarmth = curve{{258.15, 4}, {273.15, 2}, {RoomTemperature, 1}, {333.15, 0.7}}
	// The others are estimates after makers' sheets (from memory): cold thickens
	// the electrolyte of coin cells, lithium-ion and iron phosphate the most.
	lithiumWarmth      = curve{{253.15, 2}, {273.15, 1.4}, {RoomTemperature, 1}, {333.15, 0.85}}
	hydrideWarmth      = curve{{253.15, 2.5}, {273.15, 1.5}, {RoomTemperature, 1}, {333.15, 0.8}}
	rechargeableWarmth = curve{{253.15, 3.5}, {273.15, 1.8}, {RoomTemperature, 1}, {333.15, 0.8}}
	coinWarmth         = curve{{253.15, 3}, {273.15, 1.7}, {RoomTemperature, 1}, {333.15, 0.7}}
)

// The end points per cell: 0.9 V in most tests of IEC 60086-2 (confirmed in
// the R03 specification JYSO222); the others are makers' figures (from memory,
// Li-ion and LFP confirmed by Battsys and ABK Power).
var chemistries = []cellChemistry{
	{"alkaline", nil, 1.5, 0.9, alkalineOpen, alkalineRise, alkalineWarmth},
	{"zinc-carbon", []string{"ZINCCHLORIDE", "CARBONZINC", "ZINC"}, 1.5, 0.9, zincOpen, zincRise, zincWarmth},
	{"lithium", nil, 1.5, 0.9, lithiumOpen, lithiumRise, lithiumWarmth},
	{"NiMH", nil, 1.2, 1.0, hydrideOpen, rechargeableRise, hydrideWarmth},
	{"Li-ion", []string{"LITHIUMION"}, 3.7, 3.0, lithiumIonOpen, rechargeableRise, rechargeableWarmth},
	{"LFP", []string{"LIFEPO4"}, 3.2, 2.5, phosphateOpen, rechargeableRise, rechargeableWarmth},
	{"lithium coin", []string{"COIN"}, 3, 2.0, coinOpen, coinRise, coinWarmth},
	{"alkaline button", []string{"BUTTON"}, 1.5, 0.9, alkalineOpen, alkalineRise, alkalineWarmth},
}

// cell is a cell or a block of cells by its size.
//
// ohms is the resistance when new and at 25 °C that matters for a steady light:
// what it comes to when the current has flowed for tens of seconds. The first
// instant shows about half of it, hours show more. AA and AAA of both primary
// chemistries are held to this one time scale: 0.35 and 0.55 Ω alkaline, 0.6
// and 0.9 Ω zinc-carbon at 20 °C (±40 to ±50 %), carried to 25 °C by the
// chemistry's warmth.
//
// capacity is the charge in ampere hours over the constant current in amperes,
// to 0.8 or 0.9 V a cell or the end point of the chemistry. Below its first
// current it is level; beyond its last it is unknown.
type cell struct {
	size      string // designation of IEC 60086 or 61951, or the maker's
	common    string // everyday name of the size
	chemistry string
	inside    float64 // cells in it, in series
	ohms      figure
	capacity  curve
	founded   Status // of the capacity, on the whole
	source    string
}

const (
	linden  = "Linden's Handbook of Batteries, table of flash current and internal resistance"
	graphs  = "four grades read off makers' graphs (kurokatta.org, 2019); run times on 3.9 Ω (HRLI Battery)"
	lr03    = "LR03 SUPER specification JSS142.2011; Golden Queen LR03 specification (75 Ω, 74 h at least; 0.67 Ah in pulses of 600 mA); run times on 3.9 Ω (HRLI Battery); at 600 mA an estimate"
	r03     = "Sonluk R03 specification JYSO222, 2008 (50 mA and 75 Ω; on 3.9 Ω 0.17 Ah to 0.9 V under load, which leaves a fifth unused; AA gives 2.3 times as much at 200 mA, ammo1); at 0.4 A an estimate"
	sheets  = "Energizer and Duracell data sheets"
	coins   = "Panasonic and Renata data sheets"
	hydride = "makers' data sheets"
	ion     = "Battsys, 18650 parameters"
)

var cells = []cell{
	{"LR6", "AA", "alkaline", 1, figure{0.305, Calculated, "RightBattery test of AA alkaline (1.6 V open, 1.0 V at 1.70 A on a ramp of minutes); Energizer E91 datasheet (0.15 Ω at the first instant)"},
		curve{{0.025, 3.05}, {0.1, 2.6}, {0.3, 1.8}, {0.5, 1.5}, {1, 1.1}}, Confirmed, graphs},
	{"LR03", "AAA", "alkaline", 1, figure{0.48, Estimate, "1.6 times LR6, ±40 %; Golden Queen LR03 specification (0.26 Ω in 0.3 s)"},
		curve{{0.01, 1.32}, {0.0172, 1.30}, {0.1, 1.05}, {0.2, 0.85}, {0.3, 0.70}, {0.6, 0.50}}, Calculated, lr03},
	{"LR14", "C", "alkaline", 1, figure{0.22, Estimate, "Duracell MN1400 datasheet (0.150 Ω at 1 kHz)"},
		curve{{0.025, 7.5}, {0.1, 6.5}, {0.25, 5.5}, {0.5, 4.2}}, FromMemory, sheets},
	{"LR20", "D", "alkaline", 1, figure{0.18, Estimate, "Duracell MN1300 datasheet (0.136 Ω at 1 kHz, from memory)"},
		curve{{0.025, 18}, {0.1, 16}, {0.25, 13.5}, {0.5, 10.5}}, FromMemory, "LR20 specification, 2009 (18 Ah at 25 mA, confirmed); " + sheets},
	{"6LR61", "9V", "alkaline", 6, figure{3, Confirmed, "Horowitz and Hill, The Art of Electronics, 2nd ed., p. 9, as quoted in a forum; 1.7 Ω at 1 kHz, Duracell MN1604 datasheet"},
		curve{{0.025, 0.58}}, Confirmed, "batteryequivalents.com, 9 V block types (550 to 600 mAh)"},
	{"R6", "AA", "zinc-carbon", 1, figure{0.52, Estimate, "±50 %; RightBattery test of AA carbon-zinc; " + linden + " (0.28 to 0.30 Ω at the first instant)"},
		curve{{0.1, 0.649}, {0.2, 0.499}, {0.5, 0.236}}, Confirmed, "RightBattery test of AA carbon-zinc"},
	{"R03", "AAA", "zinc-carbon", 1, figure{0.78, Estimate, "1.6 times R6, ±50 %; Sonluk R03 specification JYSO222 (0.56 Ω at most in 0.3 s); " + linden + " (0.35 to 0.50 Ω at the first instant)"},
		curve{{0.017, 0.40}, {0.05, 0.35}, {0.2, 0.218}, {0.28, 0.205}, {0.4, 0.145}}, Calculated, r03},
	{"R14", "C", "zinc-carbon", 1, figure{0.35, FromMemory, linden + " (0.23 to 0.39 Ω)"},
		curve{{0.025, 3.5}, {0.1, 2.8}}, FromMemory, sheets},
	{"R20", "D", "zinc-carbon", 1, figure{0.25, FromMemory, linden + " (0.18 to 0.27 Ω)"},
		curve{{0.3, 6.5}}, Confirmed, "Vinnic R20P specification (3.9 Ω 1 h a day)"},
	{"6F22", "9V", "zinc-carbon", 6, figure{10, FromMemory, linden + " (5 to 15 Ω)"},
		curve{{0.015, 0.40}}, Confirmed, "batteryequivalents.com, 9 V block types (400 mAh)"},
	{"FR6", "AA", "lithium", 1, figure{0.12, FromMemory, "Energizer lithium handbook (0.09 to 0.15 Ω)"},
		curve{{0.2, 3.1}, {1, 3.0}}, FromMemory, "Energizer lithium handbook form 12004-A"},
	{"FR03", "AAA", "lithium", 1, figure{0.15, FromMemory, "Energizer lithium handbook (0.09 to 0.15 Ω)"},
		curve{{0.2, 1.2}}, FromMemory, "Energizer lithium handbook form 12004-A"},
	{"HR6", "AA", "NiMH", 1, figure{0.045, Calculated, "1 Ω load test of AA NiMH cells (CandlePowerForums)"},
		curve{{0.4, 2.0}, {2, 1.8}}, FromMemory, hydride},
	{"HR03", "AAA", "NiMH", 1, figure{0.030, Confirmed, "Panasonic HHR70AAAJ datasheet, 2005 (at 1 kHz, charged)"},
		curve{{0.16, 0.80}, {0.8, 0.72}}, FromMemory, hydride},
	{"18650", "18650", "Li-ion", 1, figure{0.075, Confirmed, ion + " (below 0.080 Ω)"},
		curve{{0.52, 2.6}, {2.6, 2.45}}, FromMemory, ion + " (2.0 to 3.4 Ah, confirmed)"},
	{"18650", "18650", "LFP", 1, figure{0.05, FromMemory, "makers' data (0.03 to 0.09 Ω)"},
		curve{{0.3, 1.5}, {1.5, 1.4}}, FromMemory, "makers' data"},
	{"14500", "14500", "LFP", 1, figure{0.08, FromMemory, "makers' data (0.03 to 0.09 Ω)"},
		curve{{0.12, 0.6}}, FromMemory, "makers' data"},
	{"CR2032", "2032", "lithium coin", 1, figure{18, Confirmed, "Duracell CR2032 graph (Interactive Matter, 2009): 18 to 20 Ω for seconds"},
		curve{{0.0002, 0.23}, {0.003, 0.175}}, FromMemory, "encyc.org CR2032 (225 to 240 mAh at 0.2 mA, confirmed); at 3 mA makers' sheets"},
	{"CR2025", "2025", "lithium coin", 1, figure{20, FromMemory, "makers' data (15 to 25 Ω)"},
		curve{{0.0002, 0.165}}, FromMemory, coins},
	{"CR2016", "2016", "lithium coin", 1, figure{30, FromMemory, "makers' data (20 to 40 Ω)"},
		curve{{0.0001, 0.085}}, FromMemory, coins},
	{"LR44", "AG13", "alkaline button", 1, figure{6, FromMemory, "makers' data (3 to 9 Ω)"},
		curve{{0.0002, 0.145}}, Confirmed, "FREI LR44 technical specification, 2008 (6.8 kΩ)"},
}

// chemistryNamed returns the chemistry of that name, or nil.
func chemistryNamed(name string) *cellChemistry {
	for i := range chemistries {
		if chemistries[i].name == name {
			return &chemistries[i]
		}
	}
	return nil
}

// called reports whether text is the chemistry's name.
func (c *cellChemistry) called(text string) bool {
	folded := foldName(text)
	return folded == foldName(c.name) || slices.Contains(c.aliases, folded)
}

// cellFor returns the cell of that size and chemistry, either of which may be
// empty, or nil where the catalogue has none. A designation settles the
// chemistry where none is said; said otherwise, it is the other cell of that
// everyday size, if there is one; without a size it is the
// chemistry's first, and without anything LR6.
func cellFor(size, chemistry string) *cell {
	var fallback *cell
	for i := range cells {
		c := &cells[i]
		isSize := size == "" || size == c.size || size == c.common
		switch {
		case isSize && (chemistry == "" || chemistry == c.chemistry):
			return c
		case size == c.size && fallback == nil:
			fallback = c
		}
	}
	for i := range cells {
		if c := &cells[i]; fallback != nil && c.common == fallback.common && c.chemistry == chemistry {
			return c // somebody has put the other kind in
		}
	}
	return fallback
}

// openVolts is the open-circuit voltage with that much charge left, 0 to 1.
func (c *cell) openVolts(left float64) float64 {
	return c.inside * chemistryNamed(c.chemistry).open.at(1-left)
}

// sustainedOhms is the resistance with that much charge left at a temperature
// in kelvin.
func (c *cell) sustainedOhms(left, kelvin float64) float64 {
	kind := chemistryNamed(c.chemistry)
	warmth := kind.warmth.atRatio(kelvin)
	return c.ohms.value * kind.resistance.at(1-left) * warmth
}

// coulombs is the charge of a new cell at a constant current in amperes, and
// whether the handbook knows it.
func (c *cell) coulombs(amps float64) (charge float64, ok bool) {
	if heaviest := c.capacity[len(c.capacity)-1].x; !(amps > 0 && amps <= heaviest) {
		return 0, false
	}
	return 3600 * c.capacity.atPower(amps), true
}

// sizeNames are the designations and everyday names of the sizes.
func sizeNames() []string {
	var names []string
	seen := map[string]bool{}
	for _, c := range cells {
		for _, name := range []string{c.size, c.common} {
			if !seen[name] {
				seen[name] = true
				names = append(names, name)
			}
		}
	}
	return names
}

// sizeNamed are the names of the sizes by their folded forms. As a written
// value "9V" is a voltage like any other, and the block goes by other names.
var sizeNamed = sync.OnceValue(func() map[string]string {
	named := map[string]string{}
	for _, name := range sizeNames() {
		named[foldName(name)] = name
	}
	delete(named, "9V")
	named["9VBLOCK"], named["PP3"] = "9V", "9V"
	return named
})

func chemistryNames() []string {
	names := make([]string, len(chemistries))
	for i, c := range chemistries {
		names[i] = c.name
	}
	return names
}

func batteryHandbook() []HandbookEntry {
	entries := make([]HandbookEntry, len(cells))
	for i, c := range cells {
		about := fmt.Sprintf("%s %s: %s open, %s new", c.chemistry, c.common,
			quantity.Format(c.openVolts(1), quantity.Volt), quantity.Format(c.ohms.value, quantity.Ohm))
		entries[i] = HandbookEntry{c.size, about, c.ohms.status, c.ohms.source}
	}
	return entries
}
