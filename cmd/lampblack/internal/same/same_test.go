// Package same has a test alone, in a package of its own, as it compiles the program three times: it has its own ten minutes.
package same

import (
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/cmd/lampblack/internal/desktest"
)

// The example console, three of its panels (SAME=all: all), comes out byte for byte the same from the program on two cores, from one that is compiled for newer
// processors, whose fused multiply-add rounds otherwise, on one core, and from one in WebAssembly, which node runs: there are no
// vector instructions, no fused ones, and one thread (SAME=wasm or SAME=all). Other cores alone: TestBuildIsDeterministic of internal/flow.
//
// SAME=wasm go test -run /WebAssembly ./cmd/lampblack/internal/same does one alone. Where the newer fails: go build -gcflags=lampblack/...=-S with
// GOAMD64=v3 lists the lines with VFMADD.
func TestSameBytesEverywhere(t *testing.T) {
	if testing.Short() {
		t.Skip("builds the program three times, once in WebAssembly, and the example with each")
	}
	t.Parallel()
	dir := t.TempDir()
	desk := ordered(t, dir)
	compile := func(t *testing.T, name string, env ...string) string {
		name = filepath.Join(dir, name)
		c := exec.Command("go", "build", "-o", name, "lampblack/cmd/lampblack") // the plain one is compiled by then
		c.Env = append(append(os.Environ(), "CGO_ENABLED=0"), env...)
		said, err := c.CombinedOutput()
		require.NoError(t, err, "%s", said)
		return name
	}
	// run has a command build the console, and draw a survey in every format, into a folder.
	run := func(t *testing.T, out, cores string, command ...string) string {
		out = filepath.Join(dir, out)
		do := func(args ...string) {
			c := exec.Command(command[0], append(slices.Clone(command[1:]), args...)...)
			c.Env = append(os.Environ(), "GOMAXPROCS="+cores)
			said, err := c.CombinedOutput()
			if strings.Contains(string(said), "microarchitecture support") {
				t.Skipf("this processor does not run it: %s", said)
			}
			require.NoError(t, err, "%s", said)
		}
		do("build", desk, "-o", out)
		for _, format := range []string{"svg", "pdf", "png", "dxf"} { // the same picture in every format
			do("survey", filepath.Join(desk, "dome.dxf"), "--picture", filepath.Join(out, "survey."+format))
		}
		return out
	}
	plain := compile(t, "lampblack", "GOAMD64=v1")
	here := run(t, "here", "2", plain)
	t.Run("Newer", func(t *testing.T) {
		t.Parallel()
		other := plain
		if runtime.GOARCH == "amd64" {
			other = compile(t, "lampblack-v3", "GOAMD64=v3")
		}
		same(t, here, run(t, "newer", "1", other))
	})
	t.Run("WebAssembly", func(t *testing.T) {
		t.Parallel()
		if os.Getenv("SAME") == "" {
			t.Skip("SAME=wasm or SAME=all tries it; of a smaller project the page's own test compares what the page packs with what build writes")
		}
		node, err := exec.LookPath("node")
		if err != nil {
			t.Skip("node, which runs WebAssembly, is not installed")
		}
		root, err := exec.Command("go", "env", "GOROOT").Output()
		require.NoError(t, err)
		start := filepath.Join(strings.TrimSpace(string(root)), "lib", "wasm", "wasm_exec_node.js")
		if _, err := os.Stat(start); err != nil {
			t.Skipf("this Go has no script to run WebAssembly under node: %v", err)
		}
		// V8's usual stack of 1 MB is too small for some Go programs: Go's own go_js_wasm_exec gives it 8.
		web := compile(t, "lampblack.wasm", "GOOS=js", "GOARCH=wasm")
		same(t, here, run(t, "web", "1", node, "--stack-size=8192", start, web))
	})
}

// ordered returns a copy of the example with an order, so that an array is compared as well.
func ordered(t *testing.T, dir string) string {
	t.Helper()
	desk := filepath.Join(dir, "desk")
	require.NoError(t, os.CopyFS(desk, os.DirFS(filepath.Join("..", "..", "..", "..", "examples", "observatory"))))
	project := filepath.Join(desk, "lampblack.yaml")
	b, err := os.ReadFile(project)
	require.NoError(t, err)
	src := string(b)
	if os.Getenv("SAME") != "all" {
		src = desktest.Half(t, src)
	}
	if !strings.Contains(src, "\norder:") {
		src += "\norder: {name: spare, boards: {focus: 2, weather: 1}}\n"
	}
	require.NoError(t, os.WriteFile(project, []byte(src), 0o644))
	return desk
}

// same compares two folders, file by file.
func same(t *testing.T, a, b string) {
	t.Helper()
	names := map[string]bool{}
	for _, dir := range []string{a, b} {
		require.NoError(t, filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
			if err == nil && !d.IsDir() {
				rel, _ := filepath.Rel(dir, path)
				names[rel] = true
			}
			return err
		}))
	}
	require.Greater(t, len(names), 80)
	for name := range names {
		x, err := os.ReadFile(filepath.Join(a, name))
		require.NoError(t, err)
		y, err := os.ReadFile(filepath.Join(b, name))
		require.NoError(t, err)
		if string(x) != string(y) {
			t.Errorf("%s differs, of %d and %d bytes", name, len(x), len(y))
		}
	}
}
