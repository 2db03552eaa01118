package main

import (
	"context"
	"fmt"
	"io"
	"slices"
	"strings"

	"copperglass/analysis/review"
)

// review prints what is worth knowing about the circuit.
func (p *program) review(args []string) error {
	var c conditions
	fs := p.flags("review")
	c.flags(fs)
	fs.Lookup("mode").Usage = "`NAME` of the only mode to look at; all where nothing is said"
	var out output
	out.flags(fs, "sentences for people")
	d, _, err := p.open(fs, args, 1)
	if err != nil {
		return err
	}
	set, err := c.check(d)
	if err != nil {
		return err
	}
	r, err := review.Run(context.Background(), d, review.Options{Mode: c.mode, Set: set})
	if err != nil {
		return err
	}
	for _, f := range r.Faults {
		p.say("error: %s", f.Text)
	}
	return p.publish(out, faultyOrNot(len(r.Faults) == 0), func(w io.Writer) error {
		if out.inJSON {
			return writeJSON(w, reviewJSON(r))
		}
		return writeReview(w, r)
	})
}

func reviewJSON(r *review.Review) object {
	findings := []object{}
	for _, f := range r.Findings {
		figures := object{}
		for _, g := range f.Figures {
			figures.put(g.Name, number(g.Value))
		}
		o := object{{"rule", f.Rule}, {"severity", string(f.Severity)}, {"parts", f.Parts}, {"mode", orNull(f.Mode)}, {"modes", append([]string{}, f.Modes()...)},
			{"text", f.Text}, {"figures", figures}, {"source", f.Source}}
		if f.Muted != "" {
			o.put("muted", f.Muted)
		}
		findings = append(findings, o)
	}
	notes := []object{}
	for _, n := range r.Notes {
		notes = append(notes, object{{"mode", orNull(n.Mode)}, {"text", n.Text}})
	}
	faults := []string{}
	for _, f := range r.Faults {
		faults = append(faults, f.Text)
	}
	return object{{"findings", findings}, {"cells", orNull(r.Cells)}, {"notes", notes}, {"faults", faults}}
}

// writeReview writes the findings as sentences, the gravest first.
func writeReview(w io.Writer, r *review.Review) error {
	var b strings.Builder
	writeNotes(&b, r.Notes)
	if len(r.Findings) == 0 {
		b.WriteString("Nothing stands out.\n")
	}
	if r.Cells != "" && len(r.Findings) > 0 {
		fmt.Fprintf(&b, "With %s:\n\n", r.Cells)
	}
	for i, f := range r.Findings {
		fmt.Fprintf(&b, "%2d  %s%s: %s\n    %s; %s\n", i+1, f.Severity, inModes(f), f.Text, f.Rule, f.Source)
		if f.Muted != "" {
			fmt.Fprintf(&b, "    muted: %s\n", f.Muted)
		}
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// writeNotes writes what to know before believing the findings.
func writeNotes(b *strings.Builder, notes []review.Note) {
	for _, n := range notes {
		where := ""
		if n.Mode != "" {
			where = " in mode " + n.Mode
		}
		fmt.Fprintf(b, "Note%s: %s.\n\n", where, n.Text)
	}
}

// inModes says in which mode a finding shows most, and in which it holds, too.
func inModes(f review.Finding) string {
	if f.Mode == "" {
		return ""
	}
	text := " in mode " + f.Mode
	if others := slices.DeleteFunc(f.Modes(), func(mode string) bool { return mode == f.Mode }); len(others) > 0 {
		text += ", also in " + strings.Join(others, " and ")
	}
	return text
}
