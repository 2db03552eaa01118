package sparse

// queue holds vertices by degree, each in a doubly linked list of its equals.
type queue struct {
	first      []int // by degree, −1 where none
	next, prev []int // by vertex, −1 at the ends
	least      int   // no vertex has a lower degree
}

func newQueue(n int) queue {
	q := queue{first: make([]int, n+1), next: make([]int, n), prev: make([]int, n)}
	for i := range q.first {
		q.first[i] = -1
	}
	return q
}

func (q *queue) push(v, degree int) {
	head := q.first[degree]
	q.next[v], q.prev[v] = head, -1
	if head >= 0 {
		q.prev[head] = v
	}
	q.first[degree] = v
	q.least = min(q.least, degree)
}

func (q *queue) remove(v, degree int) {
	next, prev := q.next[v], q.prev[v]
	if prev >= 0 {
		q.next[prev] = next
	} else {
		q.first[degree] = next
	}
	if next >= 0 {
		q.prev[next] = prev
	}
}

// lowest takes a vertex of the lowest degree out of the queue.
func (q *queue) lowest() int {
	for q.first[q.least] < 0 {
		q.least++
	}
	v := q.first[q.least]
	q.remove(v, q.least)
	return v
}
