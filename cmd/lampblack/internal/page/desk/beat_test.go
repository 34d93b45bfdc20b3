package desk

import (
	"context"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/require"
)

// Work that looks at its context is heard each second; work that does not, and work that nobody waits for any more, is not.
func TestBeating(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		heard := 0
		inner, stop := context.WithCancel(t.Context())
		ctx, end := Beating(inner, func() { heard++ })
		for range 350 {
			time.Sleep(10 * time.Millisecond)
			require.NoError(t, ctx.Err())
		}
		require.Equal(t, 3, heard)
		time.Sleep(time.Minute)
		require.Equal(t, 3, heard, "stuck")
		stop()
		require.ErrorIs(t, ctx.Err(), context.Canceled)
		require.Equal(t, 4, heard)
		end()
		time.Sleep(time.Minute)
		_ = ctx.Err()
		require.Equal(t, 4, heard, "after its end")
	})
}
