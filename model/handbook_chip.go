package model

import (
	"math"
	"slices"
	"strings"
)

// ChipFamily is a publicly known family of chips by where its supply comes in.
type ChipFamily struct {
	Name    string
	Leads   int      // pins of its case
	outputs int      // most pins that give a signal or switch something
	supply  []string // pins that take the supply; of a regulator its input
	ground  []string
	Founded Status
	Source  string
}

// anyPin stands for a chip whose program makes of any pin an output.
const anyPin = math.MaxInt

// chipFamilies are the pairs of pins that makers give their chips. Confidence is
// high where nothing is said. How many outputs they have is from memory.
var chipFamilies = []ChipFamily{
	{"two operational amplifiers, as LM358, LM2904, TL072, NE5532, MCP6002", 8, 2, []string{"8"}, []string{"4"}, Confirmed, "Cadeka LM358/LM324 datasheet, the first of them; the others from memory"},
	{"two comparators LM393, LM2903", 8, 2, []string{"8"}, []string{"4"}, Confirmed, "TI LM393LV-Q1 datasheet SNOSDB3E, the first of them; the others from memory"},
	{"memory (I²C) 24Cxx", 8, 1, []string{"8"}, []string{"4"}, Confirmed, "Microchip two-wire EEPROM pin drawing"},
	{"memory (three wires) 93Cxx", 8, 1, []string{"8"}, []string{"5"}, Confirmed, "Microchip three-wire EEPROM pin descriptions"},
	{"audio amplifier LM386", 8, 1, []string{"6"}, []string{"4"}, Confirmed, "TI LM386 datasheet SNAS545D"},
	{"timer 555, 7555, TLC555", 8, 2, []string{"8"}, []string{"1"}, Confirmed, "dummies.com on 555 and 556, 555; the others from memory"},
	{"charger of lithium cells TP4056", 8, 3, []string{"4"}, []string{"3"}, Confirmed, "EEWorld, TP4056 pin table"},
	{"PIC16 with CLB", 8, anyPin, []string{"1"}, []string{"8"}, Confirmed, "Microchip pin table of the 8-pin PIC16 with CLB"},
	{"PIC12F508, 509, 629, 675, 683, 1822, PIC12C508 clones", 8, anyPin, []string{"1"}, []string{"8"}, FromMemory, "Microchip sheets"},
	{"PIC10F200 family", 8, anyPin, []string{"2"}, []string{"7"}, FromMemory, "Microchip sheet"},
	{"ATtiny13, 25, 45, 85", 8, anyPin, []string{"8"}, []string{"4"}, FromMemory, "Atmel 2586/8126"},
	{"ATtiny202, 212, 402, 412", 8, anyPin, []string{"1"}, []string{"8"}, FromMemory, "Microchip tinyAVR 0/1 sheet"},
	{"MSP430G2210, 2230", 8, anyPin, []string{"1"}, []string{"8"}, FromMemory, "TI SLAS753E"},
	{"Z8 Encore XP", 8, anyPin, []string{"1"}, []string{"8"}, FromMemory, "Zilog sheet, medium confidence"},
	{"Padauk PMS150C, PFS154", 8, anyPin, []string{"1"}, []string{"8"}, FromMemory, "Padauk sheets, medium confidence"},
	{"FMD FT60F01x, FT61F02x", 8, anyPin, []string{"1"}, []string{"8"}, FromMemory, "its maker's sheet, medium confidence"},
	{"Nyquest NY8A05x", 8, anyPin, []string{"1"}, []string{"8"}, FromMemory, "its maker's sheet, low confidence"},
	{"Holtek HT66F002, HT68F002", 8, anyPin, []string{"1"}, []string{"8"}, FromMemory, "its maker's sheet, low confidence"},
	{"STC15F10x, STC15W10x, STC8G1K08", 8, anyPin, []string{"2"}, []string{"4"}, FromMemory, "STC sheets"},
	{"STM32G030J6, G031J6", 8, anyPin, []string{"2"}, []string{"3"}, FromMemory, "ST DS12991"},
	{"STM8S001J3", 8, anyPin, []string{"4"}, []string{"2"}, FromMemory, "ST sheet, medium confidence"},
	{"CH32V003J4M6", 8, anyPin, []string{"4"}, []string{"2"}, FromMemory, "WCH sheet, medium confidence"},
	{"LPC810", 8, anyPin, []string{"6"}, []string{"7"}, FromMemory, "NXP sheet"},
	{"MC9RS08KA, MC9S08QG", 8, anyPin, []string{"3"}, []string{"4"}, FromMemory, "Freescale sheets"},
	{"memory (SPI) 25xx", 8, 1, []string{"8"}, []string{"4"}, FromMemory, "Microchip 25AA"},
	{"flash memory (SPI) W25Q, GD25, MX25", 8, 4, []string{"8"}, []string{"4"}, FromMemory, "Winbond sheet"},
	{"operational amplifier 741, TL071, OPAx", 8, 1, []string{"7"}, []string{"4"}, FromMemory, "TI sheets"},
	{"comparator LM311", 8, 2, []string{"8"}, []string{"4"}, FromMemory, "TI sheet"},
	{"switching regulator MC34063A", 8, 2, []string{"6"}, []string{"4"}, FromMemory, "onsemi/TI sheet"},
	{"clock DS1307", 8, 2, []string{"8"}, []string{"4"}, FromMemory, "Maxim sheet"},
	{"clock DS1302", 8, 1, []string{"1", "8"}, []string{"4"}, FromMemory, "Maxim sheet"},
	{"thermometer LM75", 8, 2, []string{"8"}, []string{"4"}, FromMemory, "TI/NXP sheet"},
	{"bus driver MAX485", 8, 3, []string{"8"}, []string{"5"}, FromMemory, "Maxim sheet"},
	{"bus driver TJA1050, MCP2551", 8, 3, []string{"3"}, []string{"2"}, FromMemory, "NXP/Microchip sheet"},
	{"remote encoder EV1527, HS1527", 8, 1, []string{"2"}, []string{"3"}, FromMemory, "its maker's sheet, medium confidence"},
	{"LED driver WS2811", 8, 4, []string{"8"}, []string{"4"}, FromMemory, "Worldsemi sheet"},
	{"motor driver L9110S", 8, 2, []string{"2", "3"}, []string{"5", "8"}, FromMemory, "its maker's sheet"},
	{"audio amplifier LM4871, 8002, PAM8302A", 8, 2, []string{"6"}, []string{"7"}, FromMemory, "makers' sheets"},
	{"regulator 78L05", 8, 1, []string{"8"}, []string{"2", "3", "6", "7"}, FromMemory, "makers' sheets"},
	{"regulator LP2951", 8, 2, []string{"8"}, []string{"4"}, FromMemory, "TI sheet"},
	{"memory (I²C) 24Cxx", 5, 1, []string{"4"}, []string{"2"}, Confirmed, "Microchip two-wire EEPROM pin drawing"},
	{"analog switch TS12A12511", 8, 2, []string{"4"}, []string{"3"}, Confirmed, "TI TS12A12511 datasheet SCDS248E"},
	{"operational amplifier LMV321, MCP6001", 5, 1, []string{"5"}, []string{"2"}, FromMemory, "TI/Microchip"},
	{"logic gate", 5, 1, []string{"5"}, []string{"3"}, FromMemory, "TI"},
	{"regulator ME6211, AP2112", 5, 1, []string{"1"}, []string{"2"}, FromMemory, "makers' sheets"},
	{"regulator HT73xx", 3, 1, []string{"2"}, []string{"1"}, FromMemory, "Holtek"},
	{"regulator XC6206, 662K", 3, 1, []string{"3"}, []string{"1"}, FromMemory, "Torex"},
	{"charger TP4054, LTC4054", 5, 2, []string{"4"}, []string{"2"}, FromMemory, "makers' sheets"},
	{"step-up converter MT3608", 6, 1, []string{"5"}, []string{"2"}, FromMemory, "its maker's sheet"},
	{"protector of lithium cells DW01", 6, 2, []string{"5"}, []string{"6"}, FromMemory, "Fortune sheet"},
	{"touch sensor TTP223", 6, 1, []string{"5"}, []string{"2"}, FromMemory, "Tontek sheet"},
	{"PIC10F200, ATtiny4, 5, 9, 10", 6, anyPin, []string{"5"}, []string{"2"}, FromMemory, "Microchip sheets"},
	{"four operational amplifiers, LM324", 14, 4, []string{"4"}, []string{"11"}, Confirmed, "Cadeka LM358/LM324 datasheet"},
	{"four comparators, LM339", 14, 4, []string{"3"}, []string{"12"}, Confirmed, "TI LM339LV datasheet SNOSDA4D"},
	{"two timers, 556", 14, 4, []string{"14"}, []string{"7"}, Confirmed, "dummies.com on 555 and 556"},
	{"logic 74xx, 40xx", 14, 6, []string{"14"}, []string{"7"}, FromMemory, "logic data books"},
	{"logic 74xx, 40xx", 16, 8, []string{"16"}, []string{"8"}, FromMemory, "logic data books"},
	{"PIC of 14 pins, ATtiny204 class", 14, anyPin, []string{"1"}, []string{"14"}, FromMemory, "Microchip sheets"},
	{"ATtiny24, 44, 84", 14, anyPin, []string{"1"}, []string{"14"}, FromMemory, "Atmel sheet"},
	{"MSP430G2231", 14, anyPin, []string{"1"}, []string{"14"}, FromMemory, "TI sheet"},
	{"USB bridge CH340G", 16, 5, []string{"16"}, []string{"1"}, FromMemory, "WCH sheet"},
}

// IsOtherThanController reports whether a chip's name is that of a family that is
// no microcontroller, so that nothing here is known of what it stands.
func IsOtherThanController(name string) bool {
	folded := foldName(name)
	const least = 3 // letters and digits, or anything would be found
	return len(folded) >= least && slices.ContainsFunc(chipFamilies, func(f ChipFamily) bool {
		return f.outputs != anyPin && strings.Contains(foldName(f.Name), folded)
	})
}

// ChipFamilies returns the families whose supply and ground come in at these
// pins, in a case of at least that many leads, and which have that many outputs.
// This alone never decides which chip it is: several kinds share each pair.
func ChipFamilies(leads, outputs int, supply, ground string) []ChipFamily {
	var found []ChipFamily
	for _, f := range chipFamilies {
		if f.Leads >= leads && f.outputs >= outputs && slices.Contains(f.supply, supply) && slices.Contains(f.ground, ground) {
			found = append(found, f)
		}
	}
	return found
}
