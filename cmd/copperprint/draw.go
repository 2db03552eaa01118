package main

import (
	"context"
	"flag"
	"fmt"
	"image/color"
	"io"
	"path/filepath"
	"slices"
	"strings"

	"copperglass/analysis/review"
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
	scale, textScale        float64
	transparent, noCaption  bool
}

func (c *drawing) flags(fs *flag.FlagSet) {
	c.conditions.flags(fs)
	fs.StringVar(&c.out, "o", "", "`FILE` to write, which ends in .png or .svg; - writes SVG to standard output")
	fs.StringVar(&c.style, "style", "iec", "`iec|ieee` symbols, as in IEC 60617 or IEEE 315; iec where nothing is said")
	fs.StringVar(&c.theme, "theme", "light", "`light|dark` colours; light where nothing is said")
	fs.Float64Var(&c.scale, "scale", 2, "`N` pixels to the sheet unit, of a PNG; 2 where nothing is said; a step of the grid is 20 units")
	fs.StringVar(&c.show, "show", "voltages,currents,ribbons,findings,states", "`LIST` of what to show: voltages, currents, ribbons, findings (flags at faults and at what a review cautions about or finds odd), facts (flags at its other findings), states (what transistors do), powers, control (the way of the currents that switch), or none; all but facts, powers and control where nothing is said")
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
	o.Show, err = parseShow(c.show)
	return o, err
}

func parseShow(list string) (scene.Show, error) {
	var s scene.Show
	if list == "none" {
		return s, nil
	}
	words := map[string]*bool{
		"voltages": &s.Voltages, "currents": &s.Currents, "ribbons": &s.Ribbons, "findings": &s.Findings, "facts": &s.Facts,
		"states": &s.States, "powers": &s.Powers, "control": &s.Control,
	}
	for _, word := range strings.Split(list, ",") {
		shown := words[strings.TrimSpace(word)]
		if shown == nil {
			return s, misuse("--show %s: %q is none of voltages, currents, ribbons, findings, facts, states, powers, control and none", list, word)
		}
		*shown = true
	}
	return s, nil
}

// picture solves what it has to and composes the picture. A drawing that cannot
// be solved has no picture with figures.
func (p *program) picture(d *model.Diagram, c *drawing, o scene.Options) (*canvas.Picture, error) {
	p.nameUnplaced(d)
	r, err := p.operatingPoint(d, &c.conditions)
	if err != nil {
		return nil, err
	}
	if figures := o.Show.Voltages || o.Show.Currents || o.Show.Ribbons || o.Show.Powers; figures && !r.Solved {
		return nil, failure{stopped, fmt.Errorf("the circuit cannot be solved, so there are no figures to draw"), "--show findings marks the faults on the drawing"}
	}
	o.Mode, o.Set = r.Mode, r.Set
	if o.Findings, err = findings(d, c, &o.Show); err != nil {
		return nil, err
	}
	if !c.noCaption {
		o.Caption = scene.Caption(d.Title, r.Mode)
	}
	s := scene.Build(d, r, o)
	if c.transparent {
		s.Picture.Paper = color.NRGBA{}
	}
	return &s.Picture, nil
}

// findings returns what a review of all modes finds, where flags are wanted.
func findings(d *model.Diagram, c *drawing, show *scene.Show) ([]scene.Finding, error) {
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
	var list []scene.Finding
	for _, f := range r.Findings {
		if f.Muted == "" {
			list = append(list, scene.Finding{Severity: scene.Severity(f.Severity), Parts: f.Parts})
		}
	}
	return list, nil
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
