package main

import (
	"context"
	"os"
	"os/exec"
	"path/filepath"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"
)

// workersEnded ends the workers that run the program behind the page's back, as a browser may, and has them hang: what was lost by it is
// told, and the page goes on.
func workersEnded(b *browser) {
	anew(b)
	two := map[string][]byte{"left.dxf": asks(b.t), "right.dxf": asks(b.t)}
	const all = `document.querySelector("footer .what")?.textContent === "All 2 boards are ready to order."`
	const told = `document.querySelector(".said.wrong")?.textContent.includes("broke down (the browser ended it), and was begun anew")`
	building := holds(`document.querySelector(".progress progress[value]")`)

	b.does("end one that helps", put(two), building, amid(b, `name === "helps"`, "close()"), holds(all))
	b.does("end those that are asked nothing", amid(b, "true", "close()"), press("as taken now"),
		holds(`document.querySelectorAll(".findings .changes[aria-label^=what]").length === 1`), holds("!"+told))
	// All are ended before, and what they knew is gone, so that there is something to build.
	b.does("end the one that builds", amid(b, "true", "close()"), press("undo"), building, amid(b, `name === "takes long"`, "close()"), holds(told), press("try again"), holds(all), holds("!"+told))

	// One that hangs is told after a while, which the page's clock makes short. It does so at what it is asked next, so that no build is over before.
	const hangs = `Atomics.wait(new Int32Array(new WebAssembly.Memory({initial: 1, maximum: 1, shared: true}).buffer), 0, 0)`
	b.does("hang", amid(b, `name === "takes long"`, `addEventListener("message", () => `+hangs+`, { once: true })`), press("redo"),
		chromedp.Evaluate(`{ const now = performance.now.bind(performance); performance.now = () => now() + 8000; }`, nil),
		holds(`document.querySelector("footer .what")?.textContent.includes("gave no sign for")`),
		press("stop"), chromedp.WaitVisible(`//footer//span[contains(., "Stopped")]`, chromedp.BySearch), press("go on"), holds(all))
}

// amid does something in those of the page's workers of which a condition holds, and waits until there is one.
func amid(b *browser, which, do string) chromedp.Action {
	return chromedp.ActionFunc(func(ctx context.Context) error {
		for done := false; !done; {
			all, err := chromedp.Targets(ctx)
			if err != nil {
				return err
			}
			for _, one := range all {
				if one.Type != "worker" || one.BrowserContextID != b.own {
					continue
				}
				in, end := chromedp.NewContext(b.ctx, chromedp.WithTargetID(one.TargetID))
				_ = end // what ends a context closes what it is attached to, which the page is to find out by itself
				is := false
				if err := chromedp.Run(in, chromedp.Evaluate("!!("+which+")", &is)); err != nil {
					return err
				}
				if is {
					done = true
					if err := chromedp.Run(in, chromedp.Evaluate(do, nil)); err != nil {
						return err
					}
				}
			}
			if err := ctx.Err(); err != nil {
				return err
			}
		}
		return nil
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
