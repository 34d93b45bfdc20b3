package main

import (
	"context"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"
)

// The page is one file of at most so many bytes. Opened from disk in a browser without a network it makes a panel's board, and asks
// nothing of anyone; the browser keeps what was done.
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

	// What was done is there when the page is opened again, with its history, until it is forgotten.
	const again = `document.querySelector(".said").textContent.includes("of last time")`
	b.does("reopen", keeps("2"), chromedp.Reload(), holds(again))
	b.does("go back and on", press("undo"), chromedp.WaitVisible(".beginning", chromedp.ByQuery), press("redo"), chromedp.WaitNotPresent(".beginning", chromedp.ByQuery))
	b.does("forget", press("forget it …"), press("forget it"), chromedp.WaitVisible(".beginning", chromedp.ByQuery), keeps("undefined"))
	b.does("begin with nothing", chromedp.Reload(), chromedp.WaitVisible(".beginning", chromedp.ByQuery), keeps("undefined"), holds("!"+again))

	// A browser that keeps nothing is told, and all else is as it was.
	b.does("be refused",
		chromedp.ActionFunc(func(ctx context.Context) error {
			_, err := page.AddScriptToEvaluateOnNewDocument(`IDBFactory.prototype.open = () => { throw new Error("it is private") }`).Do(ctx)
			return err
		}),
		chromedp.Reload(), chromedp.WaitVisible(`//section[contains(., "keeps nothing of your work (it is private)")]`, chromedp.BySearch),
		chromedp.WaitVisible(".beginning", chromedp.ByQuery),
	)

	// A program that hangs, or was ended behind the page's back, is told; once it is stopped, the work goes on with another.
	b.does("hang",
		chromedp.ActionFunc(func(ctx context.Context) error {
			_, err := page.AddScriptToEvaluateOnNewDocument(deadly).Do(ctx)
			return err
		}),
		chromedp.Reload(), chromedp.Click(`//button[contains(., "A small panel")]`, chromedp.BySearch),
		holds(`document.querySelector("footer .what")?.textContent.includes("gave no sign for")`),
		press("stop"), chromedp.WaitVisible(`//footer//span[contains(., "Stopped")]`, chromedp.BySearch),
		chromedp.Evaluate("window.mercy = true", nil),
		press("go on"), chromedp.WaitVisible(`//footer//span[contains(., "ready to order")]`, chromedp.BySearch),
	)
	b.quiet()
}

// deadly ends each worker that is to build, until the page has mercy.
const deadly = `
	const Living = Worker;
	window.Worker = class extends Living {
		postMessage(m, ...more) {
			if (!window.mercy && m.ask && new TextDecoder().decode(m.ask).includes('"do":"build"')) this.terminate();
			super.postMessage(m, ...more);
		}
	};
`

// keeps waits until the browser keeps so many steps; "undefined": none.
func keeps(steps string) chromedp.Action {
	return chromedp.ActionFunc(func(ctx context.Context) error {
		for {
			var has string
			err := chromedp.Evaluate(`new Promise(ok => {
				const r = indexedDB.open("lampblack", 1);
				r.onsuccess = () => {
					const g = r.result.transaction("work").objectStore("work").get("last");
					g.onsuccess = () => { ok(String(g.result?.steps.length)); r.result.close() };
				};
			})`, &has, func(p *runtime.EvaluateParams) *runtime.EvaluateParams { return p.WithAwaitPromise(true) }).Do(ctx)
			if err != nil || has == steps {
				return err
			}
			time.Sleep(100 * time.Millisecond)
		}
	})
}
