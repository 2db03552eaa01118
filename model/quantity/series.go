package quantity

import (
	"math"
	"sort"
	"strconv"
)

// Series is an E-series of preferred values; its number is the count of values in a
// decade. The zero value is no series.
type Series int

// The series of IEC 60063:2015. Usual tolerances: E3 above 20 %, E6 20 %, E12 10 %,
// E24 5 %, E48 2 %, E96 1 %, E192 0.5 % and below.
const (
	E3   Series = 3
	E6   Series = 6
	E12  Series = 12
	E24  Series = 24
	E48  Series = 48
	E96  Series = 96
	E192 Series = 192
)

// e24 is a list, not a formula: 27 to 47 and 82 differ from the rounded powers.
var e24 = [24]int{10, 11, 12, 13, 15, 16, 18, 20, 22, 24, 27, 30, 33, 36, 39, 43, 47, 51, 56, 62, 68, 75, 82, 91}

// e192 is 100·10^(i/192) rounded to three digits, but for 920 where the power gives 919.
var e192 = func() (values [192]int) {
	for i := range values {
		values[i] = int(math.Floor(100*math.Pow(10, float64(i)/192) + 0.5))
	}
	values[185] = 920
	return values
}()

// String names the series: "E24"; the zero value is "no series".
func (s Series) String() string {
	if s == 0 {
		return "no series"
	}
	return "E" + strconv.Itoa(int(s))
}

// Digits lists the series' significant digits in rising order: two digits up to E24,
// three beyond. Each series is every second value of the next finer one of its kind.
// Of what is no series it is nil.
func (s Series) Digits() []int {
	switch s {
	case E3, E6, E12, E24:
		return everyNth(e24[:], len(e24)/int(s))
	case E48, E96, E192:
		return everyNth(e192[:], len(e192)/int(s))
	}
	return nil
}

func everyNth(values []int, n int) []int {
	list := make([]int, 0, len(values)/n)
	for i := 0; i < len(values); i += n {
		list = append(list, values[i])
	}
	return list
}

// sameValue is the relative difference below which a number counts as the preferred
// value itself: far above rounding in arithmetic, far below any tolerance.
const sameValue = 1e-9

// Below is the largest value of the series that is not above x. It is NaN for an x
// that is not between 1e-300 and 1e300, and for what is no series.
func Below(s Series, x float64) float64 { return s.around(x, 1+sameValue, -1) }

// Above is the smallest value of the series that is not below x; NaN as Below.
func Above(s Series, x float64) float64 { return s.around(x, 1-sameValue, 0) }

// Nearest is the value of the series whose ratio to x is nearest to 1, that is of
// least |ln(value/x)|; halfway the larger. NaN as Below.
func Nearest(s Series, x float64) float64 {
	below, above := Below(s, x), Above(s, x)
	if x/below < above/x {
		return below
	}
	return above
}

// around finds the first value above x·slack and steps from there. A step down stays
// within the decade: it comes with a slack above 1, which outweighs the rounding of the
// logarithm, so that the first value of the decade is never above x·slack.
func (s Series) around(x, slack float64, step int) float64 {
	digits := s.Digits()
	if digits == nil || !(x >= 1e-300 && x <= 1e300) {
		return math.NaN()
	}
	decade := int(math.Floor(math.Log10(x))) - len(strconv.Itoa(digits[0])) + 1
	mantissa := x * slack / math.Pow10(decade)
	if mantissa >= float64(10*digits[0]) { // the logarithm was rounded down, or the slack crossed over
		mantissa, decade = mantissa/10, decade+1
	}
	i := step + sort.Search(len(digits), func(i int) bool { return float64(digits[i]) > mantissa })
	if i == len(digits) {
		i, decade = 0, decade+1
	}
	return decimal(strconv.Itoa(digits[i]), decade)
}

// NamePreferred returns the coarsest series that x belongs to, and x as that series
// has it. When x is in none, the series is 0 and nearest is the value of E24 or E96
// nearest to x by ratio. NaN as Below.
func NamePreferred(x float64) (s Series, nearest float64) {
	for _, s := range []Series{E3, E6, E12, E24, E48, E96, E192} {
		if v := Nearest(s, x); math.Abs(v-x) <= sameValue*math.Abs(x) {
			return s, v
		}
	}
	a, b := Nearest(E24, x), Nearest(E96, x)
	if math.Abs(math.Log(a/x)) <= math.Abs(math.Log(b/x)) {
		return 0, a
	}
	return 0, b
}

// preferredIn reports whether x is in one of the series from E3 up to finest.
func preferredIn(x float64, finest Series) bool {
	s, _ := NamePreferred(x)
	return s != 0 && s <= finest
}
