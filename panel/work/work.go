// Package work does long work: side by side on all cores, and only for as long as someone wants it.
//
// Each and Bands call a function for many indices, on as many goroutines as there are cores. What it computes for an index
// must not depend on the others, so that the result is the same on any number of cores. A panic in one of them is raised
// again in the caller, where it can be told; it never ends the program from a goroutine.
//
// A function that works for long takes a context and runs inside Until, where its loops ask a Watch. Once the context is done
// the loops unwind to Until, and the function returns at once what it has: that means nothing, and whoever called asks
// ctx.Err().
package work

import (
	"context"
	"runtime"
	"sync"
	"sync/atomic"
)

// Each calls f for 0 to n-1 on all cores, each index once. When ctx is done it begins no further one.
func Each(ctx context.Context, n int, f func(i int)) {
	var next atomic.Int64
	side(min(n, runtime.GOMAXPROCS(0)), func(int) {
		for ctx.Err() == nil {
			i := int(next.Add(1)) - 1
			if i >= n {
				return
			}
			f(i)
		}
	}, func() { next.Store(int64(n)) })
}

// Bands calls f for runs that make up 0 to n-1, one run a core.
func Bands(n int, f func(from, to int)) {
	k := min(runtime.GOMAXPROCS(0), n)
	if k <= 1 {
		f(0, n)
		return
	}
	Side(k, func(b int) { f(b*n/k, (b+1)*n/k) })
}

// Side calls f for 0 to k-1, all at a time whatever the number of cores: for work that waits, for a disk or a network.
func Side(k int, f func(i int)) { side(k, f, func() {}) }

// side calls f for 0 to k-1 at a time. The first panic of one is raised again once all have ended; fell is called at once.
func side(k int, f func(i int), fell func()) {
	var wg sync.WaitGroup
	var once sync.Once
	var fault any
	for i := range k {
		wg.Go(func() {
			defer func() {
				if e := recover(); e != nil {
					once.Do(func() { fault = e })
					fell()
				}
			}()
			f(i)
		})
	}
	wg.Wait()
	if fault != nil {
		panic(fault)
	}
}

// Aside calls f, which cannot look at the watch itself, being another module's. When nobody waits any more, Aside unwinds at
// once and leaves f to its end: f must write to nothing but its own.
func Aside(w *Watch, f func()) {
	if w == nil {
		f()
		return
	}
	done := make(chan any, 1) // a place for the fault, so that f ends whether or not somebody takes it
	go func() {
		defer func() { done <- recover() }()
		f()
	}()
	select {
	case fault := <-done:
		if fault != nil {
			panic(fault)
		}
	case <-w.ctx.Done():
	}
	w.Look()
}

// Watch tells loops that nobody waits for their result any more. The nil Watch never does.
type Watch struct {
	ctx   context.Context
	steps uint32
}

// stopped unwinds from a loop to its Until.
type stopped struct{ w *Watch }

// Until calls f, whose loops ask the watch, and reports whether it came to its end.
func Until(ctx context.Context, f func(w *Watch)) (done bool) {
	w := &Watch{ctx: ctx}
	defer func() {
		if e := recover(); e != nil {
			if s, ok := e.(stopped); !ok || s.w != w {
				panic(e)
			}
			done = false
		}
	}()
	w.Look()
	f(w)
	return true
}

// Look ends the work if its context is done: for loops of some microseconds a turn. It may be called from all goroutines of
// an Each or Bands that runs within the Until.
func (w *Watch) Look() {
	if w != nil && w.ctx.Err() != nil {
		panic(stopped{w})
	}
}

// every is how many steps pass between two looks: of a tenth of a microsecond each, well below a millisecond.
const every = 1 << 10

// Step is Look for loops of some nanoseconds a turn: it looks once in a thousand times. It counts, so that only
// one goroutine may call it.
func (w *Watch) Step() {
	if w == nil {
		return
	}
	if w.steps++; w.steps%every == 0 {
		w.Look()
	}
}
