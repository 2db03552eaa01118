//go:build linux

package main

import (
	"context"
	"flag"
	"fmt"
	"image"
	"io/fs"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"

	"copperglass/analysis"
	"copperglass/assets"
	"copperglass/model"
	"copperglass/model/file"
	"copperglass/model/journal"
	"copperglass/model/net"
)

var random = flag.Duration("random", 4*time.Second, "how long TestRandomInput drives the window; from a minute on it also wants no pause over 200 ms and no growing memory")

// longestLife is after how long the program is ended and started again with the
// next seed.
const longestLife = 150 * time.Second

// TestRandomInput does with the window whatever comes: clicks, drags, wheel,
// keys and text, by fixed seeds. The program may end only when asked to; then
// whatever it has left must be drawings that are sound.
func TestRandomInput(t *testing.T) {
	t.Parallel()
	on := openScreen(t, windowWidth, windowHeight)
	end := time.Now().Add(*random)
	for seed := uint64(0); time.Now().Before(end); seed++ {
		m := &monkey{Rand: rand.New(rand.NewPCG(80, seed)), seed: seed, strict: *random >= time.Minute}
		m.live(t, on, min(time.Until(end), longestLife))
		if t.Failed() {
			return
		}
	}
}

// monkey is one life of the program in the hands of chance.
type monkey struct {
	*rand.Rand
	seed   uint64
	strict bool // also about time and memory
	log    []string
}

func (m *monkey) live(t *testing.T, on *screen, long time.Duration) {
	t.Helper()
	home := t.TempDir()
	path := m.begin(t, home)
	p := launch(t, setup{home: home, on: on, pauses: filepath.Join(home, "pauses")}, path)
	began := time.Now()
	if err := os.WriteFile(p.pauses, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	memory := m.play(p, began.Add(long))
	m.end(t, p)
	m.checkLeft(t, home)
	longest := m.checkPauses(t, readPauses(t, p.pauses), began)
	t.Logf("seed %d: %d things done in %v, longest pause %v, memory %v MiB", m.seed, len(m.log), time.Since(began).Round(time.Second), longest, memory)
	m.checkMemory(t, memory)
	m.keepLog(t)
}

// checkPauses wants no pause that a person feels and that the program itself has
// filled with work. What a busy machine or the server of the screen adds is not
// the program's, nor is the input that has piled up while the main thread waited
// for a processor. It returns the longest pause of all.
func (m *monkey) checkPauses(t *testing.T, pauses []pause, began time.Time) (longest time.Duration) {
	t.Helper()
	for _, a := range pauses {
		longest = max(longest, a.Long)
		if a.Long > tooLong || m.strict && min(a.Long, a.Work) > slow && a.Wait < a.Work {
			t.Errorf("seed %d: after %v no answer for %v, in which the program worked for %v and waited for a processor for %v:\n%s",
				m.seed, a.Began.Sub(began), a.Long, a.Work, a.Wait, a.Stack)
		}
	}
	return longest
}

// begin writes the drawing with which a life begins.
func (m *monkey) begin(t *testing.T, home string) string {
	t.Helper()
	names := assets.Examples()
	text, err := assets.Example(names[m.seed%uint64(len(names))])
	if err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(home, "drawing.cglass")
	if err := os.WriteFile(path, text, 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

// measured is how often the memory is looked at.
const measured = 15 * time.Second

// play does random things until a time, or until the program has been closed. It
// returns the memory that the program has held, in MiB.
func (m *monkey) play(p *program, until time.Time) (memory []int) {
	p.t.Helper()
	for next := time.Now(); time.Now().Before(until); {
		var batch []string
		for range 12 {
			did := m.something()
			m.log = append(m.log, strings.Join(did, " "))
			batch = append(append(batch, did...), "sleep", "0.02")
		}
		p.xdotool(batch...)
		if gone(p) {
			return memory
		}
		if time.Now().After(next) {
			memory, next = append(memory, resident(p)), next.Add(measured)
		}
	}
	return memory
}

func gone(p *program) bool {
	select {
	case <-p.ended:
		return true
	default:
		return false
	}
}

// something is one thing to do, as xdotool takes it.
func (m *monkey) something() []string {
	switch n := m.IntN(100); {
	case n < 30:
		return append(m.at(), "click", m.one("1", "1", "1", "1", "3", "2"))
	case n < 50:
		return m.drag()
	case n < 58:
		return append(m.at(), "click", "--repeat", strconv.Itoa(1+m.IntN(4)), m.one("4", "5"))
	case n < 62:
		return append(m.at(), "click", "--repeat", "2", "--delay", "60", "1")
	case n < 67:
		return []string{"type", "--args", "1", "--delay", "5", m.one("47k", "x12", "2 x LR6", "white", "333", "red red brown", "10n", "9 V", "1e99", "zzz", "R1", "BC547", "guessed")}
	case n < 75:
		return []string{"key", m.one("Escape", "Return")}
	case n < 99 || m.IntN(5) > 0:
		return []string{"key", m.one(strings.Fields(`a b c d e f g h i j k l m n o p q r s t u v w x y z 0 1 2 3 period comma question
			plus minus space Tab shift+Tab Up Down Left Right Up Down Left Right shift+Left shift+Right Home End Delete BackSpace F2
			ctrl+z ctrl+z ctrl+z ctrl+y ctrl+a ctrl+c ctrl+v ctrl+v ctrl+x ctrl+d ctrl+0 ctrl+k ctrl+e ctrl+s ctrl+o ctrl+n ctrl+shift+c`)...)}
	default:
		return []string{"key", m.one("ctrl+shift+n", "ctrl+w", "ctrl+w")}
	}
}

func (m *monkey) one(of ...string) string { return of[m.IntN(len(of))] }

// at goes somewhere, most often on the sheet.
func (m *monkey) at() []string {
	to := image.Pt(m.IntN(windowWidth), m.IntN(windowHeight))
	if m.IntN(3) > 0 {
		to = image.Pt(paletteWidth+m.IntN(windowWidth-paletteWidth-inspectorWidth), 2*barHeight+m.IntN(windowHeight-stripHeight-2*barHeight))
	}
	return []string{"mousemove", strconv.Itoa(to.X), strconv.Itoa(to.Y)}
}

func (m *monkey) drag() []string {
	button := m.one("1", "1", "1", "2", "3")
	did := append(m.at(), "mousedown", button)
	for range 1 + m.IntN(5) {
		did = append(append(did, "sleep", "0.02"), m.at()...)
		if m.IntN(8) == 0 {
			did = append(did, "key", m.one("Escape", "period", "Delete", "ctrl+z", "r"))
		}
	}
	return append(did, "sleep", "0.02", "mouseup", button)
}

// resident is the memory that a program holds, in MiB (proc(5), status).
func resident(p *program) int {
	text, _ := os.ReadFile(fmt.Sprintf("/proc/%d/status", p.cmd.Process.Pid))
	_, after, _ := strings.Cut(string(text), "VmRSS:")
	var kibibytes int
	fmt.Sscan(after, &kibibytes)
	return kibibytes >> 10
}

// checkMemory compares the memory at the end with that when the caches were
// full: the toolkit keeps what it has painted for a minute.
func (m *monkey) checkMemory(t *testing.T, memory []int) {
	t.Helper()
	const full = int(75 * time.Second / measured)
	if m.strict && len(memory) > full+2 && memory[len(memory)-1] > memory[full]+200 {
		t.Errorf("seed %d: the memory grows, in MiB: %v", m.seed, memory)
	}
}

// end ends the program, if it still runs, and wants no word of a fault.
func (m *monkey) end(t *testing.T, p *program) {
	t.Helper()
	p.cmd.Process.Signal(syscall.SIGTERM)
	p.untilOver()
	for line := range strings.Lines(p.messages.String()) {
		if !strings.HasPrefix(line, "copperglass: the unsaved drawing is kept in ") && !tookFocusLate(line) {
			t.Errorf("seed %d: the program says %s", m.seed, p.messages)
			return
		}
	}
	if code := p.cmd.ProcessState.ExitCode(); code != 0 {
		t.Errorf("seed %d: ended with status %d", m.seed, code)
	}
}

// tookFocusLate reports whether the toolkit says that text was still being marked
// by the mouse when its field went away: it then gives the field the keyboard,
// in vain, and tells so in two lines. Nothing is lost by that.
func tookFocusLate(line string) bool {
	return strings.Contains(line, "Fyne error:  Failed to focus object which is not part of the canvas") ||
		strings.Contains(line, "  At: ") && strings.Contains(line, "/internal/driver/common/canvas.go:")
}

// keepLog writes down what was done, for whoever looks into a failure.
func (m *monkey) keepLog(t *testing.T) {
	t.Helper()
	if !t.Failed() {
		return
	}
	path := filepath.Join(t.ArtifactDir(), fmt.Sprintf("seed-%d.txt", m.seed))
	if err := os.WriteFile(path, []byte(strings.Join(m.log, "\n")+"\n"), 0o600); err != nil {
		t.Error(err)
	}
	t.Logf("what was done stands in %s", path)
}

// checkLeft reads all the drawings and journals that a life has left.
func (m *monkey) checkLeft(t *testing.T, home string) {
	t.Helper()
	state := filepath.Join(home, "state", "copperglass")
	found, journals := journal.In(state), []string(nil)
	err := filepath.WalkDir(home, func(name string, e fs.DirEntry, err error) error {
		switch filepath.Ext(name) {
		case ".cglass":
			d, err := file.Load(name)
			if err != nil {
				t.Errorf("seed %d: a file was written that cannot be read: %v", m.seed, err)
				return nil
			}
			m.checkSound(t, name, d)
			found = append(found, journal.Of(name, state)...)
		case ".journal":
			journals = append(journals, name)
		}
		return err
	})
	if err != nil {
		t.Error(err)
	}
	m.checkJournals(t, found, journals)
}

// checkJournals wants to have found what each journal keeps that is still there:
// one that says what its file says has been removed on reading.
func (m *monkey) checkJournals(t *testing.T, found []journal.Orphan, names []string) {
	t.Helper()
	read := map[string]bool{}
	for _, o := range found {
		read[o.File] = true
		m.checkSound(t, o.File, o.Drawing)
	}
	for _, name := range names {
		if !read[name] && fileExists(name) {
			t.Errorf("seed %d: the journal %s cannot be read", m.seed, name)
		}
	}
}

// checkSound wants a drawing that survives its file, has each reference once,
// and can be asked for its nets and its solution.
func (m *monkey) checkSound(t *testing.T, name string, d *model.Diagram) {
	t.Helper()
	var text strings.Builder
	if err := file.Encode(&text, d); err != nil {
		t.Errorf("seed %d: %s cannot be written: %v", m.seed, name, err)
	}
	if _, err := file.Decode(strings.NewReader(text.String())); err != nil {
		t.Errorf("seed %d: %s cannot be read again: %v", m.seed, name, err)
	}
	refs := map[string]bool{}
	for _, p := range d.Parts {
		if p.Ref != "" && refs[p.Ref] {
			t.Errorf("seed %d: %s holds %s twice", m.seed, name, p.Ref)
		}
		refs[p.Ref] = true
	}
	net.Build(d)
	if _, err := analysis.Solve(context.Background(), d, analysis.Options{}); err != nil {
		t.Errorf("seed %d: %s: %v", m.seed, name, err)
	}
}
