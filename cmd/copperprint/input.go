package main

import (
	"bytes"
	"flag"
	"fmt"
	"strings"

	"copperglass/assets"
	"copperglass/model"
	"copperglass/model/file"
)

// open parses the flags of a verb and reads the drawing that is its first operand.
func (p *program) open(fs *flag.FlagSet, args []string, want int) (*model.Diagram, []string, error) {
	operands, err := p.parse(fs, args, want)
	if err != nil {
		return nil, nil, err
	}
	d, err := p.read(operands[0])
	return d, operands, err
}

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
