package memo

import (
	"context"
	"errors"
	"math"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"lampblack/panel/work"
)

func double(_ context.Context, n int) []int { return []int{2 * n} }

func ask(t *testing.T, m *Memory, n int) Kept[[]int] {
	t.Helper()
	k, err := Do(t.Context(), m, "double", "", n, double)
	require.NoError(t, err)
	return k
}

// The same content gives the kept result, other content a new one.
func TestDoKeeps(t *testing.T) {
	m := New(1 << 20)
	a, b, c := ask(t, m, 4), ask(t, m, 4), ask(t, m, 5)
	require.Equal(t, []int{8}, a.Value)
	require.Same(t, &a.Value[0], &b.Value[0])
	require.Equal(t, []int{10}, c.Value)
	require.Equal(t, a.Sum, SumOf(nil, []int{8}))
	require.Equal(t, []Tally{{Stage: "double", Ran: 2, Held: 1}}, m.Tallies())
	require.Empty(t, m.Tallies(), "counted since the last call")
	other, err := Do(t.Context(), m, "triple", "", 4, func(_ context.Context, n int) []int { return []int{3 * n} })
	require.NoError(t, err)
	require.Equal(t, []int{12}, other.Value, "another stage that takes the same")
}

// The memory stays within its bound: what was not asked for the longest time goes first, what is larger is not kept at all.
func TestBound(t *testing.T) {
	one := SizeOf(nil, []int{0}) + perEntry
	m := New(3 * one)
	for n := range 3 {
		ask(t, m, n)
	}
	ask(t, m, 0)
	ask(t, m, 3) // 1 goes
	used, results := m.Used()
	require.Equal(t, 3*one, used)
	require.Equal(t, 3, results)
	m.Tallies()
	ask(t, m, 0)
	ask(t, m, 2)
	ask(t, m, 3)
	require.Equal(t, []Tally{{Stage: "double", Held: 3}}, m.Tallies())
	ask(t, m, 1)
	require.Equal(t, []Tally{{Stage: "double", Ran: 1}}, m.Tallies())
	_, err := Do(t.Context(), m, "large", "", 1, func(context.Context, int) []byte { return make([]byte, 4*one) })
	require.NoError(t, err)
	used, _ = m.Used()
	require.LessOrEqual(t, used, 3*one)
}

// Whoever asks while another computes waits for that.
func TestOneComputation(t *testing.T) {
	m := New(1 << 20)
	var runs atomic.Int32
	begun, goOn := make(chan struct{}), make(chan struct{})
	slow := func(_ context.Context, n int) int {
		runs.Add(1)
		close(begun)
		<-goOn
		return n + 1
	}
	var wg sync.WaitGroup
	for range 4 {
		wg.Go(func() {
			k, err := Do(t.Context(), m, "slow", "", 1, slow)
			if err != nil || k.Value != 2 {
				t.Errorf("%v, %v", k.Value, err)
			}
		})
	}
	<-begun
	close(goOn)
	wg.Wait()
	require.EqualValues(t, 1, runs.Load())
}

// Who stops leaves nothing behind, and whoever waited computes it.
func TestStopped(t *testing.T) {
	m := New(1 << 20)
	ctx, stop := context.WithCancel(t.Context())
	begun := make(chan struct{})
	half := func(ctx context.Context, n int) int {
		if ctx.Value(quick{}) != nil {
			return n
		}
		close(begun)
		<-ctx.Done()
		return -1 // half a result
	}
	var wg sync.WaitGroup
	wg.Go(func() {
		if _, err := Do(ctx, m, "half", "", 7, half); !errors.Is(err, context.Canceled) {
			t.Errorf("stopped: %v", err)
		}
	})
	<-begun
	wg.Go(func() {
		k, err := Do(context.WithValue(t.Context(), quick{}, true), m, "half", "", 7, half)
		if err != nil || k.Value != 7 {
			t.Errorf("%v, %v", k.Value, err)
		}
	})
	stop()
	wg.Wait()
	_, err := Do(ctx, m, "half", "", 7, half)
	require.ErrorIs(t, err, context.Canceled, "even where there is a result")
}

type quick struct{}

// A panic goes on to the caller, keeps nothing and blocks nobody.
func TestPanic(t *testing.T) {
	m := New(1 << 20)
	boom := func(_ context.Context, n int) int { return 1 / n }
	for range 2 {
		require.Panics(t, func() { _, _ = Do(t.Context(), m, "boom", "", 0, boom) })
	}
	_, results := m.Used()
	require.Zero(t, results)
}

func TestAltered(t *testing.T) {
	m := New(1 << 20)
	k := ask(t, m, 4)
	require.Empty(t, m.Altered())
	k.Value[0] = 9
	require.Equal(t, []string{"double"}, m.Altered())
}

type inner struct {
	A int
	b []string
}

type outer struct {
	In  *inner
	M   map[string]float64
	Raw []byte
	Any any
	At  time.Time
	K   Kept[string]
}

func sample() outer {
	return outer{
		&inner{1, []string{"x", "yz"}}, map[string]float64{"p": 1, "q": 2, "r": 3}, []byte{1, 2}, 7,
		time.Date(2026, 1, 2, 0, 0, 0, 0, time.UTC), Of(nil, "k"),
	}
}

// Equal content has equal sums; each change of it another one.
func TestSum(t *testing.T) {
	want := SumOf(nil, sample())
	for range 20 { // maps are ordered anew each time
		require.Equal(t, want, SumOf(nil, sample()))
	}
	seen := map[Sum]int{want: -1}
	for i, change := range []func(*outer){
		func(o *outer) { o.In.A = 2 },
		func(o *outer) { o.In.b[1] = "y" },
		func(o *outer) { o.In.b = []string{"xy", "z"} },
		func(o *outer) { o.In.b = nil },
		func(o *outer) { o.In.b = []string{} },
		func(o *outer) { o.In = nil },
		func(o *outer) { o.M["q"] = 2.5 },
		func(o *outer) { o.M["s"] = 2 },
		func(o *outer) { o.Raw = []byte{1, 2, 0} },
		func(o *outer) { o.Any = int32(7) },
		func(o *outer) { o.Any = nil },
		func(o *outer) { o.At = o.At.Add(1) },
		func(o *outer) { o.K = Of(nil, "l") },
	} {
		o := sample()
		change(&o)
		s := SumOf(nil, o)
		require.NotContains(t, seen, s, "change %d is that of %d", i, seen[s])
		seen[s] = i
	}
	require.NotEqual(t, SumOf(nil, 0.0), SumOf(nil, math.Copysign(0, -1)), "numbers by their bits")
	k := Of(nil, "k")
	k.Value = "other"
	require.Equal(t, SumOf(nil, Of(nil, "k")), SumOf(nil, k), "what has a sum counts by it")
}

// What has no content is a fault of ours, told at once.
func TestSumRefuses(t *testing.T) {
	type loop struct{ Next *loop }
	l := &loop{}
	l.Next = l
	for _, v := range []any{func() {}, make(chan int), l, struct{ at time.Time }{}} {
		require.Panics(t, func() { SumOf(nil, v) }, "%T", v)
	}
}

// Sizes are those of the content with its spare room; what is referred to twice counts once.
func TestSize(t *testing.T) {
	room := make([]int64, 1000)
	require.InDelta(t, 8000, SizeOf(nil, room), 64)
	require.InDelta(t, 8000, SizeOf(nil, room[:1]), 64, "the whole array is kept")
	require.InDelta(t, 8000, SizeOf(nil, [][]int64{room, room}), 128)
	require.InDelta(t, 4000, SizeOf(nil, []string{string(make([]byte, 4000))}), 64)
	require.InDelta(t, 1000*(8+8+16), SizeOf(nil, numbers(1000)), 1000)
}

func numbers(n int) map[int]int {
	m := map[int]int{}
	for i := range n {
		m[i] = i
	}
	return m
}

func BenchmarkSum(b *testing.B) {
	type pt struct{ X, Y int64 }
	v := make([]pt, 100_000)
	b.SetBytes(int64(len(v) * 16))
	for b.Loop() {
		SumOf(nil, v)
	}
}

// What is large is not summed for someone who does not wait: neither what a stage takes nor what it gives.
func TestSumsStop(t *testing.T) {
	ctx, stop := context.WithCancel(t.Context())
	large := make([]int, 1<<20)
	began := false
	stop()
	_, err := Do(ctx, New(1<<30), "double", "", large, func(context.Context, []int) int { began = true; return 0 })
	require.ErrorIs(t, err, context.Canceled)
	require.False(t, began)

	for name, v := range map[string]any{"numbers": large, "bytes": make([]byte, 8<<20), "raster": make([]float64, 1<<20), "map": map[string][]int{"a": large}} {
		for what, f := range map[string]func(*work.Watch){
			"sum":  func(w *work.Watch) { SumOf(w, v) },
			"size": func(w *work.Watch) { SizeOf(w, []any{v, make([]*int, 1<<20)}) },
		} {
			ctx, stop := context.WithCancel(t.Context())
			require.False(t, work.Until(ctx, func(w *work.Watch) {
				stop()
				f(w)
			}), "%s of %s", what, name)
		}
	}
}
