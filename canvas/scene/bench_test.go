package scene

import (
	"context"
	"maps"
	"math"
	"math/rand/v2"
	"runtime"
	"slices"
	"testing"

	"copperglass/analysis"
	"copperglass/canvas"
	"copperglass/canvas/raster"
	"copperglass/model"
	"copperglass/model/geom"
)

// screen makes frames as the window does, on 1920 × 1080 pixels.
type screen struct {
	builder  Builder
	renderer raster.Renderer
	choose   func(*Options) // how else it is to be seen, or nil
}

func (s *screen) frame(d *model.Diagram, r *analysis.Result) {
	o := lightOptions()
	o.Dots = &canvas.Rect{Max: canvas.Pt(1920, 1080)}
	o.Legend = false // which the window has in a picture of its own
	if s.choose != nil {
		s.choose(&o)
	}
	built := s.builder.Build(d, r, o)
	s.renderer.Draw(&built.Picture, canvas.View{Scale: 1, Origin: canvas.Pt(-60, -60)}, 1920, 1080)
}

// bytesOf returns how many bytes of memory f asks for.
func bytesOf(f func()) uint64 {
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	f()
	runtime.ReadMemStats(&after)
	return after.TotalAlloc - before.TotalAlloc
}

// frameBytes is the most that a frame may ask for once all there is has been
// seen: the texts of new numbers, and what sorting and settings take.
const frameBytes = 64 << 10

// turned is a result as another turn of a knob leaves it: the current of every
// part a little different from the others, and every voltage.
func turned(r *analysis.Result, knob float64) *analysis.Result {
	c := *r
	c.Volts, c.Parts = slices.Clone(r.Volts), map[string]*analysis.PartResult{}
	for i := range c.Volts {
		c.Volts[i] *= 1 + 0.1*math.Sin(knob+float64(i))
	}
	for i, ref := range slices.Sorted(maps.Keys(r.Parts)) {
		p := *r.Parts[ref]
		p.Pins = slices.Clone(p.Pins)
		for j := range p.Pins {
			p.Pins[j].Amps *= 1 + 0.1*math.Sin(knob+float64(i))
		}
		c.Parts[ref] = &p
	}
	balance(&c)
	return &c
}

// dragged is d with one part moved, and with it the ends of its wires.
func dragged(d *model.Diagram, part int, by geom.Point) *model.Diagram {
	c := *d
	c.Parts, c.Wires = slices.Clone(d.Parts), slices.Clone(d.Wires)
	was := d.Parts[part]
	p := was.Clone()
	p.At = p.At.Add(by)
	c.Parts[part] = p
	for i, w := range d.Wires {
		points := slices.Clone(w.Points)
		for _, pin := range was.PlacedPins() {
			for _, end := range [...]int{0, len(points) - 1} {
				if points[end] == pin.At {
					points[end] = pin.At.Add(by)
				}
			}
		}
		if !slices.Equal(points, w.Points) {
			c.Wires[i] = &model.Wire{ID: w.ID, Points: points}
		}
	}
	return &c
}

// drag is a part on its way to and fro, with the result of each place.
func drag(d *model.Diagram, steps int) (ds []*model.Diagram, rs []*analysis.Result) {
	for k := range steps {
		x := int(math.Round(3 * math.Sin(float64(k)/2)))
		moved := dragged(d, 37, geom.Pt(x, k%3))
		ds, rs = append(ds, moved), append(rs, inventedResult(moved, rand.New(rand.NewPCG(1, 3))))
	}
	return ds, rs
}

// Not in parallel: the memory that others ask for would be counted, too.
func TestFramesHardlyAllocate(t *testing.T) {
	d := board(200)
	r := inventedResult(d, rand.New(rand.NewPCG(1, 3)))
	numbers := []*analysis.Result{}
	for k := range 40 {
		numbers = append(numbers, turned(r, float64(k)))
	}
	ds, rs := drag(d, 40)
	lit, findings := map[string]bool{"R1": true, "R2": true, "R3": true}, []Finding{{Severity: Caution, Parts: []string{"R1"}}, {Severity: Oddity, Parts: []string{"R1"}}, {Severity: Oddity, Parts: []string{"R5"}}}
	choices := map[string]func(*Options){"compared and lit": func(o *Options) { o.Lit, o.Findings, o.Before = lit, findings, r }}
	for name, frame := range map[string]func(s *screen, k int){
		"nothing changed":         func(s *screen, _ int) { s.frame(d, r) },
		"numbers changed":         func(s *screen, k int) { s.frame(d, numbers[k]) },
		"one part dragged":        func(s *screen, k int) { s.frame(ds[k], rs[k]) },
		"dragged, not solved yet": func(s *screen, k int) { s.frame(ds[k], nil) },
		"compared and lit":        func(s *screen, k int) { s.frame(d, numbers[k%20]) },
	} {
		s := screen{choose: choices[name]}
		for k := range 20 {
			frame(&s, k)
		}
		most, sum := uint64(0), uint64(0)
		for k := 20; k < 40; k++ {
			b := bytesOf(func() { frame(&s, k) })
			most, sum = max(most, b), sum+b
		}
		t.Logf("%s: %d bytes in the mean, %d at most", name, sum/20, most)
		if most > frameBytes {
			t.Errorf("%s: a frame asks for %d bytes, want no more than %d", name, most, frameBytes)
		}
	}
}

func BenchmarkBoard(b *testing.B) {
	d := board(200)
	r := inventedResult(d, rand.New(rand.NewPCG(1, 3)))
	ds, rs := drag(d, 40)
	for name, frame := range map[string]func(s *screen, k int){
		"still":    func(s *screen, _ int) { s.frame(d, r) },
		"dragging": func(s *screen, k int) { s.frame(ds[k%40], rs[k%40]) },
		"anew":     func(_ *screen, _ int) { new(screen).frame(d, r) },
	} {
		b.Run(name, func(b *testing.B) {
			var s screen
			b.ReportAllocs()
			for k := 0; b.Loop(); k++ {
				frame(&s, k)
			}
		})
	}
}

// BenchmarkFrame is all that is done from one value of a knob to the next: the
// operating point, the scene and its pixels.
func BenchmarkFrame(b *testing.B) {
	d := solvable(200)
	ctx := context.Background()
	tracker, err := analysis.Track(ctx, d, analysis.Options{})
	if err != nil || !tracker.Result().Solved {
		b.Fatal(err, tracker.Result().Faults)
	}
	var s screen
	b.ReportAllocs()
	for k := 0; b.Loop(); k++ {
		if err := tracker.Move(ctx, analysis.Move{Ref: "R1", Name: "resistance", Value: model.Number(1000 + float64(k%50))}); err != nil {
			b.Fatal(err)
		}
		s.frame(d, tracker.Result())
	}
}

func BenchmarkLantern(b *testing.B) {
	d := example(b, "lantern")
	r := solve(b, d, "White")
	var s screen
	b.ReportAllocs()
	for b.Loop() {
		s.frame(d, r)
	}
}

// solvable is board with a supply to feed its rails.
func solvable(n int) *model.Diagram {
	d := board(n)
	supply := model.LookupKind("supply").NewPart(geom.Pt(-6, 10))
	supply.Ref, supply.Value = "G1", "9 V"
	pins := supply.PlacedPins()
	ground := model.LookupKind("ground").NewPart(geom.Pt(-6, 20))
	ground.Ref = "GND1"
	d.Parts = append(d.Parts, supply, ground)
	for row := range (n + 39) / 40 {
		d.Wires = append(d.Wires, &model.Wire{ID: model.WireID(10000 + row), Points: []geom.Point{geom.Pt(0, 24*row), geom.Pt(-2, 24*row)}, Tag: "V+"},
			&model.Wire{ID: model.WireID(20000 + row), Points: []geom.Point{geom.Pt(0, 24*row+20), geom.Pt(-2, 24*row+20)}, Tag: "GND"})
	}
	supply.Tags = map[string]string{pins[0].Name: "V+", pins[1].Name: "GND"}
	return d
}
