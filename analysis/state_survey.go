package analysis

import "context"

// Survey looks for the other stable states of the circuit as it is now, some
// tenths of a second at most, and numbers them. The operating point stays. Result
// and Keep have them until the next move; where the transistors cannot hold each
// other there are none, at once. The error is the context's, and what is known
// then stays as it was.
func (t *Tracker) Survey(ctx context.Context) error {
	if !t.MayHaveOthers() {
		return nil
	}
	r := t.result
	s := newSurvey(ctx, t.diagram, r)
	if s == nil {
		return ctx.Err()
	}
	all := s.search(r)
	for _, other := range all[1:] {
		s.noteSwing(other)
	}
	if err := ctx.Err(); err != nil {
		return err
	}
	enumerate(all, s.stopped)
	t.kept = nil
	return nil
}

// MayHaveOthers reports whether there might be other stable states, and none has
// been found.
func (t *Tracker) MayHaveOthers() bool {
	return t.result.Solved && t.result.latches && t.result.Number == 0
}
