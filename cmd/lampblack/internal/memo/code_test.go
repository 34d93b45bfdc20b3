package memo

import (
	"context"
	"reflect"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"lampblack/panel/diag"
)

type whole struct {
	Of     outer
	Nil    []int
	Empty  []int
	None   map[string]int
	Few    map[string]int
	Zone   time.Time
	hidden []inner
	Pair   [2]*int16
	F      float32
	Any    []any
}

func wholly() whole {
	n := int16(-3)
	return whole{
		sample(), nil, []int{}, nil, map[string]int{}, time.Date(2026, 1, 2, 3, 4, 5, 6, time.FixedZone("", 3600)),
		[]inner{{7, nil}, {8, []string{}}}, [2]*int16{nil, &n}, 0.1, []any{"a", true, 1.5, diag.Pairs{{Key: "k", Value: []any{"v"}}}, nil},
	}
}

// What is decoded is what was encoded: by its sum, and as the language compares.
func TestEncoded(t *testing.T) {
	b, err := Encoded(wholly())
	require.NoError(t, err)
	got, err := Decoded[whole](b)
	require.NoError(t, err)
	require.Equal(t, SumOf(nil, wholly()), SumOf(nil, got))
	want := wholly()
	require.True(t, want.Zone.Equal(got.Zone))
	want.Zone, got.Zone, want.Of.At, got.Of.At = time.Time{}, time.Time{}, time.Time{}, time.Time{} // zones are pointers
	require.True(t, reflect.DeepEqual(want, got))
}

// Bytes that are cut, altered or too many are told, and never a panic or room for what is not there.
func TestDecodedRefuses(t *testing.T) {
	b, err := Encoded(wholly())
	require.NoError(t, err)
	for n := range b {
		_, err := Decoded[whole](b[:n])
		require.Error(t, err, "cut at %d", n)
		for _, x := range []byte{0, 1, 0x7f, 0x80, 0xff} {
			c := append([]byte{}, b...)
			c[n] = x
			require.NotPanics(t, func() { _, _ = Decoded[whole](c) }, "%d is %d", n, x)
		}
	}
	_, err = Decoded[whole](append(b, 0))
	require.Error(t, err)
	for _, v := range []any{func() {}, struct{ at time.Time }{}, []any{int32(1)}} {
		_, err := Encoded(v)
		require.Error(t, err, "%T", v)
	}
}

// What one memory computed, another takes, where it has the sum that it is told to have.
func TestParcel(t *testing.T) {
	a, b := New(1<<20), New(1<<20)
	ask(t, a, 4)
	parcel, err := a.Parcel(t.Context())
	require.NoError(t, err)
	require.NoError(t, b.Give(parcel))
	require.False(t, Holds[int, []int](b, "double", 4), "not before it is asked for")
	k, err := Do(t.Context(), b, "double", "", 4, func(context.Context, int) []int { t.Error("computed"); return nil })
	require.NoError(t, err)
	require.Equal(t, Of(nil, []int{8}), k)
	require.True(t, Holds[int, []int](b, "double", 4))
	require.Equal(t, []Tally{{Stage: "double", Given: 1}}, b.Tallies())

	b = New(1 << 20)
	parcel[len(parcel)-1] ^= 2 // the number within
	require.NoError(t, b.Give(parcel))
	require.Equal(t, []int{8}, ask(t, b, 4).Value, "what has another sum is computed")

	b = New(1 << 20)
	require.NoError(t, b.Give(parcel))
	b.Forget()
	require.Empty(t, b.given)
	require.Error(t, b.Give([]byte("nonsense")))
	ctx, stop := context.WithCancel(t.Context())
	stop()
	_, err = a.Parcel(ctx)
	require.ErrorIs(t, err, context.Canceled)
}
