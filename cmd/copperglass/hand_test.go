//go:build linux

package main

import (
	"image"
	"os/exec"
	"strconv"
	"time"
)

// xdotool moves the mouse and types. What is sent in a row arrives in order,
// so nothing has to be waited for in between.
func (p *program) xdotool(args ...string) {
	p.t.Helper()
	cmd := exec.Command(need(p.t, "xdotool"), args...)
	cmd.Env = []string{"DISPLAY=" + p.name}
	if out, err := cmd.CombinedOutput(); err != nil {
		p.t.Fatalf("xdotool %v: %v: %s", args, err, out)
	}
}

// Places are in the toolkit's units, from the top left corner of the window.

func (p *program) move(to image.Point) {
	p.t.Helper()
	p.xdotool("mousemove", strconv.Itoa(to.X*p.scale), strconv.Itoa(to.Y*p.scale))
}

// The buttons of a mouse.
const (
	left  = "1"
	right = "3"
	up    = "4" // of the wheel
	down  = "5"
)

func (p *program) click(at image.Point) { p.press(at, left) }

func (p *program) press(at image.Point, button string) {
	p.t.Helper()
	p.move(at)
	p.xdotool("click", button)
}

// hold presses at one place, goes to another and leaves the button down. The
// toolkit looks at the mouse sixty times a second, so a hand takes its time.
func (p *program) hold(from, to image.Point) {
	p.t.Helper()
	p.move(from)
	p.xdotool("mousedown", left)
	const steps = 4
	for i := 1; i <= steps; i++ {
		time.Sleep(50 * time.Millisecond)
		p.move(from.Add(to.Sub(from).Mul(i).Div(steps)))
	}
	time.Sleep(50 * time.Millisecond)
}

func (p *program) drag(from, to image.Point) {
	p.t.Helper()
	p.hold(from, to)
	p.xdotool("mouseup", left)
}

// keys presses keys one after another, each as in "ctrl+s".
func (p *program) keys(keys ...string) {
	p.t.Helper()
	p.xdotool(append([]string{"key"}, keys...)...)
}

func (p *program) typeText(text string) {
	p.t.Helper()
	p.xdotool("type", "--delay", "20", text)
}
