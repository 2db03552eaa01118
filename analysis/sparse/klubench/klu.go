//go:build klu

package main

/*
#cgo CFLAGS: -O2 -I/usr/include/suitesparse
#cgo LDFLAGS: -lklu
#include <stdlib.h>
#include <string.h>
#include <time.h>
#include <klu.h>

typedef struct {
	klu_common common;
	klu_symbolic *symbolic;
	klu_numeric *numeric;
	int n, *start, *row;
	double *value;
} solver;

static solver *solver_new(int n, int *start, int *row, double *value) {
	solver *s = calloc(1, sizeof *s);
	klu_defaults(&s->common);
	s->n = n, s->start = start, s->row = row, s->value = value;
	s->symbolic = klu_analyze(n, start, row, &s->common);
	s->numeric = klu_factor(start, row, value, s->symbolic, &s->common);
	return s;
}

static void solver_free(solver *s) {
	klu_free_numeric(&s->numeric, &s->common);
	klu_free_symbolic(&s->symbolic, &s->common);
	free(s);
}

// solver_run makes the factors again and solves for b, a number of times, and
// returns the nanoseconds that took; negative if KLU reports a failure. The
// clock is read here so that the way from Go to C costs nothing.
static double solver_run(solver *s, int times, const double *b, double *x) {
	struct timespec from, to;
	clock_gettime(CLOCK_MONOTONIC, &from);
	for (int i = 0; i < times; i++) {
		if (!klu_refactor(s->start, s->row, s->value, s->symbolic, s->numeric, &s->common)) return -1;
		memcpy(x, b, s->n * sizeof *x);
		if (!klu_solve(s->symbolic, s->numeric, s->n, 1, x, &s->common)) return -1;
	}
	clock_gettime(CLOCK_MONOTONIC, &to);
	return (to.tv_sec - from.tv_sec) * 1e9 + (to.tv_nsec - from.tv_nsec);
}
*/
import "C"

import (
	"errors"
	"unsafe"
)

// klu solves with KLU (T. A. Davis and E. Palamadai Natarajan, Algorithm 907:
// KLU, a direct sparse solver for circuit simulation problems, ACM Trans. Math.
// Software 37, 2010) at its default settings.
type klu struct {
	solver     *C.solver
	start, row *C.int
	value      *C.double
	b, x       *C.double
	n          int
}

func newKLU(w network, b []float64) (*klu, error) {
	start, row, value := w.columns()
	k := &klu{n: w.n, start: copyInts(start), row: copyInts(row), value: copyFloats(value), b: copyFloats(b), x: copyFloats(b)}
	k.solver = C.solver_new(C.int(w.n), k.start, k.row, k.value)
	if k.solver.symbolic == nil || k.solver.numeric == nil {
		return nil, errors.New("KLU found no factors")
	}
	return k, nil
}

// run makes the factors again and solves, a number of times, and returns the
// nanoseconds.
func (k *klu) run(times int) (float64, error) {
	ns := float64(C.solver_run(k.solver, C.int(times), k.b, k.x))
	if ns < 0 {
		return 0, errors.New("KLU found no factors")
	}
	return ns, nil
}

func (k *klu) solution() []float64 { return unsafe.Slice((*float64)(k.x), k.n) }

func (k *klu) free() {
	C.solver_free(k.solver)
	for _, p := range []unsafe.Pointer{unsafe.Pointer(k.start), unsafe.Pointer(k.row), unsafe.Pointer(k.value), unsafe.Pointer(k.b), unsafe.Pointer(k.x)} {
		C.free(p)
	}
}

// copyInts and copyFloats copy to memory that C may keep.
func copyInts(list []int) *C.int {
	p := (*C.int)(C.malloc(C.size_t(len(list)+1) * C.sizeof_int))
	to := unsafe.Slice(p, len(list))
	for i, v := range list {
		to[i] = C.int(v)
	}
	return p
}

func copyFloats(list []float64) *C.double {
	p := (*C.double)(C.malloc(C.size_t(len(list)+1) * C.sizeof_double))
	copy(unsafe.Slice((*float64)(p), len(list)), list)
	return p
}
