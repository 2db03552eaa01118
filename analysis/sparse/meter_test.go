package sparse

import (
	"errors"
	"fmt"
	"testing"
)

// resistorGrid is a grid of resistors, of that many nodes a side, each with one to
// ground.
func resistorGrid(side int) *Matrix {
	p := NewPattern(side * side)
	var values []float64
	set := func(i, j int, v float64) {
		p.Entry(i, j)
		values = append(values, v)
	}
	for i := range side * side {
		set(i, i, 1e-3)
		for _, j := range []int{i + 1, i + side} {
			if j < side*side && (j != i+1 || j%side != 0) {
				set(i, i, 1)
				set(j, j, 1)
				set(i, j, -1)
				set(j, i, -1)
			}
		}
	}
	m := p.Matrix()
	copy(m.Values, values)
	return m
}

// question counts how often it is asked, and answers with an error from the
// last time on.
type question struct{ asked, last int }

var errEnough = errors.New("enough")

func (q *question) ask() error {
	if q.asked++; q.last > 0 && q.asked >= q.last {
		return errEnough
	}
	return nil
}

// As many questions are asked as the operations of elimination demand, and the
// first error ends the work wherever it comes: while ordering, while pivots
// are chosen, while a kernel is compiled or runs.
func TestInterrupted(t *testing.T) {
	t.Parallel()
	m := resistorGrid(70)
	var whole question
	f, err := NewInterruptible(m, whole.ask)
	if err != nil {
		t.Fatal(err)
	}
	ordered := whole.asked
	if err := f.Factor(m, nil); err != nil {
		t.Fatal(err)
	}
	all := whole.asked
	chosen := all - ordered
	if least := f.pivoting.structure().operations() / interval; ordered < 2 || chosen < 2*least || least < 20 {
		t.Fatalf("%d questions while ordering, %d while factoring, which takes %d times the interval", ordered, chosen, least)
	}
	for last := 1; last <= all; last += 1 + all/50 {
		q := question{last: last}
		f, err := NewInterruptible(m, q.ask)
		if err == nil {
			err = f.Factor(m, nil)
		}
		if err != errEnough || q.asked != last {
			t.Errorf("ended with %v at question %d of %d, want %d", err, q.asked, all, last)
		}
	}
}

// Each step of the way asks at least once in so many rows as there are operations
// to a question, also where elimination itself is next to nothing.
func TestEachStepAsks(t *testing.T) {
	t.Parallel()
	const n = 4 * interval
	m := ladder(n)
	var q question
	work := &meter{ask: q.ask, left: interval}
	asks := func(step string, do func()) {
		t.Helper()
		before := q.asked
		if do(); q.asked-before < n/interval-1 {
			t.Errorf("%s asks %d times for %d rows", step, q.asked-before, n)
		}
	}
	var list [][]int
	match := transversal(m, work)
	asks("finding neighbours", func() { list = successors(m, match, work) })
	asks("making them mutual", func() { list = sameBlock(list, make([]int, n), work) })
	asks("taking trees out", func() { peel(list, work) })
	p := newPivoting(m, work)
	asks("choosing pivots", func() {
		if err := p.run(m, nil, defaultShare); err != nil {
			t.Fatal(err)
		}
	})
	var s *structure
	asks("the structure", func() { s = p.structure() })
	asks("its levels", func() { s.byLevel() })
	free := make([]bool, n)
	asks("a program", func() { newProgram(m, free, s) })
	asks("panels", func() { newPanels(m, free, s) })
}

// Factors whose making was interrupted are made from the beginning the next
// time.
func TestGoOnAfterInterruption(t *testing.T) {
	t.Parallel()
	m := resistorGrid(70)
	b, want, got := make([]float64, m.n), make([]float64, m.n), make([]float64, m.n)
	for i := range b {
		b[i] = float64(i%7) - 3
	}
	sound := New(m)
	if err := sound.Factor(m, nil); err != nil {
		t.Fatal(err)
	}
	sound.SolveTo(want, b)
	q := &question{}
	f, err := NewInterruptible(m, q.ask)
	if err != nil {
		t.Fatal(err)
	}
	for _, after := range []int{1, 20, 60} {
		q.last = q.asked + after
		if err := f.Factor(m, nil); err != errEnough {
			t.Fatalf("ended with %v", err)
		}
		q.last = 0
		if err := f.Factor(m, nil); err != nil {
			t.Fatal(err)
		}
		if f.SolveTo(got, b); fmt.Sprint(got) != fmt.Sprint(want) {
			t.Errorf("another solution after an interruption at question %d", after)
		}
	}
}

// A small matrix is factored without a question.
func TestSmallIsNotAsked(t *testing.T) {
	t.Parallel()
	m := ladder(200)
	q := question{last: 1}
	f, err := NewInterruptible(m, q.ask)
	for range 1000 {
		if err == nil {
			err = f.Factor(m, nil)
		}
	}
	if err != nil || q.asked > 0 {
		t.Errorf("asked %d times, %v", q.asked, err)
	}
}
