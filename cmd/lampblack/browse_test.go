package main

import (
	"bufio"
	"bytes"
	"context"
	"fmt"
	"io"
	"net/http"
	"os"
	"path/filepath"
	"regexp"
	"runtime"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// Open has the browser open a page that only the user can read, so that the token stands in no list of processes; the page leads to the
// address, and is gone when the browser has got there.
func TestOpenTellsNobodyTheToken(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("what a program is called with, other users there cannot see")
	}
	home, dir := t.TempDir(), t.TempDir()
	told := filepath.Join(dir, "told")
	// A browser that notes what it is called with and what that page has, and is not in haste.
	program := fmt.Sprintf("#!/bin/sh\nexport PATH=%s\ncp \"$1\" %s/page && printf '%%s\\n' \"$#\" \"$1\" > %s/part && mv %s/part %s\n", os.Getenv("PATH"), dir, dir, dir, told)
	require.NoError(t, os.WriteFile(filepath.Join(dir, opener(runtime.GOOS)[0]), []byte(program), 0o755))
	t.Setenv("PATH", dir)
	t.Setenv("HOME", home)
	t.Chdir(t.TempDir())

	ctx, stop := context.WithCancel(t.Context())
	said, to := io.Pipe()
	ended := make(chan int, 1)
	var errw bytes.Buffer
	go func() { ended <- runUntil(ctx, []string{"open"}, nil, to, &errw) }()
	line, err := bufio.NewReader(said).ReadString('\n')
	require.NoError(t, err)
	address := strings.TrimSpace(line)

	require.Eventually(t, func() bool { _, err := os.Stat(told); return err == nil }, time.Minute, 10*time.Millisecond)
	with, err := os.ReadFile(told)
	require.NoError(t, err)
	token := regexp.MustCompile(`[0-9a-f]{32}`).FindString(address)
	require.NotEmpty(t, token)
	require.NotContains(t, string(with), token)
	count, file, _ := strings.Cut(strings.TrimSpace(string(with)), "\n")
	require.Equal(t, "1", count)
	require.Equal(t, home, filepath.Dir(filepath.Dir(file)))
	page, err := os.ReadFile(filepath.Join(dir, "page"))
	require.NoError(t, err)
	require.Contains(t, string(page), `<meta http-equiv="refresh" content="0;url=`+address+`">`)

	a, err := http.Get(address)
	require.NoError(t, err)
	require.Equal(t, http.StatusOK, a.StatusCode)
	_, err = io.Copy(io.Discard, a.Body) // as a browser does: a page that nobody takes to its end was not got
	require.NoError(t, err)
	require.NoError(t, a.Body.Close())
	require.Eventually(t, func() bool { left, err := os.ReadDir(home); return err == nil && len(left) == 0 }, time.Minute, 10*time.Millisecond)
	stop()
	require.Equal(t, statusGood, <-ended, errw.String())
}

// Where there is no browser, the address is there to be opened by hand, and nothing is left lying about.
func TestOpenWithoutBrowser(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("the system's own way is always there")
	}
	home := t.TempDir()
	t.Setenv("PATH", t.TempDir())
	t.Setenv("HOME", home)
	done, err := browse("http://127.0.0.1:1/0/")
	require.Error(t, err)
	done()
	left, err := os.ReadDir(home)
	require.NoError(t, err)
	require.Empty(t, left)
}
