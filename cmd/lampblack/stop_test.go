package main

import (
	"bufio"
	"bytes"
	"context"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// Ctrl-C ends a build with status 3 and says that nothing was changed, and nothing is: a real signal to the program as it is built.
func TestInterrupted(t *testing.T) {
	if testing.Short() {
		t.Skip("builds the program")
	}
	if runtime.GOOS == "windows" {
		t.Skip("there is no such signal to another process")
	}
	dir := t.TempDir()
	program := filepath.Join(dir, "lampblack")
	said, err := exec.Command("go", "build", "-o", program, ".").CombinedOutput()
	require.NoError(t, err, "%s", said)
	desk := filepath.Join(dir, "desk")
	require.NoError(t, os.CopyFS(desk, os.DirFS(filepath.Join("..", "..", "examples", "observatory"))))
	out := filepath.Join(desk, outName)
	require.NoError(t, os.RemoveAll(out))

	c := exec.Command(program, "build", "dome.dxf")
	c.Dir = desk
	pipe, err := c.StderrPipe()
	require.NoError(t, err)
	require.NoError(t, c.Start())
	// The first thing told, before any work, says that the program is at it.
	told := bufio.NewReader(pipe)
	line, err := told.ReadString('\n')
	require.NoError(t, err)
	require.Contains(t, line, "that project is taken, with all it says: 6 panels")
	require.NoError(t, c.Process.Signal(os.Interrupt))
	rest, err := io.ReadAll(told)
	require.NoError(t, err)
	require.Error(t, c.Wait())
	require.Equal(t, statusFailed, c.ProcessState.ExitCode(), string(rest))
	require.Equal(t, "lampblack: stopped; nothing was changed\n", string(rest))
	require.NoDirExists(t, out)
	left, err := filepath.Glob(filepath.Join(desk, ".*"))
	require.NoError(t, err)
	require.Empty(t, left)
}

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
			require.Equal(t, "lampblack: stopped; nothing was changed\n", errw.String())
			now, err := os.Stat(result)
			require.NoError(t, err)
			require.True(t, os.SameFile(before, now))
		}
		timer.Stop()
		stop()
	}
}
