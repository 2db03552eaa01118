package main

import (
	"fmt"
	"io"

	"copperglass/assets"
)

// examples lists what can be named after example:.
func (p *program) examples(args []string) error {
	fs := p.flags("examples")
	inJSON := fs.Bool("json", false, "JSON for programs, with the titles")
	if _, err := p.parse(fs, args, 0); err != nil {
		return err
	}
	if !*inJSON {
		return p.write("-", listExamples)
	}
	list := []object{}
	for _, name := range assets.Examples() {
		d, err := p.read("example:" + name)
		if err != nil {
			return err
		}
		list = append(list, object{{"name", name}, {"title", d.Title}})
	}
	return p.write("-", func(w io.Writer) error { return writeJSON(w, object{{"examples", list}}) })
}

func listExamples(w io.Writer) error {
	for _, name := range assets.Examples() {
		if _, err := fmt.Fprintln(w, name); err != nil {
			return err
		}
	}
	return nil
}
