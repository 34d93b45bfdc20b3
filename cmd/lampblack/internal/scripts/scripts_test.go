package scripts_test

import (
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/cmd/lampblack/internal/scripts"
)

// The scripts of LEDs that are placed and of their light take longest: they lie in a package of their own, which has its own ten minutes,
// and run the program as it is compiled.
func TestScripts(t *testing.T) {
	bin := t.TempDir()
	said, err := exec.Command("go", "build", "-o", bin+string(filepath.Separator), "lampblack/cmd/lampblack").CombinedOutput()
	require.NoError(t, err, "%s", said)
	t.Setenv("PATH", bin+string(filepath.ListSeparator)+os.Getenv("PATH"))
	scripts.Run(t, filepath.Join("testdata", "script"), filepath.Join("..", "..", "..", "..", "examples", "observatory"))
}
