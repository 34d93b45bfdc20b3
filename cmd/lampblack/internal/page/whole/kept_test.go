package main

import (
	"context"
	"net/http"
	"net/http/httptest"
	"time"

	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"
)

// again is that the page says so where it goes on with what was kept.
const again = `document.querySelector(".said").textContent.includes("of last time")`

// kept: what was done is there when the page is opened again, with its history, until it is forgotten.
func kept(b *browser) {
	b.does("begin", press("A small panel"), chromedp.WaitVisible(".sheet svg[role]", chromedp.ByQuery))
	b.does("reopen", keeps("2"), chromedp.Reload(), holds(again))
	b.does("go back and on", press("undo"), chromedp.WaitVisible(".beginning", chromedp.ByQuery), press("redo"), chromedp.WaitNotPresent(".beginning", chromedp.ByQuery))
	b.does("forget", press("forget it …"), press("forget it"), chromedp.WaitVisible(".beginning", chromedp.ByQuery), keeps("undefined"))
	b.does("begin with nothing", chromedp.Reload(), chromedp.WaitVisible(".beginning", chromedp.ByQuery), keeps("undefined"), holds("!"+again))
}

// refused is a host that shuts pages off from each other, by which the browser keeps nothing for any of them: neither the work nor the look.
func refused(b *browser, in context.Context, html []byte) {
	s := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) {
		w.Header().Set("Content-Security-Policy", "sandbox allow-scripts allow-downloads")
		_, _ = w.Write(html)
	}))
	defer s.Close()
	b = tab(b.t, in, s.URL)
	b.does("be told", chromedp.WaitVisible(`//section[contains(., "keeps nothing of your work (")]`, chromedp.BySearch))
	b.does("begin", look("red"), press("A small panel"), chromedp.WaitVisible(".sheet svg[role]", chromedp.ByQuery), holds(`document.documentElement.dataset.mode === "red"`))
	require.Contains(b.t, taken(b, "Take the project as a zip"), "lampblack.yaml")
	b.quiet()
}

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
