package stats

// InOrder hands the results of blocks on in the order of their indices, from 0, in
// whatever order they arrive, so that a sum of rounded numbers is the same for any
// number of workers. It holds only what arrived early. It is not safe for concurrent
// use.
type InOrder[T any] struct {
	reduce func(block int, result T)
	next   int
	early  map[int]T
}

// NewInOrder returns an InOrder that calls reduce once for each block.
func NewInOrder[T any](reduce func(block int, result T)) *InOrder[T] {
	return &InOrder[T]{reduce: reduce, early: map[int]T{}}
}

// NewInOrderFrom is NewInOrder for blocks from a first index on.
func NewInOrderFrom[T any](first int, reduce func(block int, result T)) *InOrder[T] {
	o := NewInOrder(reduce)
	o.next = first
	return o
}

// Put takes the result of a block. A block already handed on is ignored.
func (o *InOrder[T]) Put(block int, result T) {
	if block < o.next {
		return
	}
	o.early[block] = result
	for {
		r, ok := o.early[o.next]
		if !ok {
			return
		}
		delete(o.early, o.next)
		o.reduce(o.next, r)
		o.next++
	}
}

// Next returns the index of the first block that was not handed on.
func (o *InOrder[T]) Next() int { return o.next }

// Waiting returns the number of blocks that arrived early and are held.
func (o *InOrder[T]) Waiting() int { return len(o.early) }
