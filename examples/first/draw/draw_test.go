package main

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

// The committed drawing is what this program draws.
func TestCommitted(t *testing.T) {
	dir := t.TempDir()
	require.Zero(t, run([]string{dir}))
	want, err := os.ReadFile(filepath.Join(dir, "red-light.dxf"))
	require.NoError(t, err)
	got, err := os.ReadFile("../red-light.dxf")
	require.NoError(t, err)
	require.True(t, string(got) == string(want), "run go run ./examples/first/draw examples/first")
}
