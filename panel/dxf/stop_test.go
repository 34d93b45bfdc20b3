package dxf

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

// Wherever it is stopped, nothing is given, and nothing is asked again; it is asked often enough, once in a hundred things.
func TestStopped(t *testing.T) {
	src := big(20_000)
	all := &patient{t.Context(), 1 << 30, 0}
	d, _ := Read(all, src, "big.dxf")
	require.Len(t, d.Entities, 20_000)
	require.Greater(t, all.asked, 200)
	for k := 0; k < all.asked; k = 2*k + 1 {
		p := &patient{t.Context(), k, 0}
		d, l := Read(p, src, "big.dxf")
		require.Empty(t, d)
		require.Empty(t, l)
		require.Equal(t, k+1, p.asked)
	}
}
