package main

import (
	"go/ast"
	"go/token"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

// What only one system has must be right there, too: names, types of packages that differ, and the size of an int.
func TestCompiles(t *testing.T) {
	dir := t.TempDir()
	for name, src := range map[string]string{
		"go.mod":       "module m\n\ngo 1.26\n",
		"a.go":         "package m\n\nimport \"os\"\n\nfunc f() { os.Getpid(); g() }\n",
		"g_unix.go":    "//go:build unix\n\npackage m\n\nimport \"syscall\"\n\nfunc g() { _ = syscall.Kill(0, 0) }\n",
		"g_windows.go": "package m\n\nimport \"syscall\"\n\nfunc g() { _ = syscall.Kill(0, 0) }\n", // there is none
		"big_arm.go":   "package m\n\nvar big = 1 << 40\n",                                         // no int there
	} {
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), []byte(src), 0o644))
	}
	c := checker{token.NewFileSet(), map[string]*ast.File{}}
	require.NoError(t, c.compiles(dir, "linux/amd64", "./..."))
	require.NoError(t, c.compiles(dir, "darwin/arm64", "./..."))
	require.ErrorContains(t, c.compiles(dir, "windows/amd64", "./..."), "undefined: syscall.Kill")
	require.ErrorContains(t, c.compiles(dir, "linux/arm", "./..."), "as int value in variable declaration (overflows)")
	require.ErrorContains(t, c.compiles(dir, "js/wasm", "./..."), "undefined: g")
	require.ErrorContains(t, c.compiles(dir, "windows", "./..."), "no system and processor")
	require.ErrorContains(t, c.compiles(dir, "here/there", "./..."), "here/there")
}
