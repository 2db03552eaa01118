//go:build linux

package main

import (
	"bufio"
	"fmt"
	"image"
	"os"
	"os/exec"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/jezek/xgb"
	"github.com/jezek/xgb/xproto"
)

// guard is how long anything may take before a test gives up. It only keeps a
// test that fails from hanging and says nothing of how fast the program is.
const guard = 2 * time.Minute

// screen is an X server of its own: tests see neither one another nor the
// desktop of whoever runs them.
type screen struct {
	t    testing.TB
	name string // as the variable DISPLAY has it
	conn *xgb.Conn
	root xproto.Window
}

func openScreen(t testing.TB, width, height int) *screen {
	t.Helper()
	s := &screen{t: t, name: startServer(t, width, height)}
	conn, err := xgb.NewConnDisplay(s.name)
	if err != nil {
		t.Fatalf("the X server %s does not answer: %v", s.name, err)
	}
	t.Cleanup(conn.Close)
	s.conn, s.root = conn, xproto.Setup(conn).DefaultScreen(conn).Root
	return s
}

// startServer starts a server on a free display and returns the display's name.
func startServer(t testing.TB, width, height int) string {
	t.Helper()
	read, write, err := os.Pipe()
	if err != nil {
		t.Fatal(err)
	}
	defer read.Close()
	cmd := exec.Command(need(t, "Xvfb"), "-displayfd", "3", "-nolisten", "tcp", "-screen", "0", fmt.Sprintf("%dx%dx24", width, height))
	cmd.ExtraFiles = []*os.File{write}
	start(t, cmd)
	write.Close()
	read.SetReadDeadline(time.Now().Add(guard))
	number, err := bufio.NewReader(read).ReadString('\n')
	if err != nil {
		t.Fatalf("Xvfb names no display: %v", err)
	}
	return ":" + strings.TrimSpace(number)
}

// need finds a tool that the tests on a screen use.
func need(t testing.TB, tool string) string {
	t.Helper()
	path, err := exec.LookPath(tool)
	if err != nil {
		t.Fatalf("%s is not installed; run the tests with make test, which installs it", tool)
	}
	return path
}

// start runs a command until the test is over at the latest, even if the test
// is killed. The channel is closed when the command has ended.
func start(t testing.TB, cmd *exec.Cmd) <-chan struct{} {
	t.Helper()
	cmd.SysProcAttr = &syscall.SysProcAttr{Pdeathsig: syscall.SIGKILL}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	ended := make(chan struct{})
	go func() {
		cmd.Wait()
		close(ended)
	}()
	t.Cleanup(func() {
		cmd.Process.Kill()
		<-ended
	})
	return ended
}

// findWindow returns a window whose title contains a text, if it can be seen.
func (s *screen) findWindow(title string) (xproto.Window, bool) {
	tree, err := xproto.QueryTree(s.conn, s.root).Reply()
	if err != nil {
		return 0, false
	}
	for _, w := range tree.Children {
		a, err := xproto.GetWindowAttributes(s.conn, w).Reply()
		if err == nil && a.MapState == xproto.MapStateViewable && strings.Contains(s.title(w), title) {
			return w, true
		}
	}
	return 0, false
}

// title returns the title of a window (Extended Window Manager Hints 1.5,
// _NET_WM_NAME).
func (s *screen) title(w xproto.Window) string {
	p, err := xproto.GetProperty(s.conn, false, w, s.atom("_NET_WM_NAME"), s.atom("UTF8_STRING"), 0, 1<<16).Reply()
	if err != nil {
		return ""
	}
	return string(p.Value)
}

func (s *screen) atom(name string) xproto.Atom {
	a, err := xproto.InternAtom(s.conn, false, uint16(len(name)), name).Reply()
	if err != nil {
		s.t.Fatalf("the X server has ended: %v", err)
	}
	return a.Atom
}

// askToClose sends what a window manager sends when somebody clicks on the
// window's cross (Inter-Client Communication Conventions Manual 2.0, 4.2.8.1).
func (s *screen) askToClose(w xproto.Window) {
	data := []uint32{uint32(s.atom("WM_DELETE_WINDOW")), xproto.TimeCurrentTime, 0, 0, 0}
	e := xproto.ClientMessageEvent{Format: 32, Window: w, Type: s.atom("WM_PROTOCOLS"), Data: xproto.ClientMessageDataUnionData32New(data)}
	if err := xproto.SendEventChecked(s.conn, false, w, xproto.EventMaskNoEvent, string(e.Bytes())).Check(); err != nil {
		s.t.Fatalf("the window cannot be closed: %v", err)
	}
}

// picture returns what a window shows, nil where it is gone.
func (s *screen) picture(w xproto.Window) *image.RGBA {
	g, err := xproto.GetGeometry(s.conn, xproto.Drawable(w)).Reply()
	if err != nil {
		return nil
	}
	shot, err := xproto.GetImage(s.conn, xproto.ImageFormatZPixmap, xproto.Drawable(w), 0, 0, g.Width, g.Height, ^uint32(0)).Reply()
	if err != nil {
		return nil
	}
	return fromServer(shot.Data, int(g.Width), int(g.Height))
}

// fromServer turns the server's pixels, four bytes each in the order blue,
// green, red, into an image.
func fromServer(data []byte, width, height int) *image.RGBA {
	img := image.NewRGBA(image.Rect(0, 0, width, height))
	for i := 0; i+3 < len(data) && i < len(img.Pix); i += 4 {
		img.Pix[i], img.Pix[i+1], img.Pix[i+2], img.Pix[i+3] = data[i+2], data[i+1], data[i], 255
	}
	return img
}
