package main

import (
	"bytes"
	"fmt"
	"strings"

	"copperglass/assets"
	"copperglass/model"
	"copperglass/model/file"
)

// read returns the drawing that FILE names: a path, - for standard input, or
// example:NAME.
func (p *program) read(name string) (*model.Diagram, error) {
	if name == "-" {
		return decoded("standard input", func() (*model.Diagram, error) { return file.Decode(p.stdin) })
	}
	example, ok := strings.CutPrefix(name, "example:")
	if !ok {
		return file.Load(name)
	}
	text, err := assets.Example(example)
	if err != nil {
		return nil, misuse("%v", err)
	}
	return decoded(name, func() (*model.Diagram, error) { return file.Decode(bytes.NewReader(text)) })
}

func decoded(name string, decode func() (*model.Diagram, error)) (*model.Diagram, error) {
	d, err := decode()
	if err != nil {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	return d, nil
}
