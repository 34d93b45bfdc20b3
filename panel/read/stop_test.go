package read

import (
	"context"
	"errors"
	"testing"

	"github.com/stretchr/testify/require"
)

// patient is a context that is done once it was asked for so many times.
type patient struct {
	context.Context
	left, asked int
}

func (p *patient) Err() error {
	if p.asked++; p.asked > p.left {
		return errors.New("stopped")
	}
	return nil
}

// Wherever it is stopped, nothing is given, and nothing is asked again; it is asked often enough, once in two hundred things.
func TestStopped(t *testing.T) {
	d := gridOf(20_000, 4)
	all := &patient{t.Context(), 1 << 30, 0}
	ps, _ := Panels(all, d, Options{})
	require.Len(t, ps, 1)
	require.Greater(t, all.asked, 100)
	for k := 0; k < all.asked; k = 2*k + 1 {
		p := &patient{t.Context(), k, 0}
		ps, l := Panels(p, d, Options{})
		require.Empty(t, ps)
		require.Empty(t, l)
		require.Equal(t, k+1, p.asked)
	}
}
