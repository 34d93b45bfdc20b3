package main

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// The page takes with it whose work it holds, and by what right.
func TestLicences(t *testing.T) {
	text, err := licences()
	require.NoError(t, err)
	for _, s := range []string{"The Lampblack authors", "three.js authors", "CodeMirror", "fzstd", "The Go Authors"} {
		require.Contains(t, string(text), s)
	}
	require.NotContains(t, string(text), "</script")
	require.NotContains(t, string(text), "<!--")
}
