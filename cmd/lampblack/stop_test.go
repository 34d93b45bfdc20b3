package main

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// An interrupted build ends with status 3 and a plain line, and leaves the last good output as it was.
func TestInterruptedBuild(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "desk")
	made := filepath.Join(dir, "out")
	var out, errw bytes.Buffer
	require.Equal(t, statusGood, run([]string{"new", dir}, nil, &out, &errw), errw.String())
	require.Equal(t, statusGood, run([]string{"build", dir, "-o", made}, nil, &out, &errw), errw.String())
	result := filepath.Join(made, "result.json")
	before, err := os.Stat(result)
	require.NoError(t, err)
	for _, after := range []time.Duration{0, 30 * time.Millisecond} {
		ctx, stop := context.WithCancel(t.Context())
		timer := time.AfterFunc(after, stop)
		errw.Reset()
		status := runUntil(ctx, []string{"build", dir, "-o", made}, nil, &out, &errw)
		if status != statusGood { // where the machine is that fast, it was done
			require.Equal(t, statusFailed, status)
			require.Equal(t, "lampblack: stopped; nothing was written, what was there before is untouched\n", errw.String())
			now, err := os.Stat(result)
			require.NoError(t, err)
			require.True(t, os.SameFile(before, now))
		}
		timer.Stop()
		stop()
	}
}
