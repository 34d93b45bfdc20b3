package main

import (
	"context"
	"os"
	"os/exec"
	"path/filepath"
	"time"

	"github.com/chromedp/cdproto/target"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"
)

// workersEnded ends the workers that run the program behind the page's back, as a browser may: the page goes on with others. Both that
// are always there were asked something before.
func workersEnded(b *browser) {
	anew(b)
	two := map[string][]byte{"left.dxf": asks(b.t), "right.dxf": asks(b.t)}
	const all = `document.querySelector("footer .what")?.textContent === "All 2 boards are ready to order."`
	const told = `document.querySelector(".said.wrong")?.textContent.includes("broke down (the browser ended it), and was begun anew")`

	known := workers(b)
	b.does("end one that helps", put(two), amid(b, "close()", func(one target.ID) bool { return !known[one] }), holds(all))
	b.does("end those that are asked nothing", amid(b, "close()", nil), press("as taken now"), holds(`document.querySelectorAll(".findings .changes[aria-label^=what]").length === 1`), holds("!"+told))
}

// workers are those of the page.
func workers(b *browser) map[target.ID]bool {
	b.t.Helper()
	out := map[target.ID]bool{}
	b.does("list the workers", chromedp.ActionFunc(func(ctx context.Context) error {
		all, err := chromedp.Targets(ctx)
		for _, one := range all {
			if one.Type == "worker" && one.BrowserContextID == b.own {
				out[one.TargetID] = true
			}
		}
		return err
	}))
	return out
}

// amid does something in each of the page's workers, or waits for the one that is meant.
func amid(b *browser, script string, which func(target.ID) bool) chromedp.Action {
	return chromedp.ActionFunc(func(ctx context.Context) error {
		for ctx.Err() == nil {
			done := false
			for id := range workers(b) {
				if which != nil && !which(id) {
					continue
				}
				in, end := chromedp.NewContext(b.ctx, chromedp.WithTargetID(id))
				err := chromedp.Run(in, chromedp.Evaluate(script, nil))
				_ = end // what ends a context closes what it is attached to, which the page is to find out by itself
				if err != nil {
					return err
				}
				done = true
			}
			if done {
				return nil
			}
		}
		return ctx.Err()
	})
}

// programEnded ends the program that serves the page.
func programEnded(b *browser, in context.Context, program string) {
	desk := filepath.Join(b.t.TempDir(), "desk")
	said, err := exec.Command(program, "new", desk).CombinedOutput()
	require.NoError(b.t, err, "%s", said)
	address, kill := opens(b.t, program, desk, desk)
	b = tab(b.t, in, address)
	b.does("see it", chromedp.WaitVisible(".sheet svg[role]", chromedp.ByQuery))
	kill()
	const advice = `?.textContent.includes("then run 'lampblack open' again")`
	b.does("be told", holds(`document.querySelector(".follow [role=alert]")`+advice))
	b.does("be told of what cannot be done", shows("files"), press("the project as text"), chromedp.WaitVisible(".cm-content", chromedp.ByQuery), press("to take away"),
		press("Take the project as a zip"), holds(`document.querySelector(".said.wrong")`+advice))
	to := b.t.TempDir()
	b.does("take the work all the same", downloads(b, to), press("take lampblack.yaml"))
	require.Eventually(b.t, func() bool {
		got, err := os.ReadFile(filepath.Join(to, "lampblack.yaml"))
		want, wrong := os.ReadFile(filepath.Join(desk, "lampblack.yaml"))
		return err == nil && wrong == nil && string(got) == string(want)
	}, patience, 50*time.Millisecond)
}
