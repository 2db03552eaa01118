package main

import (
	"bytes"
	"encoding/json"
	"flag"
	"io"
	"math"
	"path/filepath"
	"strconv"
	"strings"

	"copperglass/model/file"
)

// output is where a verb writes to, and whether for programs.
type output struct {
	file   string
	inJSON bool
}

func (o *output) flags(fs *flag.FlagSet, instead string) {
	fs.StringVar(&o.file, "o", "", "`FILE` to write instead of standard output")
	fs.BoolVar(&o.inJSON, "json", false, "JSON for programs instead of "+instead)
}

// ending is that of the file's name.
func (o *output) ending() string { return strings.ToLower(filepath.Ext(o.file)) }

// checkEnding refuses to write what the name of the file does not say, for a verb
// that draws curves or writes figures in text of that ending.
func (o *output) checkEnding(verb, text string) error {
	switch o.ending() {
	case "", ".png", ".svg", ".txt", text:
		return nil
	case ".json":
		o.inJSON = true
		return nil
	}
	return misuse("%s: %s cannot be written: -o takes .png and .svg for a plot, %s and .json for the figures", verb, o.file, text)
}

// write puts what fill writes into the file called name, all of it or nothing;
// - and the empty name are standard output.
func (p *program) write(name string, fill func(io.Writer) error) error {
	if name != "" && name != "-" {
		return file.Replace(name, fill)
	}
	var b bytes.Buffer
	if err := fill(&b); err != nil {
		return err
	}
	_, err := p.stdout.Write(b.Bytes())
	return err
}

// object is a JSON object whose keys stay in their order.
type object []member

type member struct {
	key   string
	value any
}

func (o *object) put(key string, value any) { *o = append(*o, member{key, value}) }

// MarshalJSON writes the members in order.
func (o object) MarshalJSON() ([]byte, error) {
	b := []byte{'{'}
	for i, m := range o {
		key, err := json.Marshal(m.key)
		if err != nil {
			return nil, err
		}
		value, err := json.Marshal(m.value)
		if err != nil {
			return nil, err
		}
		if i > 0 {
			b = append(b, ',')
		}
		b = append(append(append(b, key...), ':'), value...)
	}
	return append(b, '}'), nil
}

// number is a result; what is not finite is written as null.
type number float64

// MarshalJSON writes all digits that tell the number from its neighbours.
func (x number) MarshalJSON() ([]byte, error) {
	if math.IsNaN(float64(x)) || math.IsInf(float64(x), 0) {
		return []byte("null"), nil
	}
	return json.Marshal(float64(x))
}

// orNull is s, or null where it is empty.
func orNull(s string) any {
	if s == "" {
		return nil
	}
	return s
}

func writeJSON(w io.Writer, v any) error {
	e := json.NewEncoder(w)
	e.SetIndent("", "  ")
	e.SetEscapeHTML(false)
	return e.Encode(v)
}

func itoa(n int) string { return strconv.Itoa(n) }
