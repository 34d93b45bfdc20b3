package main

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"

	"lampblack/cmd/lampblack/internal/scripts"
)

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){
		"lampblack": func() { os.Exit(run(os.Args[1:], os.Stdin, os.Stdout, os.Stderr)) },
	})
}

// Each script in testdata/script runs the whole tool; those of light, which take longest, lie in internal/scripts.
func TestScripts(t *testing.T) {
	t.Parallel()
	scripts.Run(t, filepath.Join("testdata", "script"), filepath.Join("..", "..", "examples", "observatory"))
}
