//go:build linux

package main

import (
	"bytes"
	"fmt"
	"image"
	"image/png"
	"io"
	"log"
	"os"
	"os/exec"
	"path/filepath"
	"syscall"
	"testing"
	"time"

	"github.com/jezek/xgb"
	"github.com/jezek/xgb/xproto"

	"copperglass/canvas"
)

// asProgram is the variable that makes the test binary be the program: it does
// not have to be linked a second time.
const asProgram = "COPPERGLASS_TEST_AS_PROGRAM"

func TestMain(m *testing.M) {
	if os.Getenv(asProgram) != "" {
		if path := os.Getenv(pausesTo); path != "" {
			go watchPauses(path)
		}
		main()
	}
	xgb.Logger = log.New(io.Discard, "", 0) // it tells of every screen that needs no password
	os.Exit(m.Run())
}

// The size of the window in the toolkit's units.
const (
	windowWidth  = 1440
	windowHeight = 900
)

// setup says how the program is started. The zero value is the light theme at
// one pixel to the unit, in a home of its own.
type setup struct {
	dark   bool
	scale  int     // pixels to the unit; 0 for 1
	home   string  // for settings and journals; empty for a new one
	on     *screen // nil for a screen of its own
	pauses string  // a file for the pauses of the main loop; empty for none
}

// program is the program on a screen of its own.
type program struct {
	*screen
	setup
	look     canvas.Theme
	cmd      *exec.Cmd
	ended    <-chan struct{}
	messages *bytes.Buffer // its standard error; to be read when it has ended
	window   xproto.Window
}

// launch starts the program and waits until its window is painted.
func launch(t testing.TB, how setup, args ...string) *program {
	t.Helper()
	p := begun(t, how, args...)
	p.until("there is a window", func() (there bool) {
		p.window, there = p.findWindow("Copperglass")
		return there
	})
	p.until("the window is painted", func() bool { return painted(p.shot()) })
	return p
}

// begun starts the program and does not wait.
func begun(t testing.TB, how setup, args ...string) *program {
	t.Helper()
	how.scale = max(how.scale, 1)
	if how.home == "" {
		how.home = t.TempDir()
	}
	if how.on == nil {
		how.on = openScreen(t, windowWidth*how.scale, windowHeight*how.scale)
	}
	p := &program{screen: how.on, setup: how, messages: &bytes.Buffer{}}
	theme := "light"
	p.look = canvas.LightTheme()
	if how.dark {
		theme, p.look = "dark", canvas.DarkTheme()
	}
	p.cmd = exec.Command(os.Args[0], append([]string{"--theme", theme}, args...)...)
	p.cmd.Env = p.environment()
	p.cmd.Dir = how.home // a name without a folder that somebody types is there
	p.cmd.Stderr = p.messages
	p.ended = start(t, p.cmd)
	return p
}

// environment is all that the program knows of the machine.
func (p *program) environment() []string {
	return []string{
		asProgram + "=1", "DISPLAY=" + p.name, "LIBGL_ALWAYS_SOFTWARE=1", "LANGUAGE=en", "PATH=" + os.Getenv("PATH"),
		"HOME=" + p.home, "XDG_CONFIG_HOME=" + filepath.Join(p.home, "config"), "XDG_STATE_HOME=" + filepath.Join(p.home, "state"),
		fmt.Sprint("FYNE_SCALE=", p.scale), pausesTo + "=" + p.pauses,
	}
}

// until waits for a condition; what completes the sentence "waited until".
func (p *program) until(what string, met func() bool) {
	p.t.Helper()
	for end := time.Now().Add(guard); !met(); time.Sleep(20 * time.Millisecond) {
		select {
		case <-p.ended:
			p.t.Fatalf("the program ended before %s: %s", what, p.messages)
		default:
		}
		if time.Now().After(end) {
			p.t.Fatalf("waited in vain until %s; title %q, the screen is in %s", what, p.title(p.window), p.keep())
		}
	}
}

// keep writes the screen to a file for whoever looks into a failure.
func (p *program) keep() string {
	path := filepath.Join(p.t.ArtifactDir(), "screen.png")
	if img := p.shot(); img != nil {
		p.write(path, img)
	}
	return path
}

func (p *program) write(path string, img image.Image) {
	p.t.Helper()
	f, err := os.Create(path)
	if err != nil {
		p.t.Fatal(err)
	}
	defer f.Close()
	if err := png.Encode(f, img); err != nil {
		p.t.Fatal(err)
	}
}

// untilTitle waits for a title of the window.
func (p *program) untilTitle(title string) {
	p.t.Helper()
	p.until(fmt.Sprintf("the title is %q", title), func() bool { return p.title(p.window) == title })
}

// untilEnded waits for the end of the program and wants it to be a quiet one.
func (p *program) untilEnded() {
	p.t.Helper()
	p.untilOver()
	if code := p.cmd.ProcessState.ExitCode(); code != 0 || p.messages.Len() > 0 {
		p.t.Errorf("ended with status %d and says %q", code, p.messages)
	}
}

// untilOver waits for the end of the program.
func (p *program) untilOver() {
	p.t.Helper()
	select {
	case <-p.ended:
	case <-time.After(guard):
		path := p.keep()
		p.cmd.Process.Signal(syscall.SIGABRT) // it then tells what each goroutine does
		<-p.ended
		p.t.Fatalf("the program does not end; the screen is in %s: %s", path, p.messages)
	}
}

// close closes the window as a window manager does.
func (p *program) close() { p.askToClose(p.window) }

// shot returns what the window shows.
func (p *program) shot() *image.RGBA { return p.picture(p.window) }

// calm is how many times in a row the window has to look the same: a program
// that is busy looks so for a moment as well.
const calm = 3

// untilCalm waits until the window no longer changes, but for a cursor that
// blinks, and returns what it shows.
func (p *program) untilCalm() *image.RGBA {
	p.t.Helper()
	last, same := p.shot(), 0
	p.until("the window is calm", func() bool {
		time.Sleep(100 * time.Millisecond) // several frames
		before := last
		last = p.shot()
		if same++; differing(before, last) > p.cursor() {
			same = 0
		}
		return same == calm
	})
	return last
}

// cursor is more pixels than a cursor has.
func (p *program) cursor() int { return 60 * p.scale * p.scale }

// untilChanged waits until the window shows something else than it did.
func (p *program) untilChanged(from *image.RGBA) {
	p.t.Helper()
	p.until("the window changes", func() bool { return differing(from, p.shot()) > p.cursor() })
}
