package main

import (
	"errors"
	"flag"
	"fmt"
	"strconv"
	"strings"

	"copperglass/model"
)

// settings are the --set flags as they are given.
type settings []string

func (s *settings) String() string { return strings.Join(*s, " ") }

// Set adds one.
func (s *settings) Set(text string) error {
	*s = append(*s, text)
	return nil
}

// conditions are the flags that say under what conditions to solve.
type conditions struct {
	mode  string
	set   settings
	state int // number of the stable state, 0 for the first
}

func (c *conditions) flags(fs *flag.FlagSet) {
	fs.StringVar(&c.mode, "mode", "", "`NAME` of the mode; the first one where nothing is said")
	fs.Var(&c.set, "set", "`REF.param=value` put over the drawing: R1.resistance=4k7, drawing.temperature=273; may be repeated")
}

// stateFlag is for what shows one operating point.
func (c *conditions) stateFlag(fs *flag.FlagSet) {
	fs.Func("from-state", "`NUMBER` of the stable state to be in, where the circuit has several; 1 where nothing is said", func(text string) (err error) {
		if c.state, err = strconv.Atoi(text); err != nil || c.state < 1 {
			return errors.New("stable states are numbered from 1")
		}
		return nil
	})
}

// check returns the settings, or says what is wrong with them or the mode.
func (c *conditions) check(d *model.Diagram) (model.Setting, error) {
	if c.mode != "" && d.Mode(c.mode) == nil {
		var names []string
		for _, m := range d.Modes {
			names = append(names, m.Name)
		}
		return nil, misuse("the drawing has no mode %q; %s", c.mode, perhaps(c.mode, names))
	}
	out := model.Setting{}
	for _, text := range c.set {
		if err := setOne(d, out, text); err != nil {
			return nil, misuse("--set %s: %v", text, err)
		}
	}
	return out, nil
}

func setOne(d *model.Diagram, out model.Setting, text string) error {
	target, value, ok := strings.Cut(text, "=")
	ref, name, dotted := strings.Cut(target, ".")
	if !ok || !dotted {
		return fmt.Errorf("write REF.param=value, such as R1.resistance=4k7")
	}
	q, err := describe(d, ref, name)
	if err != nil {
		return err
	}
	v, err := q.Parse(value)
	if err == nil {
		err = q.Check(v)
	}
	if err != nil {
		return err
	}
	out.Set(ref, name, v)
	return nil
}

// describe finds the quantity called name of a part or of the drawing. A pin of
// a chip counts as one.
func describe(d *model.Diagram, ref, name string) (*model.Param, error) {
	if ref == model.Drawing {
		if q := model.DrawingParam(name); q != nil {
			return q, nil
		}
		return nil, fmt.Errorf("the drawing has no quantity %q; it has temperature and reference_temperature", name)
	}
	p := d.Part(ref)
	if p == nil {
		var refs []string
		for _, p := range d.Parts {
			refs = append(refs, p.Ref)
		}
		return nil, fmt.Errorf("there is no part %q; %s", ref, perhaps(ref, refs))
	}
	k := p.LookupKind()
	if q := k.Param(name); q != nil {
		return q, nil
	}
	return pinState(p, k, name)
}

func pinState(p *model.Part, k *model.Kind, name string) (*model.Param, error) {
	var names []string
	if len(k.PinStates) > 0 {
		for _, pin := range p.Pins {
			if pin.Number == name {
				return &model.Param{Name: name, Choices: k.PinStates}, nil
			}
			names = append(names, pin.Number)
		}
	}
	for _, q := range k.Params {
		names = append(names, q.Name)
	}
	return nil, fmt.Errorf("%s, of kind %s, has no quantity %q; %s", p.Ref, k.Name, name, perhaps(name, names))
}
