package main

import (
	"cmp"
	"context"
	"flag"
	"fmt"
	"image/color"
	"io"
	"path/filepath"
	"slices"
	"strings"

	"copperglass/analysis"
	"copperglass/analysis/review"
	"copperglass/analysis/story"
	"copperglass/canvas"
	"copperglass/canvas/raster"
	"copperglass/canvas/scene"
	"copperglass/canvas/svg"
	"copperglass/canvas/symbol"
	"copperglass/model"
)

// drawing is what the flags of draw say.
type drawing struct {
	conditions
	out, style, theme, show string
	whatIf, before          string
	step                    int  // of the story, from 1; 0 for none
	explain                 bool // whether what the flags say stands below
	scale, textScale        float64
	transparent, noCaption  bool
}

func (c *drawing) flags(fs *flag.FlagSet) {
	c.conditions.flags(fs)
	fs.StringVar(&c.out, "o", "", "`FILE` to write, which ends in .png or .svg; - writes SVG to standard output")
	fs.StringVar(&c.style, "style", "iec", "`iec|ieee` symbols, as in IEC 60617 or IEEE 315; iec where nothing is said")
	fs.StringVar(&c.theme, "theme", "light", "`light|dark` colours; light where nothing is said")
	fs.Float64Var(&c.scale, "scale", 2, "`N` pixels to the sheet unit, of a PNG; 2 where nothing is said; a step of the grid is 20 units")
	fs.StringVar(&c.show, "show", "voltages,currents,ribbons,findings,texts,states", "`LIST` of what to show: voltages, currents, ribbons, findings (flags at faults and at what a review cautions about or finds odd), facts (flags at its other findings), texts (what the flags say, below the drawing), states (what transistors do), powers, control (the way of the currents that switch), or none; all but facts, powers and control where nothing is said")
	fs.StringVar(&c.whatIf, "what-if", "", "`NAME` of a what-if of the drawing to draw: what differs has the drawing's own figure beside it, struck through")
	fs.StringVar(&c.before, "before", "", "`MODE` to compare with: what differs from it has its figure there beside it, struck through")
	fs.IntVar(&c.step, "step", 0, "`NUMBER` of the step of the drawing's story to draw: its values, what it brings out, and its sentence below")
	fs.Float64Var(&c.textScale, "text-scale", 1, "`N` times as large letters, from 0.5 to 3; 1 where nothing is said")
	fs.BoolVar(&c.transparent, "transparent", false, "leave the paper out, so that what lies behind shows")
	fs.BoolVar(&c.noCaption, "no-caption", false, "leave out the line with the drawing's title and mode")
}

// draw writes a picture of the drawing.
func (p *program) draw(args []string) error {
	var c drawing
	fs := p.flags("draw")
	c.flags(fs)
	c.stateFlag(fs)
	operands, err := p.parse(fs, args, 1)
	if err != nil {
		return err
	}
	render, err := c.renderer(fs)
	if err != nil {
		return err
	}
	options, err := c.options()
	if err != nil {
		return err
	}
	d, err := p.read(operands[0])
	if err != nil {
		return err
	}
	picture, err := p.picture(d, &c, options)
	if err != nil {
		return err
	}
	return p.write(c.out, func(w io.Writer) error { return render(w, picture) })
}

// renderer returns what writes a picture in the form that the output's name
// asks for.
func (c *drawing) renderer(fs *flag.FlagSet) (func(io.Writer, *canvas.Picture) error, error) {
	scaled := false
	fs.Visit(func(f *flag.Flag) { scaled = scaled || f.Name == "scale" })
	switch extension := strings.ToLower(filepath.Ext(c.out)); {
	case c.out == "":
		return nil, misuse("draw: say where to, with -o X.png or -o X.svg")
	case extension == ".png" && !(c.scale > 0):
		return nil, misuse("--scale %v: it must be above 0", c.scale)
	case extension == ".png":
		return func(w io.Writer, p *canvas.Picture) error { return raster.WritePNG(w, p, c.scale, scene.Margin) }, nil
	case extension == ".svg" && scaled:
		return nil, misuse("--scale: an SVG has no scale, it is as large as one likes")
	case extension == ".svg" || c.out == "-":
		return func(w io.Writer, p *canvas.Picture) error { return svg.Write(w, p, scene.Margin) }, nil
	}
	return nil, misuse("-o %s: pictures are written as .png or .svg", c.out)
}

// options returns how the drawing is to be seen.
func (c *drawing) options() (scene.Options, error) {
	o := scene.Options{Legend: true}
	switch c.theme {
	case "light":
		o.Theme = canvas.LightTheme()
	case "dark":
		o.Theme = canvas.DarkTheme()
	default:
		return o, misuse("--theme %s: there are light and dark", c.theme)
	}
	switch c.style {
	case "iec":
		o.Standard = symbol.IEC
	case "ieee":
		o.Standard = symbol.IEEE
	default:
		return o, misuse("--style %s: there are iec and ieee", c.style)
	}
	if !(c.textScale >= 0.5 && c.textScale <= 3) {
		return o, misuse("--text-scale %v: it must be from 0.5 to 3", c.textScale)
	}
	o.TextScale = c.textScale
	var err error
	o.Show, err = c.parseShow(c.show)
	return o, err
}

func (c *drawing) parseShow(list string) (scene.Show, error) {
	var s scene.Show
	if list == "none" {
		return s, nil
	}
	words := map[string]*bool{
		"voltages": &s.Voltages, "currents": &s.Currents, "ribbons": &s.Ribbons, "findings": &s.Findings, "facts": &s.Facts, "texts": &c.explain,
		"states": &s.States, "powers": &s.Powers, "control": &s.Control,
	}
	for _, word := range strings.Split(list, ",") {
		shown := words[strings.TrimSpace(word)]
		if shown == nil {
			return s, misuse("--show %s: %q is none of voltages, currents, ribbons, findings, facts, texts, states, powers, control and none", list, word)
		}
		*shown = true
	}
	return s, nil
}

// picture solves what it has to and composes the picture. A drawing that cannot
// be solved has no picture with figures.
func (p *program) picture(d *model.Diagram, c *drawing, o scene.Options) (*canvas.Picture, error) {
	p.nameUnplaced(d)
	d, tried, err := p.tried(d, c, &o)
	if err != nil {
		return nil, err
	}
	r, err := p.operatingPoint(d, &c.conditions)
	if err != nil {
		return nil, err
	}
	if figures := o.Show.Voltages || o.Show.Currents || o.Show.Ribbons || o.Show.Powers; figures && !r.Solved {
		return nil, failure{stopped, fmt.Errorf("the circuit cannot be solved, so there are no figures to draw"), "--show findings marks the faults on the drawing"}
	}
	o.Mode, o.Set = r.Mode, r.Set
	found, err := findings(d, c, &o.Show)
	if err != nil {
		return nil, err
	}
	for _, f := range found {
		_, here := f.In(r.Mode)
		o.Findings = append(o.Findings, scene.Finding{Severity: scene.Severity(f.Severity), Parts: f.Flagged(d), Key: f.Key(), Muted: f.Muted != "", Elsewhere: !here})
	}
	if c.explain {
		o.Explain = func(f scene.Flag) string { return flagText(f, r, found) }
	}
	if !c.noCaption {
		o.Caption = scene.Caption(d.Title, r.Mode, tried)
	}
	s := scene.Build(d, r, o)
	if c.transparent {
		s.Picture.Paper = color.NRGBA{}
	}
	return &s.Picture, nil
}

// tried is the drawing as a what-if or a step of its story shows it, with what
// the caption says of that; the drawing itself where none is asked for.
func (p *program) tried(d *model.Diagram, c *drawing, o *scene.Options) (*model.Diagram, string, error) {
	switch {
	case c.several():
		return nil, "", misuse("draw: say one of --before, --what-if and --step")
	case c.before != "":
		return p.comparedWith(d, c, o)
	case c.step != 0:
		return c.storyStep(d, o)
	case c.whatIf == "":
		return d, "", nil
	}
	w, err := savedWhatIf(d, c.whatIf)
	if err != nil {
		return nil, "", err
	}
	if o.Before, err = p.asDrawn(d, c); err != nil {
		return nil, "", err
	}
	o.Drawn = d
	return varied(d, w.Setting()), "what if: " + w.Name, nil
}

// several reports whether more than one thing is asked for that has figures
// beside the drawing's.
func (c *drawing) several() bool {
	asked := 0
	for _, is := range []bool{c.before != "", c.whatIf != "", c.step != 0} {
		if is {
			asked++
		}
	}
	return asked > 1
}

// comparedWith is the drawing with the figures of another mode beside its own.
func (p *program) comparedWith(d *model.Diagram, c *drawing, o *scene.Options) (*model.Diagram, string, error) {
	other := *c
	other.mode = c.before
	r, err := p.asDrawn(d, &other)
	if err != nil {
		return nil, "", err
	}
	o.Before = r
	return d, "struck through: in " + r.Mode, nil
}

// storyStep is the drawing as a step of its story shows it.
func (c *drawing) storyStep(d *model.Diagram, o *scene.Options) (*model.Diagram, string, error) {
	if c.step < 1 || c.step > len(d.Story) {
		return nil, "", misuse("--step %d: the drawing's story has %d steps", c.step, len(d.Story))
	}
	pages, err := story.Tell(context.Background(), d)
	if err != nil {
		return nil, "", failure{code: unreadable, err: err}
	}
	page := pages[c.step-1]
	c.mode = cmp.Or(c.mode, page.Mode)
	o.Lit = map[string]bool{}
	for _, ref := range page.Lit {
		o.Lit[ref] = true
	}
	o.Text = page.Text
	return varied(d, page.Set), fmt.Sprintf("step %d: %s", c.step, page.Title), nil
}

// asDrawn is what the drawing itself does, for the figures of a what-if to be
// compared with.
func (p *program) asDrawn(d *model.Diagram, c *drawing) (*analysis.Result, error) {
	set, err := c.check(d)
	if err != nil {
		return nil, err
	}
	r, err := analysis.Solve(context.Background(), d, analysis.Options{Mode: c.mode, Set: set, State: c.state})
	if err != nil {
		return nil, failure{code: misused, err: err}
	}
	return r, nil
}

// varied is the drawing with other values.
func varied(d *model.Diagram, set model.Setting) *model.Diagram {
	f := model.NewDraft(d)
	f.Override(set)
	return f.Diagram()
}

// flagText is what a flag says below the drawing.
func flagText(f scene.Flag, r *analysis.Result, found []review.Finding) string {
	text := ""
	if f.Finding < 0 {
		text = r.Faults[f.Fault].Text
	} else {
		text, _ = found[f.Finding].In(r.Mode)
	}
	return sentence(strings.TrimSuffix(text, ".")) + "."
}

// findings returns what a review of all modes finds, where flags are wanted: those
// of the drawn mode have the numbers that they have in every other.
func findings(d *model.Diagram, c *drawing, show *scene.Show) ([]review.Finding, error) {
	if show.Findings = show.Findings || show.Facts; !show.Findings {
		return nil, nil
	}
	set, err := c.check(d)
	if err != nil {
		return nil, err
	}
	r, err := review.Run(context.Background(), d, review.Options{Set: set})
	if err != nil {
		return nil, failure{code: misused, err: err}
	}
	return r.Findings, nil
}

// nameUnplaced tells of parts that are not in the picture.
func (p *program) nameUnplaced(d *model.Diagram) {
	var refs []string
	for _, part := range d.Parts {
		if !part.Placed {
			refs = append(refs, part.Ref)
		}
	}
	if len(refs) == 0 {
		return
	}
	slices.SortFunc(refs, model.NaturalCompare)
	const most = 8
	if len(refs) > most {
		refs = append(refs[:most], "others")
	}
	p.say("note: not drawn, having no place on the sheet: %s", strings.Join(refs, ", "))
}
