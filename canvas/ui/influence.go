package ui

import (
	"cmp"
	"context"
	"fmt"
	"image/color"
	"math"
	"slices"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"copperglass/analysis"
	"copperglass/analysis/drain"
	"copperglass/analysis/whatif"
	"copperglass/canvas"
	"copperglass/model"
	"copperglass/model/quantity"
)

// influenceTopic shows what sets a quantity: bars of what a change of each
// value does to it, grouped by part, the strongest part first.
func (in *inspector) influenceTopic(of string) topic {
	return topic{key: "influence " + of, title: "What sets " + quantityInWords(of) + "?", leave: func() { in.doc.Light() }, build: func(p *page) {
		by, opened, way := growing, map[string]bool{}, &progress{}
		var choice *segment
		choice = newSegment(in.look, []string{growing.word, misread.word}, func(word string) {
			by = growing
			if word == misread.word {
				by = misread
			}
			choice.set(by.word)
			in.refresh()
		})
		choice.set(by.word)
		p.add(choice, gap(10))
		key := func() string {
			all, done, err := in.influencesOn(of, way)
			words := ""
			if !done {
				words = way.watch(in)
			}
			return fmt.Sprintf("%p %v %v %s %v %s", all, done, err, by.word, opened, words)
		}
		p.dynamic(key, func() []fyne.CanvasObject {
			all, done, err := in.influencesOn(of, way)
			switch {
			case !done:
				return []fyne.CanvasObject{p.waiting(), gap(2), styledText(way.words(), smallSize, false, in.look.Quiet)}
			case err != nil:
				return []fyne.CanvasObject{paragraph(sentence(err.Error()), in.width, textSize, in.look.Flag)}
			case len(all.List) == 0:
				return []fyne.CanvasObject{paragraph("The circuit cannot be solved; see what stands in its way.", in.width, textSize, in.look.Flag)}
			}
			return p.influenceLines(all, by, opened)
		})
	}}
}

// change is how far each value is moved to see what it does.
type change struct {
	word, about string
	move        func(p *model.Part, v model.Values, s analysis.Sensitivity) move
	figure      func(percent float64) string
	both        bool                                             // whether the value may lie off either way, and the quantity with it
	says        func(all *whatif.Causes, groups []byPart) string // what it comes to, in a sentence or two, or ""
}

// move is how far one value is moved.
type move struct {
	by    float64 // % of the value or, where that is nought, in its unit
	name  string  // for people, where the value's own tells them nothing; or ""
	words string  // beside the name, or ""
	why   string  // so far and no further, for who points at it; may be ""
}

var (
	growing = change{"1 % more", "By how many % it moves when a value grows by 1 %:", onePercent, signed, false, leverWords}
	misread = change{"If misread", "By how many % it may be off where a value is: a guess is taken to be half wrong, a measured value by 1 %, and all else to lie as such parts do.",
		doubtful, plusMinus, true, mostDoubted}
)

// leverWords say what limits the quantity and which value moves it most.
func leverWords(all *whatif.Causes, _ []byPart) string {
	if place := all.Result.StatePlace(); place != "" {
		return all.Sentence + " All this holds in " + place + "."
	}
	return all.Sentence
}

// mostDoubted says which value would put it off the most where it is: "Most would
// come of BT1's resistance: ± 40 % of it may put the current of D1 off by ± 17 %."
func mostDoubted(all *whatif.Causes, groups []byPart) string {
	if len(groups) == 0 || all.Leaks() {
		return ""
	}
	most := groups[0].list[0]
	ref, name, _ := strings.Cut(most.Parameter, ".")
	if name = strings.ReplaceAll(name, "_", " "); most.move.name != "" {
		name = most.move.name
	}
	of := ref + "'s " + name
	if ref == model.Drawing {
		of = "the surroundings' " + name
	}
	return fmt.Sprintf("The most doubt comes from %s: if it lies off by %s, %s may be off by %s.",
		of, strings.TrimPrefix(most.move.words, "± "), quantityInWords(all.Of), strings.TrimPrefix(plusMinus(most.percent), "± "))
}

// plusMinus is a figure either way, in %.
func plusMinus(x float64) string {
	const large = 100 // % from which there are no digits after the point
	if x = math.Abs(x); x >= large {
		return fmt.Sprintf("± %.0f %%", x)
	}
	return fmt.Sprintf("± %.2g %%", x)
}

// onePercent is 1 % more, or of a link and of a source at 0 V one unit more: 1 %
// of nothing would be nothing. A hundredth of a temperature is told in degrees,
// since nobody counts from absolute zero.
func onePercent(p *model.Part, _ model.Values, s analysis.Sensitivity) move {
	switch {
	case s.Value == 0 && p != nil && (p.Kind == "resistor" || p.Kind == "supply" && s.Unit == quantity.Volt):
		return move{by: 1, words: quantity.Short(1, s.Unit) + " more"}
	case s.Value == 0:
		return move{}
	case s.Unit == quantity.Kelvin:
		return move{by: 1, words: fmt.Sprintf("%.0f °C more", s.Value/100), why: "1 % of an absolute temperature are about 3 °C."}
	}
	return move{by: 1}
}

// doubtful is how far off a value may be: half of what is guessed, a hundredth of
// what is measured, where it is that which people guess or measure; and else what
// the handbook says of such parts, or nothing.
func doubtful(p *model.Part, v model.Values, s analysis.Sensitivity) move {
	_, name, _ := strings.Cut(s.Parameter, ".")
	switch {
	case p == nil || s.Value == 0:
		return move{}
	case p.Doubt == model.Guessed && saidOf(p, name):
		return move{by: 50, words: "± 50 %", why: "It is guessed."}
	case p.Doubt == model.Measured && saidOf(p, name):
		return move{by: 1, words: "± 1 %", why: "It is measured."}
	}
	for _, spread := range p.Spreads(v) {
		if spread.Param == name {
			return usualMove(spread, p, v)
		}
	}
	return move{}
}

// saidOf reports whether a quantity is what people read off a part, measure or
// guess, and none that follows from its type.
func saidOf(p *model.Part, name string) bool {
	k := p.LookupKind()
	q := k.Param(name)
	return q != nil && (q.Required || name == mainNumber(k))
}

// usualMove is how far such parts lie apart. What spreads over ratios is told
// by the logarithm, which for a junction is a voltage.
func usualMove(s model.Spread, p *model.Part, v model.Values) move {
	m := move{why: "Usual for such parts: " + s.Foundation() + "."}
	if !s.Logarithmic {
		m.by = 100 * max(1-s.Low, s.High-1)
		m.words = fmt.Sprintf("± %.2g %%", m.by)
		return m
	}
	ratio := max(s.High, 1/s.Low)
	m.by, m.words = 100*math.Log(ratio), fmt.Sprintf("up to × %.2g", ratio)
	if name, emission := junctionOf(p.Kind); s.Param == "saturation_current" && name != "" {
		volts := math.Log(ratio) * v.Num(emission) * model.ThermalVoltage(v.Num("reference_temperature"))
		m.name, m.words = name, "± "+quantity.Short(math.Round(volts*1e3)/1e3, quantity.Volt)
		m.by = -m.by // the more saturation current, the less voltage
	}
	return m
}

// junctionOf names the voltage that a kind's saturation current stands for, and
// the quantity that says how many volts a ratio of it is.
func junctionOf(kind string) (voltage, emission string) {
	switch kind {
	case "led", "diode":
		return "forward voltage", "emission_coefficient"
	case "npn", "pnp":
		return "base–emitter voltage", "forward_emission"
	}
	return "", ""
}

// influencesOn is what is known of the influences on a quantity in the chosen
// mode. How long a battery lasts takes many discharges: it tells how far it is,
// and of what is only tried it is worked out once that rests.
func (in *inspector) influencesOn(of string, way *progress) (*whatif.Causes, bool, error) {
	mode := in.doc.Mode()
	if ref, ok := strings.CutSuffix(of, whatif.LastsSuffix); ok {
		if in.moving() {
			return nil, false, nil
		}
		return studied(in, "influence", of+"\x00"+mode, func(ctx context.Context, d *model.Diagram) (*whatif.Causes, error) {
			return whatif.Lasting(ctx, d, drain.Options{Mode: mode}, ref, way.tell)
		})
	}
	state := in.doc.shownState()
	return studied(in, "influence", fmt.Sprint(of, "\x00", mode, "\x00", state), func(ctx context.Context, d *model.Diagram) (*whatif.Causes, error) {
		return whatif.Explain(ctx, d, analysis.Options{Mode: mode, State: state}, of)
	})
}

// quantityInWords is how people speak of a quantity: "the current of D1".
func quantityInWords(of string) string {
	if name, ok := strings.CutPrefix(of, "net."); ok {
		return "the voltage of " + strings.TrimSuffix(name, ".volts")
	}
	ref, what, _ := strings.Cut(of, ".")
	switch {
	case strings.HasSuffix(what, ".amps"):
		return "the " + terminalWord(strings.TrimSuffix(what, ".amps")) + "current of " + ref
	case "."+what == whatif.LastsSuffix:
		return "how long " + ref + " lasts"
	case what == "watts":
		return "the power of " + ref
	}
	return "the " + strings.ReplaceAll(what, "_", " ") + " of " + ref
}

// terminalWord is "collector " and so on for a transistor's pin, "" for others.
func terminalWord(pin string) string {
	return map[string]string{"C": "collector ", "B": "base ", "E": "emitter ", "D": "drain ", "G": "gate ", "S": "source "}[pin]
}

// moved is how far a value moves the quantity.
type moved struct {
	analysis.Sensitivity
	move    move
	percent float64
}

// movedBy is what a move of a value does.
func movedBy(s analysis.Sensitivity, m move, of float64) moved {
	if s.Value == 0 {
		return moved{s, m, 100 * s.Derivative * m.by / of}
	}
	return moved{s, m, s.Relative * m.by}
}

// byPart is the influences of one part's values.
type byPart struct {
	ref   string
	list  []moved
	inner []moved // the constants of its curve, where one of the list stands for them
}

// grouped puts the influences together by part, in the order of the part's
// strongest; what does next to nothing is left out.
func (in *inspector) grouped(all *whatif.Causes, by change) []byPart {
	d := in.doc.Shown()
	var groups []byPart
	for _, s := range all.List {
		ref, name, _ := strings.Cut(s.Parameter, ".")
		if name == "reference_temperature" || name == "temperature" && ref != model.Drawing {
			continue // nobody chooses or misreads these
		}
		p := d.Part(ref)
		var v model.Values
		if p != nil {
			v, _ = d.Resolve(p, all.Result.Set)
		}
		m := movedBy(s, by.move(p, v, s), all.Value)
		if !(math.Abs(m.percent) >= leastMoved) {
			continue
		}
		i := slices.IndexFunc(groups, func(g byPart) bool { return g.ref == ref })
		if i < 0 {
			groups, i = append(groups, byPart{ref: ref}), len(groups)
		}
		groups[i].list = append(groups[i].list, m)
	}
	for i := range groups {
		g := &groups[i]
		if by.word == growing.word {
			g.fold(in.doc.Shown(), all)
		}
		slices.SortStableFunc(g.list, func(a, b moved) int { return cmp.Compare(math.Abs(b.percent), math.Abs(a.percent)) })
	}
	groups = slices.DeleteFunc(groups, func(g byPart) bool { return len(g.list) == 0 })
	slices.SortStableFunc(groups, func(a, b byPart) int {
		return cmp.Compare(math.Abs(b.list[0].percent), math.Abs(a.list[0].percent))
	})
	return groups
}

// leastMoved is the move in % from which a bar is drawn.
const leastMoved = 0.005

// fold puts the curve of a junction in the place of its constants, which tell
// people nothing one by one.
func (g *byPart) fold(d *model.Diagram, all *whatif.Causes) {
	curve, ok := all.Curve(d, g.ref)
	if !ok {
		return
	}
	kind := d.Part(g.ref).Kind
	isInner := func(m moved) bool {
		_, name, _ := strings.Cut(m.Parameter, ".")
		return whatif.Inner(kind, name)
	}
	for _, m := range g.list {
		if isInner(m) {
			g.inner = append(g.inner, m)
		}
	}
	g.list = slices.DeleteFunc(g.list, isInner)
	if math.Abs(curve.Percent) >= leastMoved {
		g.list = append(g.list, moved{
			Sensitivity: analysis.Sensitivity{Parameter: g.ref + "." + strings.ReplaceAll(curve.Name, " ", "_"), Unit: quantity.Volt, Value: curve.Volts},
			move:        move{by: 1, why: "Its whole curve of voltage and current shifted by 1 % of that."},
			percent:     curve.Percent,
		})
	}
}

func (p *page) influenceLines(all *whatif.Causes, by change, opened map[string]bool) []fyne.CanvasObject {
	in := p.in
	lines := []fyne.CanvasObject{
		in.tableLine(row{name: sentenceStart(quantityInWords(all.Of)), figure: causedFigure(all)}), gap(6),
	}
	groups := in.grouped(all, by)
	if text := by.says(all, groups); text != "" {
		lines = append(lines, paragraph(curly(text), in.width, textSize, in.look.Ink), gap(8))
	}
	lines = append(lines, paragraph(by.about, in.width, smallSize, in.look.Quiet), gap(8))
	if all.Leaks() {
		lines = append(lines, paragraph("Next to nothing flows here"+inThisMode(in.doc.Mode())+": what is left is leakage.", in.width, smallSize, in.look.Quiet), gap(8))
	}
	if len(groups) == 0 {
		return append(lines, paragraph("No value moves it by as much as 0.005 %.", in.width, textSize, in.look.Ink))
	}
	most := math.Abs(groups[0].list[0].percent)
	for _, g := range groups {
		lines = append(lines, p.influenceHead(g.ref), gap(2))
		for _, m := range g.list {
			lines = append(lines, p.influenceLine(m, most, by), gap(4))
		}
		lines = append(lines, p.constants(g, most, by, opened)...)
		lines = append(lines, gap(6))
	}
	if strings.HasSuffix(all.Of, whatif.LastsSuffix) {
		lines = append(lines, paragraph("Each of these values was moved both ways and the discharge followed again. The cells’ own voltage and resistance are not among them: they follow the cells’ curve as these run down.", in.width, smallSize, in.look.Quiet), gap(6))
	}
	if by.word == misread.word && slices.ContainsFunc(groups, func(g byPart) bool { return in.doc.stacks(g.ref) && in.doc.Shown().Part(g.ref).Multiple() > 1 }) {
		lines = append(lines, paragraph("The parts of a stack are taken to lie off together. One that differs from its fellows takes more of the current: its page says how much.", in.width, smallSize, in.look.Quiet))
	}
	return lines
}

// causedFigure is the figure of what is explained, as it is told elsewhere.
func causedFigure(all *whatif.Causes) string {
	if strings.HasSuffix(all.Of, whatif.LastsSuffix) {
		return strings.TrimPrefix(runTime(all.Value), "runs ")
	}
	return quantity.Solved(math.Abs(all.Value), all.Unit)
}

// constants offer those of a part's curve, and show them where they are opened.
func (p *page) constants(g byPart, most float64, by change, opened map[string]bool) []fyne.CanvasObject {
	if len(g.inner) == 0 {
		return nil
	}
	title := "▸ the constants of its curve"
	if opened[g.ref] {
		title = "▾ the constants of its curve"
	}
	lines := []fyne.CanvasObject{p.action(title, "What "+g.ref+"’s type says, one by one; its voltage above stands for them.", func() {
		opened[g.ref] = !opened[g.ref]
		p.in.refresh()
	})}
	if opened[g.ref] {
		for _, m := range g.inner {
			lines = append(lines, p.influenceLine(m, most, by), gap(4))
		}
	}
	return lines
}

// influenceHead is the name of a part, which selects it, or of the drawing.
func (p *page) influenceHead(ref string) fyne.CanvasObject {
	in := p.in
	if ref == model.Drawing {
		return styledText("The surroundings", textSize, true, in.look.Ink)
	}
	head := newTapArea(styledText(ref, textSize, true, in.look.Accent), func() { in.show(ref) })
	return newGlimpse(in, "Select "+ref+" on the sheet.", ref, head)
}

// sentenceStart begins a line with a capital.
func sentenceStart(s string) string { return strings.ToUpper(s[:1]) + s[1:] }

// influenceLine is one value with its bar: to the right where more of it makes
// more of the quantity, to the left where it makes less, or both ways.
func (p *page) influenceLine(s moved, most float64, by change) fyne.CanvasObject {
	in := p.in
	ref, name, _ := strings.Cut(s.Parameter, ".")
	label := strings.ReplaceAll(name, "_", " ")
	help := fmt.Sprintf("%s is %s.", sentenceStart(label), quantity.Short(s.Value, s.Unit))
	if s.move.why != "" {
		help += " " + s.move.why
	}
	if s.move.name != "" {
		label = s.move.name
	}
	if s.move.words != "" {
		label += ", " + s.move.words
	}
	figure := by.figure(s.percent)
	const barHeight = 8
	bar := newSketch(fyne.NewSize(in.width, barHeight), func(size fyne.Size) canvas.Picture {
		share := s.percent / most
		if by.both {
			return influenceBar(in.look, in.look.Accent, -share, share, float64(size.Width), barHeight)
		}
		return influenceBar(in.look, influenceColour(in.look, share), 0, share, float64(size.Width), barHeight)
	})
	return newGlimpse(in, help, ref, container.New(column{gap: 2}, in.tableLine(row{name: label, figure: figure}), bar))
}

// signed is a figure with its sign, in %.
func signed(x float64) string {
	digits := 2
	for size := math.Abs(x); size >= 10 && digits > 0; size /= 10 {
		digits--
	}
	return strings.ReplaceAll(fmt.Sprintf("%+.*f %%", digits, x), "-", "−")
}

// influenceColour tells more of the quantity from less.
func influenceColour(look canvas.Theme, share float64) color.NRGBA {
	if share < 0 {
		return look.Volts
	}
	return look.Current
}

// influenceBar draws a bar between two shares from −1 to 1, which stand about the
// middle.
func influenceBar(look canvas.Theme, c color.NRGBA, from, to, width, height float64) canvas.Picture {
	middle := width / 2
	at := func(share float64) float64 { return middle + share*(middle-1) }
	ground := (&canvas.Path{Style: canvas.Style{Fill: look.Edge}}).Rectangle(canvas.Rect{Min: canvas.Pt(0, height/2-0.5), Max: canvas.Pt(width, height/2+0.5)})
	bar := (&canvas.Path{Style: canvas.Style{Fill: c}}).Rectangle(canvas.Rect{Min: canvas.Pt(at(min(from, to)), 0), Max: canvas.Pt(at(max(from, to)), height)})
	return canvas.Picture{Items: []canvas.Item{ground, bar}}
}
