package main

import (
	"context"
	"fmt"
	"io"
	"strings"

	"copperglass/analysis/story"
)

// story tells the steps of the drawing's explanation with their figures.
func (p *program) story(args []string) error {
	fs := p.flags("story")
	var out output
	out.flags(fs, "text for people")
	d, _, err := p.open(fs, args, 1)
	if err != nil {
		return err
	}
	pages, err := story.Tell(context.Background(), d)
	if err != nil {
		return failure{code: unreadable, err: err}
	}
	solved := true
	for i, page := range pages {
		solved = solved && page.Result.Solved
		for _, name := range page.Unknown {
			p.say("note: step %d: nothing gives %s", i+1, name)
		}
	}
	return p.publish(out, faultyOrNot(solved), func(w io.Writer) error {
		if out.inJSON {
			return writeJSON(w, object{{"steps", storyJSON(pages)}})
		}
		return writeStory(w, pages)
	})
}

func storyJSON(pages []story.Page) []object {
	steps := []object{}
	for _, p := range pages {
		steps = append(steps, object{{"title", p.Title}, {"mode", orNull(p.Result.Mode)}, {"lit", append([]string{}, p.Lit...)}, {"text", p.Text}})
	}
	return steps
}

func writeStory(w io.Writer, pages []story.Page) error {
	var b strings.Builder
	if len(pages) == 0 {
		b.WriteString("The drawing has no story.\n")
	}
	for i, p := range pages {
		fmt.Fprintf(&b, "%d  %s\n   %s\n", i+1, p.Title, p.Text)
	}
	_, err := io.WriteString(w, b.String())
	return err
}
