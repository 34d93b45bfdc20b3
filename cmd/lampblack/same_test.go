package main

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
)

// The example console comes out byte for byte the same from the program on two cores and from one that is compiled for
// newer processors, whose fused multiply-add rounds otherwise, on one core. Other cores alone: TestBuildIsDeterministic of
// internal/flow. Where it fails: go build -gcflags=lampblack/...=-S with GOAMD64=v3 lists the lines with VFMADD.
func TestSameBytesEverywhere(t *testing.T) {
	if testing.Short() {
		t.Skip("builds the program twice and the example twice")
	}
	dir := t.TempDir()
	program := func(level string) string {
		name := filepath.Join(dir, "lampblack-"+level)
		c := exec.Command("go", "build", "-o", name, ".")
		c.Env = append(os.Environ(), "CGO_ENABLED=0")
		if runtime.GOARCH == "amd64" {
			c.Env = append(c.Env, "GOAMD64="+level)
		}
		out, err := c.CombinedOutput()
		require.NoError(t, err, "%s", out)
		return name
	}
	desk := ordered(t, dir)
	build := func(program, cores, out string) string {
		out = filepath.Join(dir, out)
		c := exec.Command(program, "build", desk, "-o", out)
		c.Env = append(os.Environ(), "GOMAXPROCS="+cores)
		said, err := c.CombinedOutput()
		if strings.Contains(string(said), "microarchitecture support") {
			t.Skipf("this processor does not run it: %s", said)
		}
		require.NoError(t, err, "%s", said)
		return out
	}
	plain := program("v1")
	other := plain
	if runtime.GOARCH == "amd64" {
		other = program("v3")
	}
	same(t, build(plain, "2", "first"), build(other, "1", "again"))
}

// ordered returns a copy of the example with an order, so that an array is compared as well.
func ordered(t *testing.T, dir string) string {
	t.Helper()
	desk := filepath.Join(dir, "desk")
	require.NoError(t, os.CopyFS(desk, os.DirFS(filepath.Join("..", "..", "examples", "observatory"))))
	project := filepath.Join(desk, "lampblack.yaml")
	src, err := os.ReadFile(project)
	require.NoError(t, err)
	if !strings.Contains(string(src), "\norder:") {
		require.NoError(t, os.WriteFile(project, append(src, "\norder: {name: spare, boards: {focus: 2, weather: 1}}\n"...), 0o644))
	}
	return desk
}

// The example console comes out byte for byte the same from the program for this processor and from the one in WebAssembly,
// which node runs: there are no vector instructions, no fused ones, and one thread. go test -run WebAssembly ./cmd/lampblack
// does this alone.
func TestSameBytesInWebAssembly(t *testing.T) {
	if testing.Short() {
		t.Skip("builds the program twice and the example twice, once in WebAssembly")
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
	dir := t.TempDir()
	desk := ordered(t, dir)
	run := func(out string, command ...string) string {
		out = filepath.Join(dir, out)
		do := func(args ...string) {
			said, err := exec.Command(command[0], append(slices.Clone(command[1:]), args...)...).CombinedOutput()
			require.NoError(t, err, "%s", said)
		}
		do("build", desk, "-o", out)
		for _, format := range []string{"svg", "pdf", "png", "dxf"} { // the same picture in every format
			do("survey", filepath.Join(desk, "dome.dxf"), "--picture", filepath.Join(out, "survey."+format))
		}
		return out
	}
	compile := func(name string, env ...string) string {
		name = filepath.Join(dir, name)
		c := exec.Command("go", "build", "-o", name, ".")
		c.Env = append(append(os.Environ(), "CGO_ENABLED=0"), env...)
		said, err := c.CombinedOutput()
		require.NoError(t, err, "%s", said)
		return name
	}
	// V8's usual stack of 1 MB is too small for some Go programs: Go's own go_js_wasm_exec gives it 8.
	web := run("web", node, "--stack-size=8192", start, compile("lampblack.wasm", "GOOS=js", "GOARCH=wasm"))
	same(t, run("here", compile("lampblack")), web)
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
	require.Greater(t, len(names), 100)
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
