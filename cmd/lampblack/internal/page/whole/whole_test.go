package main

import (
	"context"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/runtime"
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

	browser, err := exec.LookPath("chromium")
	if err != nil {
		t.Skip("there is no chromium on the path to open the page in")
	}
	file := filepath.Join(t.TempDir(), "lampblack.html")
	require.NoError(t, os.WriteFile(file, html, 0o644))
	ctx, end := context.WithTimeout(t.Context(), 4*time.Minute)
	defer end()
	ctx, end = chromedp.NewExecAllocator(ctx, append(chromedp.DefaultExecAllocatorOptions[:],
		chromedp.ExecPath(browser), chromedp.NoSandbox, chromedp.DisableGPU, chromedp.WSURLReadTimeout(time.Minute),
		chromedp.Flag("host-resolver-rules", "MAP * ~NOTFOUND"), chromedp.Flag("disable-quic", true), chromedp.Flag("disable-component-update", true),
	)...)
	defer end()
	ctx, end = chromedp.NewContext(ctx)
	defer end()

	var mu sync.Mutex
	var asked, faults []string
	chromedp.ListenTarget(ctx, func(e any) {
		mu.Lock()
		defer mu.Unlock()
		switch e := e.(type) {
		case *network.EventRequestWillBeSent:
			if u := e.Request.URL; u != "file://"+file && !strings.HasPrefix(u, "blob:") && !strings.HasPrefix(u, "data:") {
				asked = append(asked, u)
			}
		case *runtime.EventExceptionThrown:
			faults = append(faults, e.ExceptionDetails.Error())
		}
	})
	var told string
	err = chromedp.Run(ctx,
		network.Enable(),
		chromedp.Navigate("file://"+file),
		chromedp.Click(`//button[contains(., "A small panel")]`, chromedp.BySearch),
		chromedp.WaitVisible(`//footer//span[contains(., "ready to order")]`, chromedp.BySearch),
		chromedp.Text("footer .what", &told, chromedp.ByQuery),
	)
	mu.Lock()
	defer mu.Unlock()
	require.NoError(t, err, "%v", faults)
	require.Equal(t, "The board is ready to order.", told)
	require.Empty(t, asked)
	require.Empty(t, faults)
}
