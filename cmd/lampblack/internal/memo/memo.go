// Package memo keeps results of pure functions, so that what was computed once need not be computed again.
//
// In goes a stage's name, what it takes, and the function; out comes the stage's result, either kept from before or computed
// now. A result is found by the content of what the stage takes (SumOf), never by a mark that something changed, so that it
// holds for as long as the same content comes again, whatever happened in between. Results carry the sum of their own
// content: a stage that takes one is keyed by that, and computes nothing anew when the stage before it came to the same.
//
// The kept results take up a given number of bytes at most (SizeOf); those not asked for the longest time go first. Two who
// ask for the same result at a time wait for one computation. What is stopped or panics leaves nothing behind.
//
// By contract the functions are pure, and nobody alters a result, nor anything that it refers to: Altered finds who did.
package memo

import (
	"cmp"
	"container/list"
	"context"
	"reflect"
	"slices"
	"sync"

	"lampblack/panel/work"
)

// Kept is a result and the sum of its content. The zero Kept has no sum; it counts by that, like any other.
type Kept[T any] struct {
	Value T
	Sum   Sum
}

func (Kept[T]) summed() {}

// summed is what has a Sum.
type summed interface{ summed() }

// Of returns a value with its sum.
func Of[T any](w *work.Watch, v T) Kept[T] { return Kept[T]{v, SumOf(w, v)} }

// Memory holds results. It is safe for several goroutines.
type Memory struct {
	bound int64

	mu      sync.Mutex
	used    int64
	results map[Sum]*list.Element // of *result
	order   *list.List            // the one asked for last in front
	running map[Sum]chan struct{} // closed when done
	tally   map[[2]string]*Tally
	given   map[Sum]parcel // by another memory, until they are asked for
}

type result struct {
	key   Sum
	stage string
	value any // a Kept
	sum   Sum // of the value
	size  int64
	given bool       // by another memory
	again func() Sum // of the value as it is now

	encoded func() ([]byte, error)
}

// Tally is how often a stage was asked for.
type Tally struct {
	Stage, Of string
	Ran, Held int // computed, and kept from before
	Given     int // computed by another memory
}

// New returns an empty memory of at most bound bytes.
func New(bound int64) *Memory {
	return &Memory{
		bound: bound, results: map[Sum]*list.Element{}, order: list.New(), running: map[Sum]chan struct{}{}, tally: map[[2]string]*Tally{},
		given: map[Sum]parcel{},
	}
}

// Do returns the result of a stage, of whom it is for the tally: kept if in has the content of an earlier call, else f's.
// Its error is ctx's: then what f returned means nothing and is not kept. A panic of f goes on to the caller.
func Do[In, Out any](ctx context.Context, m *Memory, stage, of string, in In, f func(context.Context, In) Out) (Kept[Out], error) {
	var key Sum
	if !work.Until(ctx, func(w *work.Watch) { key = keyOf[In, Out](w, stage, in) }) {
		return Kept[Out]{}, ctx.Err()
	}
	for {
		found, wait, err := m.claim(ctx, key, stage, of)
		switch {
		case err != nil:
			return Kept[Out]{}, err
		case found != nil:
			return found.(Kept[Out]), nil
		case wait != nil:
			select {
			case <-wait:
			case <-ctx.Done():
			}
			continue // kept by now, or to be tried here
		}
		return compute(ctx, m, key, stage, of, in, f)
	}
}

func keyOf[In, Out any](w *work.Watch, stage string, in In) Sum {
	return SumOf(w, struct { // exported, or times could not be read
		Stage, Out string
		In         In
	}{stage, reflect.TypeFor[Out]().String(), in})
}

// claim looks for a result. With none, and nobody at it, it is the caller's to compute.
func (m *Memory) claim(ctx context.Context, key Sum, stage, of string) (found any, wait chan struct{}, err error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	if err := ctx.Err(); err != nil {
		return nil, nil, err
	}
	if e, ok := m.results[key]; ok {
		m.order.MoveToFront(e)
		m.count(stage, of).Held++
		return e.Value.(*result).value, nil, nil
	}
	if wait := m.running[key]; wait != nil {
		return nil, wait, nil
	}
	m.running[key] = make(chan struct{})
	return nil, nil, nil
}

func compute[In, Out any](ctx context.Context, m *Memory, key Sum, stage, of string, in In, f func(context.Context, In) Out) (Kept[Out], error) {
	var done *result
	defer func() { m.end(key, done, of, stage) }()
	var k Kept[Out]
	had := false
	if !work.Until(ctx, func(w *work.Watch) { k, had = given[Out](w, m, key) }) {
		return Kept[Out]{}, ctx.Err()
	}
	if !had {
		k.Value = f(ctx, in)
	}
	var size int64
	if !work.Until(ctx, func(w *work.Watch) {
		if !had {
			k = Of(w, k.Value)
		}
		size = SizeOf(w, k.Value) + perEntry
	}) {
		return Kept[Out]{}, ctx.Err()
	}
	done = &result{key, stage, k, k.Sum, size, had, func() Sum { return SumOf(nil, k.Value) }, func() ([]byte, error) { return Encoded(k.Value) }}
	return k, nil
}

// end lets those who wait go on, and keeps a result unless there is none.
func (m *Memory) end(key Sum, r *result, of, stage string) {
	m.mu.Lock()
	defer m.mu.Unlock()
	close(m.running[key])
	delete(m.running, key)
	if r == nil {
		return
	}
	if t := m.count(stage, of); r.given {
		t.Given++
	} else {
		t.Ran++
	}
	if r.size > m.bound {
		return
	}
	m.results[key] = m.order.PushFront(r)
	m.used += r.size
	for m.used > m.bound {
		last := m.order.Remove(m.order.Back()).(*result)
		delete(m.results, last.key)
		m.used -= last.size
	}
}

func (m *Memory) count(stage, of string) *Tally {
	t := m.tally[[2]string{stage, of}]
	if t == nil {
		t = &Tally{Stage: stage, Of: of}
		m.tally[[2]string{stage, of}] = t
	}
	return t
}

// Tallies returns how often each stage was asked for since the last call, by stage and whom it was of.
func (m *Memory) Tallies() []Tally {
	m.mu.Lock()
	defer m.mu.Unlock()
	var out []Tally
	for _, t := range m.tally {
		out = append(out, *t)
	}
	clear(m.tally)
	slices.SortFunc(out, func(a, b Tally) int { return cmp.Or(cmp.Compare(a.Stage, b.Stage), cmp.Compare(a.Of, b.Of)) })
	return out
}

// Used returns the bytes that the kept results take up, and how many there are.
func (m *Memory) Used() (bytes int64, results int) {
	m.mu.Lock()
	defer m.mu.Unlock()
	return m.used, len(m.results)
}

// Drop loses the results of a stage, so that it runs again; those of other stages stay.
func (m *Memory) Drop(stage string) {
	m.mu.Lock()
	defer m.mu.Unlock()
	for key, e := range m.results {
		if r := e.Value.(*result); r.stage == stage {
			m.order.Remove(e)
			delete(m.results, key)
			m.used -= r.size
		}
	}
}

// Altered returns the stages of kept results that are no longer what they were: somebody wrote to them.
func (m *Memory) Altered() []string {
	m.mu.Lock()
	defer m.mu.Unlock()
	var out []string
	for e := m.order.Front(); e != nil; e = e.Next() {
		if r := e.Value.(*result); r.again() != r.sum {
			out = append(out, r.stage)
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}
