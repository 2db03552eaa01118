// Command copperprint does without a window what copperglass does with one: it
// solves drawings, tabulates their modes, asks what sets their figures, and draws
// them to PNG and SVG files.
package main

import (
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"slices"
	"strings"

	"copperglass/model"
	"copperglass/model/file"
)

// What the process returns.
const (
	done       = 0
	stopped    = 1 // the circuit has faults that stop the analysis
	misused    = 2 // bad usage
	unreadable = 3 // a file that cannot be read, parsed or written
)

func main() { os.Exit(run(os.Args[1:], os.Stdin, os.Stdout, os.Stderr)) }

// run is the whole program.
func run(args []string, stdin io.Reader, stdout, stderr io.Writer) int {
	p := &program{stdin, stdout, stderr}
	err := p.dispatch(args)
	if err == nil {
		return done
	}
	return p.report(err)
}

// program is where input comes from and output goes to.
type program struct {
	stdin          io.Reader
	stdout, stderr io.Writer
}

// verb is one thing that the program does.
type verb struct {
	name     string
	operands string // in the usage line
	about    string // one line of the list of verbs, and the head of the verb's own help
	run      func(p *program, args []string) error
}

func verbs() []verb {
	return []verb{
		{"solve", "FILE", "find the operating point: volts of the nets, currents and powers of the parts", (*program).solve},
		{"draw", "FILE -o X.png|X.svg", "draw the sheet, with the results on it, to a picture", (*program).draw},
		{"modes", "FILE", "compare the modes: supply current, run time, what each load gets", (*program).modes},
		{"influence", "FILE OF", "rank what sets a quantity: what 1 % more of each parameter does to it", (*program).influence},
		{"sweep", "FILE REF.param FROM TO STEPS --of Q,…", "move a parameter and tabulate or plot quantities", (*program).sweep},
		{"spread", "FILE --of Q,…", "tell how far circuits built to the drawing lie apart, by the tolerances of the parts", (*program).spread},
		{"review", "FILE", "list what is worth knowing: what is overdriven, odd or good to know, with figures and sources", (*program).review},
		{"drain", "FILE", "follow the circuit while its batteries run down: how long, how dim", (*program).drain},
		{"aim", "FILE REF.param Q=VALUE", "find the value that brings a quantity to where it is wanted, and the preferred value next to it", (*program).aim},
		{"whatif", "FILE", "compare the circuit with a variation of it, or list those that are saved in it", (*program).whatIf},
		{"story", "FILE", "tell the steps of the drawing's explanation with their figures", (*program).story},
		{"examples", "", "list the drawings that come with the program", (*program).examples},
		{"help", "[VERB]", "tell what a verb does and takes", (*program).help},
	}
}

// lookup finds a verb by its name.
func lookup(name string) (verb, error) {
	var names []string
	for _, v := range verbs() {
		if v.name == name {
			return v, nil
		}
		names = append(names, v.name)
	}
	return verb{}, misuse("there is no verb %q; %s", name, perhaps(name, names))
}

func (p *program) dispatch(args []string) error {
	if len(args) == 0 {
		p.overview(p.stderr)
		return failure{code: misused}
	}
	switch args[0] {
	case "-h", "-help", "--help":
		return p.help(nil)
	}
	v, err := lookup(args[0])
	if err != nil {
		return err
	}
	return v.run(p, args[1:])
}

// failure ends the program with a code. Where it holds no error, what is wrong
// has been said already.
type failure struct {
	code int
	err  error
	hint string // what to do about it; may be empty
}

func (f failure) Error() string {
	if f.err == nil {
		return "failed"
	}
	return f.err.Error()
}

func misuse(format string, args ...any) failure {
	return failure{code: misused, err: fmt.Errorf(format, args...)}
}

// report tells people what went wrong, one line for each fault, and returns the
// code.
func (p *program) report(err error) int {
	f := failure{code: unreadable, err: err}
	errors.As(err, &f)
	var faults file.Errors
	switch {
	case f.err == nil:
		return f.code
	case errors.As(f.err, &faults):
		head := strings.TrimSuffix(f.err.Error(), faults.Error())
		for _, fault := range faults {
			p.say("error: %s%v", head, fault)
		}
	default:
		p.say("error: %v", f.err)
	}
	if f.hint != "" {
		p.say("hint: %s", f.hint)
	}
	return f.code
}

// say writes one line to standard error.
func (p *program) say(format string, args ...any) {
	fmt.Fprintf(p.stderr, "copperprint: "+format+"\n", args...)
}

// perhaps offers what a wrong word may have meant, or else all words there are.
func perhaps(word string, names []string) string {
	if near := model.Near(word, names); len(near) > 0 {
		return "perhaps " + strings.Join(near, " or ") + " is meant"
	}
	if len(names) == 0 {
		return "there are none"
	}
	return "there are " + strings.Join(names, ", ")
}

// flags starts the set of flags of a verb.
func (p *program) flags(name string) *flag.FlagSet {
	fs := flag.NewFlagSet(name, flag.ContinueOnError)
	fs.SetOutput(io.Discard)
	return fs
}

// parse reads the flags, which may stand before, between and after the
// operands, and returns the operands. Where help was
// asked for and given, it fails with nothing left to say.
func (p *program) parse(fs *flag.FlagSet, args []string, want int) ([]string, error) {
	var operands []string
	for len(args) > 0 {
		switch err := fs.Parse(args); {
		case errors.Is(err, flag.ErrHelp):
			p.usage(p.stdout, fs)
			return nil, failure{code: done}
		case err != nil:
			return nil, failure{misused, fmt.Errorf("%s: %s", fs.Name(), plainFlags(err)), "copperprint help " + fs.Name()}
		}
		rest := fs.Args()
		if ended := len(args) > len(rest) && args[len(args)-len(rest)-1] == "--"; ended || len(rest) == 0 {
			operands = append(operands, rest...)
			break
		}
		operands, args = append(operands, rest[0]), rest[1:]
	}
	return operands, p.checkOperands(fs, operands, want)
}

func (p *program) checkOperands(fs *flag.FlagSet, operands []string, want int) error {
	if len(operands) == want {
		return nil
	}
	problem := "a FILE is missing"
	switch {
	case len(operands) > want:
		problem = fmt.Sprintf("%q is one too many", operands[want])
	case len(operands) > 0:
		v, _ := lookup(fs.Name())
		problem = fmt.Sprintf("it takes %s, and only %d of them are there", v.operands, len(operands))
	}
	return failure{misused, fmt.Errorf("%s: %s", fs.Name(), problem), "copperprint help " + fs.Name()}
}

// plainFlags puts what package flag says into our words.
func plainFlags(err error) string {
	text := err.Error()
	if name, ok := strings.CutPrefix(text, "flag provided but not defined: -"); ok {
		return "there is no flag --" + strings.TrimPrefix(name, "-")
	}
	if name, ok := strings.CutPrefix(text, "flag needs an argument: -"); ok {
		return "--" + strings.TrimPrefix(name, "-") + " needs a value"
	}
	if rest, ok := strings.CutPrefix(text, "invalid value "); ok {
		value, rest, _ := strings.Cut(rest, " for flag -")
		name, why, _ := strings.Cut(rest, ": ")
		if why == "parse error" || why == "value out of range" {
			return "--" + name + ": " + value + " is no number that would do"
		}
		return "--" + name + ": " + value + " will not do: " + why
	}
	return text
}

// help tells about one verb, or about all of them.
func (p *program) help(args []string) error {
	if len(args) == 0 || slices.Contains([]string{"-h", "-help", "--help"}, args[0]) {
		p.overview(p.stdout)
		return nil
	}
	v, err := lookup(args[0])
	if err != nil || v.name == "help" {
		p.overview(p.stdout)
		return err
	}
	return v.run(p, []string{"--help"})
}

func (p *program) overview(w io.Writer) {
	fmt.Fprint(w, "copperprint VERB FILE [flags]\n\n")
	for _, v := range verbs() {
		fmt.Fprintf(w, "  %-10s %s\n", v.name, v.about)
	}
	fmt.Fprint(w, "\nFILE is a drawing (*.cglass), - for standard input, or example:NAME.\n"+
		"copperprint help VERB tells the flags of a verb.\n\n"+
		"Exit status: 0 done, 1 the circuit has faults that stop the analysis, 2 bad usage,\n"+
		"3 a file that cannot be read, parsed or written.\n")
}

// usage tells what a verb does and what its flags are.
func (p *program) usage(w io.Writer, fs *flag.FlagSet) {
	v, err := lookup(fs.Name())
	if err != nil {
		panic("copperprint: " + err.Error())
	}
	fmt.Fprintf(w, "%s\n\n%s.\n", strings.Join(strings.Fields("copperprint "+v.name+" "+v.operands+" [flags]"), " "), sentence(v.about))
	first := "\n"
	fs.VisitAll(func(f *flag.Flag) {
		argument, about := flag.UnquoteUsage(f)
		name := "--" + f.Name
		if len(f.Name) == 1 {
			name = "-" + f.Name
		}
		fmt.Fprintf(w, "%s  %-23s %s\n", first, strings.TrimSpace(name+" "+argument), about)
		first = ""
	})
	if text := furtherHelp(v.name); text != "" {
		fmt.Fprint(w, "\n"+text)
	}
}

// furtherHelp is what stands below the flags of a verb, where these do not tell
// all.
func furtherHelp(verb string) string {
	switch verb {
	case "influence":
		return "OF is one of\n" +
			"  net.NAME.volts          a voltage\n" +
			"  REF.PIN.amps            a current; of one part of a stack REF#N.PIN.amps, as in D1#3.A.amps\n" +
			"  REF.watts               a power; of one part of a stack REF#N.watts\n" +
			"  REF.run_time_hours      how long a battery would last at what it gives now, by the handbook\n" +
			"  REF.lasts               how long it lasts as drain follows it; the strongest values are moved and it is followed again\n"
	case "whatif":
		return "Figures are of one mode. Where the drawing has several and --mode names none, a table below them\n" +
			"compares the supply current in each, and figures above a rating are told of every mode.\n"
	}
	return ""
}

func sentence(s string) string { return strings.ToUpper(s[:1]) + s[1:] }
