// Copperglass draws traced circuits and shows on the drawing what they do.
package main

import (
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"os/signal"
	"runtime"
	"runtime/debug"
	"strconv"
	"strings"
	"sync"
	"syscall"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/app"

	"copperglass/assets"
	"copperglass/canvas/ui"
	_ "copperglass/cmd/copperglass/locale" // before the toolkit
)

// The exit statuses, beside 0.
const (
	badUsage  = 2
	noDisplay = 3
	broken    = 4 // by a fault of the program
)

// What whoever starts the program without a drawing sees.
const (
	firstExample = "lantern"
	firstMode    = "White"
)

const usage = `usage: copperglass [flags] [FILE...]

Opens each FILE, a drawing (*.cglass), in a window of its own, or the example
"lantern" where none is given.

flags:
`

func main() { os.Exit(run(os.Args[1:], os.Stderr)) }

// request is what the command line asks for.
type request struct {
	options ui.Options
	files   []string
	example string
	mode    string
	parts   []string // to select
	empty   bool
	version bool // is all that is asked for
}

func run(args []string, messages io.Writer) (status int) {
	r, err := parse(args, messages)
	switch {
	case errors.Is(err, flag.ErrHelp):
		return 0
	case err != nil:
		fmt.Fprintln(messages, "copperglass:", err)
		return badUsage
	}
	if r.version {
		fmt.Fprintln(messages, "copperglass", version())
		return 0
	}
	if !displayed() {
		fmt.Fprintln(messages, "copperglass: there is no display to open a window on; copperprint does the same without one")
		return noDisplay
	}
	return show(r, messages)
}

func parse(args []string, messages io.Writer) (request, error) {
	var r request
	var size, parts string
	flags := flag.NewFlagSet("copperglass", flag.ContinueOnError)
	flags.SetOutput(io.Discard)
	flags.StringVar(&r.options.Theme, "theme", "", "`light or dark`, for this run")
	flags.StringVar(&r.example, "example", "", "open the example of that `name`: "+strings.Join(assets.Examples(), ", "))
	flags.BoolVar(&r.empty, "empty", false, "begin with an empty sheet")
	flags.BoolVar(&r.version, "version", false, "tell the version")
	flags.StringVar(&size, "size", "", "`size` of the window, as 1440x900")
	flags.StringVar(&r.mode, "mode", "", "choose the mode of that `name`")
	flags.StringVar(&parts, "select", "", "select these `parts`, as Q1,R4")
	if err := flags.Parse(args); err != nil {
		if errors.Is(err, flag.ErrHelp) {
			fmt.Fprint(messages, usage)
			flags.SetOutput(messages)
			flags.PrintDefaults()
			return r, err
		}
		return r, fmt.Errorf("%w; see copperglass --help", err)
	}
	if r.options.Theme != "" && r.options.Theme != ui.Light && r.options.Theme != ui.Dark {
		return r, fmt.Errorf("--theme %q is neither light nor dark", r.options.Theme)
	}
	if parts != "" {
		r.parts = strings.Split(parts, ",")
	}
	r.files = flags.Args()
	return r, r.setSize(size)
}

func (r *request) setSize(size string) error {
	if size == "" {
		return nil
	}
	w, h, _ := strings.Cut(size, "x")
	x, errX := strconv.Atoi(w)
	y, errY := strconv.Atoi(h)
	if errX != nil || errY != nil || x < 200 || y < 200 || x > 20000 || y > 20000 {
		return fmt.Errorf("--size %q is no size of a window; write one as 1440x900", size)
	}
	r.options.Size = fyne.NewSize(float32(x), float32(y))
	return nil
}

// version is that which Go has seen in git when the program was built.
func version() string {
	if info, ok := debug.ReadBuildInfo(); ok {
		return info.Main.Version
	}
	return "unknown"
}

// displayed reports whether there is a screen; elsewhere than on Linux there
// always is.
func displayed() bool {
	return runtime.GOOS != "linux" || os.Getenv("DISPLAY") != "" || os.Getenv("WAYLAND_DISPLAY") != ""
}

// show opens the windows and stays until the last one is closed. Whatever the
// toolkit calls, it calls from within Run, so a fault anywhere in a window ends
// up here, where the drawings can still be kept.
func show(r request, messages io.Writer) (status int) {
	var w *ui.Window
	defer func() {
		if fault := recover(); fault != nil {
			status = explain(w, fault, messages)
		}
	}()
	// The toolkit's own end sends its last call to a queue that it is just
	// closing, and now and then waits for that call for ever.
	r.options.End = func() { os.Exit(0) }
	// Without this the class of a window would be its first title, and no desktop
	// would know whose window it is (Inter-Client Communication Conventions Manual
	// 2.0, 4.1.2.5, WM_CLASS).
	os.Setenv("RESOURCE_NAME", "copperglass")
	a := app.NewWithID("") // no name: the toolkit keeps nothing for the program
	a.SetIcon(fyne.NewStaticResource("icon.svg", assets.Icon()))
	w = ui.New(a, r.options)
	end := sync.OnceFunc(func() {
		tellKept(w, messages)
		os.Exit(0)
	})
	go endBySignal(end)
	begin(w, r)
	w.Run()
	end() // the toolkit has caught the signal as well
	return 0
}

// endBySignal ends the program when the system says so, without the toolkit,
// whose end may hang.
func endBySignal(end func()) {
	signals := make(chan os.Signal, 1)
	signal.Notify(signals, syscall.SIGTERM, syscall.SIGINT, syscall.SIGHUP)
	<-signals
	end()
}

// tellKept says where what is not saved is kept.
func tellKept(w *ui.Window, messages io.Writer) {
	for _, said := range w.Rescue() {
		fmt.Fprintln(messages, "copperglass:", said)
	}
}

// explain says what went wrong and keeps the drawings.
func explain(w *ui.Window, fault any, messages io.Writer) int {
	if w == nil {
		fmt.Fprintf(messages, "copperglass: no window can be opened here (%v); copperprint does the same without one\n", fault)
		return noDisplay
	}
	fmt.Fprintf(messages, "copperglass: ended by a fault of the program, please report it: %v\n", fault)
	tellKept(w, messages)
	stack := make([]byte, 64<<10)
	messages.Write(stack[:runtime.Stack(stack, false)])
	return broken
}

// begin opens what is asked for.
func begin(w *ui.Window, r request) {
	switch {
	case len(r.files) > 0:
		w.OpenFileThen(r.files[0], func() { choose(w, r) })
		for _, path := range r.files[1:] {
			w.OpenBeside(path)
		}
		return
	case r.example != "":
		w.OpenExample(r.example)
	case !r.empty:
		w.OpenExample(firstExample)
		w.SetMode(firstMode)
	}
	choose(w, r)
}

// choose chooses in the drawing what is asked for.
func choose(w *ui.Window, r request) {
	if r.mode != "" {
		w.SetMode(r.mode)
	}
	if r.parts != nil {
		w.Select(r.parts...)
	}
}
