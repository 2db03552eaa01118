//go:build linux

package main

import (
	"flag"
	"fmt"
	"image"
	"math/rand/v2"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/jezek/xgb"
	"github.com/jezek/xgb/xproto"

	"copperglass/canvas"
	"copperglass/model"
	"copperglass/model/file"
	"copperglass/model/journal"
)

var kills = flag.Int("kills", 3, "how many times TestKill kills the program")

// mostLost is how long before its sudden end the program may have forgotten
// what was done.
const mostLost = time.Second

// TestKill edits a drawing at random and kills the program at a random moment,
// many times over: what is in the file and what the next start offers must be
// what was there then, or at most a second before. Every second round has a
// file, the others have an untitled drawing.
func TestKill(t *testing.T) {
	t.Parallel()
	on := openScreen(t, windowWidth, windowHeight)
	pings := listen(t, on)
	steps, kept := 0, 0
	for n := range *kills {
		r := &round{Rand: rand.New(rand.NewPCG(4, uint64(n))), home: t.TempDir(), pings: pings}
		if n%2 == 0 {
			r.path = filepath.Join(r.home, "lamp.cglass")
			save(t, r.path, empty())
		}
		r.run(t, on)
		left := r.check(t, n)
		if left != nil && n%20 < 4 {
			r.startAgain(t, on, left)
		}
		steps += len(r.steps) - 1
		if left != nil {
			kept++
		}
	}
	t.Logf("%d rounds, %d steps; the next start had something to offer after %d rounds", *kills, steps, kept)
}

// TestTwoProgramsWithOneFile offers neither what the other has not saved, until
// it has ended.
func TestTwoProgramsWithOneFile(t *testing.T) {
	t.Parallel()
	home := t.TempDir()
	path := filepath.Join(home, "lamp.cglass")
	save(t, path, empty())
	var open []*program
	for n := range 2 {
		p := launch(t, setup{home: home}, path)
		p.untilTitle("Lamp – Copperglass")
		p.put(p.grid(8, 8+6*n), "r") // a dialog would not let that through
		p.untilTitle("• Lamp – Copperglass")
		open = append(open, p)
	}
	orphans := func() int { return len(journal.Of(path, filepath.Join(home, "state", "copperglass"))) }
	if n := orphans(); n != 0 {
		t.Errorf("%d journals of programs that run would be offered", n)
	}
	for n, p := range open {
		p.cmd.Process.Signal(syscall.SIGTERM)
		p.untilOver()
		if got := orphans(); got != n+1 {
			t.Errorf("%d journals are offered after %d ends", got, n+1)
		}
	}
}

// empty is a drawing without parts, but with what must not get lost.
func empty() *model.Diagram {
	return &model.Diagram{Title: "Lamp", Extra: []model.Extra{{Key: "made_elsewhere", Raw: `{"photo":"a.png"}`}}}
}

func save(t testing.TB, path string, d *model.Diagram) {
	t.Helper()
	if err := file.Save(path, d); err != nil {
		t.Fatal(err)
	}
}

// round is one life of the program.
type round struct {
	*rand.Rand
	home, path string // path is empty for an untitled drawing
	pings      *pings
	steps      []step
	undone     []string // states to which redo leads, the next one last
	killed     time.Time
}

// step is what the test has had the program do. It is done at the latest when
// it is answered; a step without that time may or may not have been done.
type step struct {
	state    string // of the drawing afterwards
	saved    bool   // whether it is then in the file
	answered time.Time
}

// run starts the program and edits until it is killed.
func (r *round) run(t *testing.T, on *screen) {
	t.Helper()
	p := launch(t, setup{home: r.home, on: on}, r.arguments()...)
	p.untilTitle(r.title())
	origin := p.grid(0, 0)
	r.steps = []step{{saved: r.path != "", answered: time.Now()}}
	killed := make(chan time.Time, 1)
	time.AfterFunc(time.Duration(r.IntN(3000))*time.Millisecond, func() {
		killed <- time.Now()
		p.cmd.Process.Kill()
	})
	for _, cell := range r.Perm(5 * 5) {
		for r.IntN(10) < 4 {
			r.change(p)
		}
		at := image.Pt(3+8*(cell%5), 3+6*(cell/5)) // far enough apart to join nothing
		r.undone = nil
		r.add(p, step{state: r.state() + fmt.Sprintf(" resistor@%d,%d", at.X, at.Y)}, func() { p.put(origin.Add(at.Mul(canvas.Grid)), "r") })
	}
	r.killed = <-killed
	p.untilOver()
}

func (r *round) arguments() []string {
	if r.path == "" {
		return []string{"--empty"}
	}
	return []string{r.path}
}

func (r *round) title() string {
	if r.path == "" {
		return untitled
	}
	return "Lamp – Copperglass"
}

// state is how the drawing is when all steps are done.
func (r *round) state() string { return r.steps[len(r.steps)-1].state }

// change does something else than to place a part.
func (r *round) change(p *program) {
	now := r.state()
	switch chance := r.IntN(4); {
	case chance == 0 && now != "":
		r.undone = append(r.undone, now)
		r.add(p, step{state: now[:strings.LastIndexByte(now, ' ')]}, func() { p.keys("ctrl+z") })
	case chance == 1 && len(r.undone) > 0:
		last := len(r.undone) - 1
		r.add(p, step{state: r.undone[last]}, func() { p.keys("ctrl+shift+z") })
		r.undone = r.undone[:last]
	case chance == 2 && r.path != "":
		r.add(p, step{state: now, saved: true}, func() { p.keys("ctrl+s") })
	default:
		time.Sleep(time.Duration(r.IntN(400)) * time.Millisecond) // a person rests
	}
}

// add has the program do a step, unless it has been killed.
func (r *round) add(p *program, s step, do func()) {
	select {
	case <-p.ended:
	default:
		r.steps = append(r.steps, s)
		do()
		if r.pings.answered(p) {
			r.steps[len(r.steps)-1].answered = time.Now()
		}
	}
}

// check compares what is left with what was done. It returns what the next
// start has to offer, or nil where all is in the file.
func (r *round) check(t *testing.T, n int) (kept *model.Diagram) {
	t.Helper()
	folder := filepath.Join(r.home, "state", "copperglass")
	found := journal.In(folder)
	if r.path != "" {
		found = journal.Of(r.path, folder)
	}
	in := &model.Diagram{}
	if r.path != "" {
		var err error
		if in, err = file.Load(r.path); err != nil {
			t.Fatalf("round %d: the file is damaged: %v", n, err)
		}
		r.expect(t, n, "the file holds", in, func(s step) bool { return s.saved }, r.killed)
	}
	if len(found) > 1 {
		t.Fatalf("round %d: %d journals are left", n, len(found))
	}
	if len(found) == 1 {
		in, kept = found[0].Drawing, found[0].Drawing
	}
	r.expect(t, n, "there is kept", in, func(step) bool { return true }, r.killed.Add(-mostLost))
	return kept
}

// expect wants a drawing as one of the steps left it, and none before the last
// that was surely done at a time.
func (r *round) expect(t *testing.T, n int, what string, d *model.Diagram, counts func(step) bool, at time.Time) {
	t.Helper()
	may := []string{}
	for _, s := range r.steps {
		if !counts(s) {
			continue
		}
		if !s.answered.IsZero() && s.answered.Before(at) {
			may = nil
		}
		may = append(may, s.state)
	}
	if got := stateOf(d); !slices.Contains(may, got) {
		t.Fatalf("round %d: %s%q, want one of %q; killed at %v after %+v", n, what, got, may, r.killed, r.steps)
	}
	if r.path != "" && (d.Title != "Lamp" || !reflect.DeepEqual(d.Extra, empty().Extra)) {
		t.Fatalf("round %d: %s the title %q and %q", n, what, d.Title, d.Extra)
	}
}

func stateOf(d *model.Diagram) string {
	var b strings.Builder
	for _, p := range d.Parts {
		fmt.Fprintf(&b, " %s@%d,%d", p.Kind, p.At.X, p.At.Y)
	}
	return b.String()
}

// startAgain takes what the next start offers and saves it.
func (r *round) startAgain(t *testing.T, on *screen, kept *model.Diagram) {
	t.Helper()
	p := launch(t, setup{home: r.home, on: on}, r.arguments()...)
	p.usualAnswer()
	p.keys("Return")
	p.untilTitle("• " + r.title())
	if r.path == "" {
		r.path = filepath.Join(r.home, "saved.cglass")
		p.saveAs(r.path)
	} else {
		p.keys("ctrl+s")
	}
	p.until("it is saved", func() bool { return !strings.HasPrefix(p.title(p.window), "•") })
	d, err := file.Load(r.path)
	if err != nil || stateOf(d) != stateOf(kept) || d.Title != kept.Title || !reflect.DeepEqual(d.Extra, kept.Extra) {
		t.Errorf("%v; saved %+v, kept %+v", err, d, kept)
	}
	p.close()
	p.untilEnded()
}

// pings asks programs whether they are there. A program answers when it has
// handled all the events before (Extended Window Manager Hints 1.5,
// _NET_WM_PING).
type pings struct {
	*screen
	answers chan uint32 // the numbers of the pings that were answered
	last    uint32
}

// listen begins to listen to the answers on a screen, on a connection of its
// own.
func listen(t testing.TB, on *screen) *pings {
	t.Helper()
	conn, err := xgb.NewConnDisplay(on.name)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(conn.Close)
	s := &screen{t: t, name: on.name, conn: conn, root: on.root}
	err = xproto.ChangeWindowAttributesChecked(conn, s.root, xproto.CwEventMask, []uint32{xproto.EventMaskSubstructureNotify}).Check()
	if err != nil {
		t.Fatal(err)
	}
	p := &pings{screen: s, answers: make(chan uint32, 16)}
	protocols := s.atom("WM_PROTOCOLS")
	go func() {
		defer close(p.answers)
		for {
			e, err := conn.WaitForEvent()
			if e == nil && err == nil {
				return // closed
			}
			if m, is := e.(xproto.ClientMessageEvent); is && m.Type == protocols {
				p.answers <- m.Data.Data32[1]
			}
		}
	}()
	return p
}

// answered waits until the program has handled all that was sent to it before;
// it returns false where the program ends instead.
func (s *pings) answered(p *program) bool {
	s.last++
	data := []uint32{uint32(s.atom("_NET_WM_PING")), s.last, uint32(p.window), 0, 0}
	e := xproto.ClientMessageEvent{Format: 32, Window: p.window, Type: s.atom("WM_PROTOCOLS"), Data: xproto.ClientMessageDataUnionData32New(data)}
	xproto.SendEvent(s.conn, false, p.window, xproto.EventMaskNoEvent, string(e.Bytes()))
	for {
		select {
		case n := <-s.answers:
			if n == s.last {
				return true
			}
		case <-p.ended:
			return false
		}
	}
}
