package work

import (
	"context"
	"sync/atomic"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestEachRunsAllOnce(t *testing.T) {
	var hits [100]atomic.Int32
	Each(t.Context(), len(hits), func(i int) { hits[i].Add(1) })
	for i := range hits {
		require.EqualValues(t, 1, hits[i].Load())
	}
	Each(t.Context(), 0, func(int) { t.Error("nothing to do") })
}

func TestBandsRunAllOnce(t *testing.T) {
	for n := range 10 {
		var hits [10]atomic.Int32
		Bands(n, func(from, to int) {
			for i := from; i < to; i++ {
				hits[i].Add(1)
			}
		})
		for i := range hits {
			require.EqualValues(t, map[bool]int{true: 1}[i < n], hits[i].Load())
		}
	}
}

// A panic in a goroutine comes out where it can be caught, with its value.
func TestPanicsComeOut(t *testing.T) {
	require.PanicsWithValue(t, "third", func() {
		Each(t.Context(), 10, func(i int) {
			if i == 3 {
				panic("third")
			}
		})
	})
	require.PanicsWithValue(t, "band", func() { Bands(10, func(from, _ int) { panic("band") }) })
}

// When nobody waits any more, loops end where they are, and those side by side with them.
func TestUntil(t *testing.T) {
	ctx, stop := context.WithCancel(t.Context())
	var turns atomic.Int32
	done := Until(ctx, func(w *Watch) {
		Each(ctx, 1000, func(i int) {
			if turns.Add(1) == 10 {
				stop()
			}
			w.Look()
		})
		t.Error("went on")
	})
	require.False(t, done)
	require.Less(t, turns.Load(), int32(100))

	require.False(t, Until(ctx, func(*Watch) { t.Error("begun though nobody waits") }))
	require.True(t, Until(t.Context(), func(w *Watch) {
		for range 5000 {
			w.Step()
		}
	}))
	n := 0
	ctx, stop = context.WithCancel(t.Context())
	require.False(t, Until(ctx, func(w *Watch) {
		for stop(); n < 1<<20; n++ {
			w.Step()
		}
	}))
	require.Less(t, n, 2*every)
}

// A fault is no stop, and the stop of an outer Until goes through an inner one of another context.
func TestUntilLetsFaultsThrough(t *testing.T) {
	require.PanicsWithValue(t, "fault", func() { Until(t.Context(), func(*Watch) { panic("fault") }) })
	ctx, stop := context.WithCancel(t.Context())
	require.False(t, Until(ctx, func(outer *Watch) {
		Until(context.WithoutCancel(ctx), func(*Watch) {
			stop()
			outer.Look()
		})
		t.Error("went on")
	}))
	var none *Watch
	none.Look()
	none.Step()
}

// What cannot look is waited for, its faults come out, and it is left to itself when nobody waits.
func TestAside(t *testing.T) {
	n := 0
	Aside(nil, func() { n++ })
	require.True(t, Until(t.Context(), func(w *Watch) { Aside(w, func() { n++ }) }))
	require.Equal(t, 2, n)
	require.PanicsWithValue(t, "fault", func() {
		Until(t.Context(), func(w *Watch) { Aside(w, func() { panic("fault") }) })
	})
	ctx, stop := context.WithCancel(t.Context())
	free, ended := make(chan bool), make(chan bool)
	require.False(t, Until(ctx, func(w *Watch) {
		Aside(w, func() {
			stop()
			<-free
			close(ended)
			panic("after all have gone")
		})
		t.Error("went on")
	}))
	close(free)
	<-ended
}
