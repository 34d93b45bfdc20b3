package main

import (
	"bufio"
	"context"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"
)

// TestPage has the page be used in a browser: as `lampblack open` serves it, and as lampblack.html from disk, without a network. What a
// user does is the same with both, in one page after the other; each part begins anew.
func TestPage(t *testing.T) {
	if testing.Short() {
		t.Skip("it builds both programs, and runs a browser")
	}
	in := chromium(t, shaded...)
	program := native(t)
	t.Run("native", func(t *testing.T) {
		b := tab(t, in, opened(t, program, t.TempDir()))
		both(b, program)
		b.part("accessible", accessible)
		b.part("keys", keys)
		b.part("fingers", fingers)
		b.part("back again", back)
		b.part("alike", alike)
		b.part("ended", func(b *browser) { programEnded(b, in, program) })
		b.quiet()
	})
	t.Run("in the page", func(t *testing.T) {
		html, err := made()
		require.NoError(t, err)
		require.LessOrEqual(t, len(html), most)
		t.Logf("lampblack.html has %d bytes", len(html))
		file := filepath.Join(t.TempDir(), "lampblack.html")
		require.NoError(t, os.WriteFile(file, html, 0o644))
		b := tab(t, in, "file://"+file)
		b.part("kept", kept) // of a page that has no past
		both(b, program)
		b.part("ended", workersEnded)
		b.part("refused", func(b *browser) { refused(b, in, html) })
		b.quiet()
	})
	t.Run("folder", func(t *testing.T) { folder(t, program) })
}

// both is what is to be the same with both programs.
func both(b *browser, program string) {
	b.part("order", func(b *browser) { order(b, program) })
	b.part("dropped", dropped)
	b.part("hostile", hostile)
}

// native builds the program for this machine.
func native(t *testing.T) string {
	program := filepath.Join(t.TempDir(), "lampblack")
	said, err := exec.Command("go", "build", "-o", program, "lampblack/cmd/lampblack").CombinedOutput()
	require.NoError(t, err, "%s", said)
	return program
}

// opened runs `lampblack open` in a folder, of a project if one is named, and returns the address that it says.
func opened(t *testing.T, program, desk string, of ...string) string {
	address, _ := opens(t, program, desk, of...)
	return address
}

// opens is opened, and returns what kills the program too.
func opens(t *testing.T, program, desk string, of ...string) (address string, kill func()) {
	ctx, stop := context.WithCancel(context.Background())
	c := exec.CommandContext(ctx, program, append([]string{"open", "--no-browser"}, of...)...)
	c.Dir = desk
	pipe, err := c.StdoutPipe()
	require.NoError(t, err)
	require.NoError(t, c.Start())
	kill = func() { stop(); _ = c.Wait() }
	t.Cleanup(kill)
	address, err = bufio.NewReader(pipe).ReadString('\n')
	require.NoError(t, err)
	return strings.TrimSpace(address), kill
}

// anew clears the desk.
func anew(b *browser) {
	var begun bool
	b.does("look", chromedp.Evaluate(`!!document.querySelector("nav")`, &begun))
	if begun {
		b.does("begin anew", shows("files"), press("to take away"), press("Begin anew"), chromedp.WaitVisible(".beginning", chromedp.ByQuery))
	}
}
