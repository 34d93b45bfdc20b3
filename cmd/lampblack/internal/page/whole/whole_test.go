package main

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"
)

// The page is one file of at most so many bytes. Opened from disk in a browser without a network it makes a panel's board, and asks
// nothing of anyone.
func TestWholePageFromDisk(t *testing.T) {
	if testing.Short() {
		t.Skip("it builds the page, and runs a browser")
	}
	html, err := made()
	require.NoError(t, err)
	require.LessOrEqual(t, len(html), most)
	t.Logf("lampblack.html has %d bytes", len(html))

	file := filepath.Join(t.TempDir(), "lampblack.html")
	require.NoError(t, os.WriteFile(file, html, 0o644))
	b := browsed(t, "file://"+file)
	b.does("a panel's board from disk",
		chromedp.Click(`//button[contains(., "A small panel")]`, chromedp.BySearch),
		chromedp.WaitVisible(`//footer//span[contains(., "ready to order")]`, chromedp.BySearch),
	)
	require.Equal(t, "The board is ready to order.", b.text("footer .what"))
	b.quiet()
}
