package tool

// candidate is a state of a search that may be gone on from.
type candidate struct {
	bound int32 // cost so far and the least that is still to come
	cost  int32
	state int32
}

// cheapBounds is how many bounds have a stack of their own: more than a way
// costs that runs through hardly anything.
const cheapBounds = 1 << 13

// frontier gives the candidate with the least bound, of several alike the
// latest. The cheap ones, which are nearly all, wait in a stack for each bound,
// the others in a binary heap.
type frontier struct {
	heads [cheapBounds]int32 // of the stacks: numbers in pool, from 1
	least int                // no stack below it holds anything
	pool  []pooled
	dear  []candidate
}

type pooled struct {
	candidate
	next int32 // number in pool, from 1, of the one below
}

// begin empties it.
func (f *frontier) begin() {
	clear(f.heads[:])
	f.least, f.pool, f.dear = 0, f.pool[:0], f.dear[:0]
}

func (f *frontier) push(c candidate) {
	if c.bound >= cheapBounds {
		f.pushDear(c)
		return
	}
	f.pool = append(f.pool, pooled{c, f.heads[c.bound]})
	f.heads[c.bound] = int32(len(f.pool))
	f.least = min(f.least, int(c.bound))
}

func (f *frontier) pop() (c candidate, ok bool) {
	for ; f.least < cheapBounds; f.least++ {
		if n := f.heads[f.least]; n != 0 {
			top := f.pool[n-1]
			f.heads[f.least] = top.next
			return top.candidate, true
		}
	}
	if len(f.dear) == 0 {
		return candidate{}, false
	}
	return f.popDear(), true
}

// before orders the heap: by bound, and then so that the way found is always
// the same.
func (c candidate) before(d candidate) bool {
	switch {
	case c.bound != d.bound:
		return c.bound < d.bound
	case c.cost != d.cost:
		return c.cost > d.cost
	}
	return c.state < d.state
}

func (f *frontier) pushDear(c candidate) {
	f.dear = append(f.dear, c)
	h := f.dear
	for i := len(h) - 1; i > 0 && h[i].before(h[(i-1)/2]); i = (i - 1) / 2 {
		h[i], h[(i-1)/2] = h[(i-1)/2], h[i]
	}
}

func (f *frontier) popDear() candidate {
	h := f.dear
	top := h[0]
	h[0] = h[len(h)-1]
	h = h[:len(h)-1]
	for i := 0; ; {
		least := i
		for _, child := range [2]int{2*i + 1, 2*i + 2} {
			if child < len(h) && h[child].before(h[least]) {
				least = child
			}
		}
		if least == i {
			break
		}
		h[i], h[least] = h[least], h[i]
		i = least
	}
	f.dear = h
	return top
}
