package bundle

import (
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestAside(t *testing.T) {
	home := t.TempDir()
	t.Setenv("TMPDIR", t.TempDir())
	for _, dir := range []string{home, filepath.Join(home, "none")} { // the second cannot be written
		file, done, err := Aside(dir, "page.html", []byte("secret"))
		require.NoError(t, err)
		require.Equal(t, dir == home, filepath.Dir(filepath.Dir(file)) == home, file)
		said, err := os.ReadFile(file)
		require.NoError(t, err)
		require.Equal(t, "secret", string(said))
		for name, mode := range map[string]fs.FileMode{file: 0o600, filepath.Dir(file): 0o700 | fs.ModeDir} {
			st, err := os.Stat(name)
			require.NoError(t, err)
			if runtime.GOOS != "windows" { // where folders have lists of who may
				require.Equal(t, mode, st.Mode(), name)
			}
		}
		done()
		require.NoFileExists(t, file)
		require.NoDirExists(t, filepath.Dir(file))
		done()
	}
}
