package scene

import (
	"math"
	"strconv"
	"strings"

	"copperglass/canvas"
)

// Measures of the list of what the flags say, in sheet units.
const (
	explainLine    = 17.0  // from one line of text to the next
	explainGap     = 7.0   // between two entries
	explainRoom    = 10.0  // from the flags to the texts
	explainNarrow  = 380.0 // least width of a column
	explainWide    = 560.0 // greatest
	explainBetween = 36.0  // between columns
	explainColumns = 3     // at most
	explainMost    = 60    // entries
)

// The text that stands below a drawing.
const (
	belowText  = 15.0
	belowLine  = 22.0
	belowWide  = 760.0 // greatest width of its lines
	belowMost  = 2000  // runes
	belowRoom  = 8.0   // to what follows
	belowLeast = 380.0 // width of its lines, however narrow the drawing is
)

// writeBelow writes the text that is to stand below the drawing, at its left.
func (b *builder) writeBelow() {
	if b.o.Text == "" {
		return
	}
	r, line, size := b.s.Bounds, b.scaled(belowLine), b.scaled(belowText)
	at := canvas.Pt(r.Min.X, math.Round(r.Max.Y+canvas.Grid))
	width := max(b.scaled(belowLeast), min(r.Width(), b.scaled(belowWide)))
	for _, text := range broken(brief(b.o.Text, belowMost), width, size) {
		base := at.Y + line/2 + canvas.CapHeight(size)/2
		b.text(canvas.Text{At: canvas.Pt(at.X, base), String: text, Size: size, Colour: b.t.Ink})
		b.s.Bounds = b.s.Bounds.Include(canvas.Pt(at.X+canvas.TextWidth(text, size, false), base))
		at.Y += line
	}
	b.s.Bounds = b.s.Bounds.Include(at.Add(canvas.Pt(0, b.scaled(belowRoom)-canvas.Grid)))
}

// explained is an entry of the list: a flag as the drawing has it, and what it
// says in lines.
type explained struct {
	flag  Flag
	lines []string
}

func (e *explained) height(scale float64) float64 {
	return scale * (explainLine*float64(max(len(e.lines), 1)) + explainGap)
}

// explainFlags lists what the flags say below the drawing, in columns that
// begin at its left.
func (b *builder) explainFlags() {
	list := b.toExplain()
	if len(list) == 0 {
		return
	}
	r, between := b.s.Bounds, b.scaled(explainBetween)
	n := int((r.Width() + between) / (b.scaled(explainNarrow) + between))
	n = max(1, min(n, explainColumns, len(list)))
	width := (r.Width() - between*float64(n-1)) / float64(n)
	width = math.Round(max(b.scaled(explainNarrow), min(width, b.scaled(explainWide))))
	room := b.flagRoom(list) + b.scaled(explainRoom)
	for i := range list {
		list[i].lines = broken(list[i].lines[0], width-room, b.scaled(smallText))
	}
	top := canvas.Pt(r.Min.X, math.Round(r.Max.Y+canvas.Grid))
	for i, column := range b.inColumns(list, n) {
		b.explainColumn(column, top.Add(canvas.Pt(float64(i)*(width+between), 0)), room)
	}
}

// toExplain are the flags that stand on the drawing, and those of faults that
// have no place there, each with its text in one line.
func (b *builder) toExplain() []explained {
	if b.o.Explain == nil || !b.o.Show.Findings {
		return nil
	}
	var list []explained
	for _, f := range b.s.Flags {
		if f.Shown || f.Fault != none {
			list = append(list, explained{f, []string{b.o.Explain(f)}})
		}
	}
	if more := len(list) - explainMost; more > 0 {
		list = append(list[:explainMost], explained{Flag{Fault: none, Finding: none}, []string{"and " + strconv.Itoa(more) + " more"}})
	}
	return list
}

// flagRoom is the width of the widest flag.
func (b *builder) flagRoom(list []explained) float64 {
	widest := 0.0
	for _, e := range list {
		widest = max(widest, b.flagSize(e.flag).X)
	}
	return math.Ceil(widest)
}

// flagSize is how wide and high a flag with one number is.
func (b *builder) flagSize(f Flag) canvas.Point {
	number := strconv.Itoa(f.Number)
	if f.Finding != none {
		return canvas.Pt(findingWidth(number, b.scale), b.scaled(findingHigh))
	}
	high := b.scaled(quietSize)
	return canvas.Pt(max(high, canvas.TextWidth(number, b.scaled(smallText), true)+b.scaled(flagRoom)), high)
}

// inColumns cuts a list into n that are about as high as one another.
func (b *builder) inColumns(list []explained, n int) [][]explained {
	total := 0.0
	for i := range list {
		total += list[i].height(b.scale)
	}
	var columns [][]explained
	y, from := 0.0, 0
	for i := range list {
		high := list[i].height(b.scale)
		if i > from && len(columns) < n-1 && y+high/2 > total/float64(n)*float64(len(columns)+1) {
			columns, from = append(columns, list[from:i]), i
		}
		y += high
	}
	return append(columns, list[from:])
}

// explainColumn writes entries below one another.
func (b *builder) explainColumn(list []explained, at canvas.Point, room float64) {
	line, size := b.scaled(explainLine), b.scaled(smallText)
	for i := range list {
		e := &list[i]
		b.explainFlag(e.flag, at)
		for k, text := range e.lines {
			base := at.Y + line*(float64(k)+0.5) + canvas.CapHeight(size)/2
			b.text(canvas.Text{At: canvas.Pt(at.X+room, base), String: text, Size: size, Colour: b.t.Ink})
			b.s.Bounds = b.s.Bounds.Include(canvas.Pt(at.X+room+canvas.TextWidth(text, size, false), base))
		}
		at.Y += e.height(b.scale)
		b.s.Bounds = b.s.Bounds.Include(at.Sub(canvas.Pt(0, b.scaled(explainGap))))
	}
}

// explainFlag draws a flag in the middle of the line that begins at a place; the
// last line of a list that is cut has none.
func (b *builder) explainFlag(f Flag, at canvas.Point) {
	if f.Finding == none && f.Fault == none {
		return
	}
	size := b.flagSize(f)
	at.Y += (b.scaled(explainLine) - size.Y) / 2
	box := canvas.Rect{Min: at, Max: at.Add(size)}
	if f.Finding != none {
		b.drawFinding([]int{f.Finding}, box)
		return
	}
	quiet, colour := !b.faults[f.Fault].Stops, b.t.Flag
	if !quiet {
		colour = b.t.OnFlag
	}
	b.flagGround(box, quiet)
	letters := b.scaled(smallText)
	b.text(canvas.Text{At: box.Center().Add(canvas.Pt(0, canvas.CapHeight(letters)/2)), String: strconv.Itoa(f.Number), Size: letters, Bold: true, Colour: colour, Align: canvas.Middle})
}

// broken breaks a text into lines of a width, at its spaces but for those
// between a number and its unit.
func broken(s string, width, size float64) []string {
	var lines []string
	line := ""
	for _, word := range unbroken(s) {
		longer := strings.TrimSpace(line + " " + word)
		if line != "" && canvas.TextWidth(longer, size, false) > width {
			lines, longer = append(lines, line), word
		}
		line = longer
	}
	return append(lines, line)
}

// unbroken splits a text into what has to stay on one line: words, and numbers
// with what may be their unit.
func unbroken(s string) []string {
	const unit = 3 // runes, about
	var list []string
	for _, word := range strings.Fields(s) {
		last := len(list) - 1
		if last >= 0 && len([]rune(strings.TrimRight(word, ".,;:)"))) <= unit && endsInDigit(list[last]) {
			list[last] += " " + word
			continue
		}
		list = append(list, word)
	}
	return list
}

func endsInDigit(s string) bool { return s[len(s)-1] >= '0' && s[len(s)-1] <= '9' }
