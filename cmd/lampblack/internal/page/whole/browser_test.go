package main

import (
	"context"
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/cdproto/target"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"
)

// browser is a page that is open in a browser which can reach nothing but this machine.
type browser struct {
	t   *testing.T
	ctx context.Context
	own cdp.BrowserContextID
	*seen
}

// seen is what must not happen in a page.
type seen struct {
	mu            sync.Mutex
	asked, faults []string // of others than the page's own address; what the scripts threw
}

// chromium begins a browser, with more options than all have. The test is skipped where there is none.
func chromium(t *testing.T, more ...chromedp.ExecAllocatorOption) context.Context {
	program, err := exec.LookPath("chromium")
	if err != nil {
		t.Skip("there is no chromium on the path to open the page in")
	}
	ctx, end := context.WithTimeout(t.Context(), 8*time.Minute)
	t.Cleanup(end)
	ctx, end = chromedp.NewExecAllocator(ctx, append(append(chromedp.DefaultExecAllocatorOptions[:],
		chromedp.ExecPath(program), chromedp.NoSandbox, chromedp.DisableGPU, chromedp.WSURLReadTimeout(time.Minute), chromedp.WindowSize(1280, 900),
		chromedp.Flag("host-resolver-rules", "MAP * ~NOTFOUND, EXCLUDE 127.0.0.1"), chromedp.Flag("disable-quic", true), chromedp.Flag("disable-component-update", true),
	), more...)...)
	t.Cleanup(end)
	ctx, end = chromedp.NewContext(ctx)
	t.Cleanup(end)
	require.NoError(t, chromedp.Run(ctx))
	return ctx
}

// tab opens an address in a browser, which knows nothing of other pages that it has had.
func tab(t *testing.T, in context.Context, address string) *browser {
	var own cdp.BrowserContextID
	var id target.ID
	require.NoError(t, chromedp.Run(in, chromedp.ActionFunc(func(ctx context.Context) (err error) {
		ctx = cdp.WithExecutor(ctx, chromedp.FromContext(ctx).Browser)
		if own, err = target.CreateBrowserContext().Do(ctx); err != nil {
			return err
		}
		// A context has no window yet.
		id, err = target.CreateTarget("about:blank").WithBrowserContextID(own).WithNewWindow(true).WithWidth(1280).WithHeight(900).Do(ctx)
		return err
	})))
	ctx, end := chromedp.NewContext(in, chromedp.WithTargetID(id))
	t.Cleanup(end)
	b := &browser{t, ctx, own, &seen{}}
	chromedp.ListenTarget(ctx, func(e any) {
		b.mu.Lock()
		defer b.mu.Unlock()
		switch e := e.(type) {
		case *network.EventRequestWillBeSent:
			if u := e.Request.URL; !strings.HasPrefix(u, address) && !strings.HasPrefix(u, "blob:") && !strings.HasPrefix(u, "data:") {
				b.asked = append(b.asked, u)
			}
		case *runtime.EventExceptionThrown:
			b.faults = append(b.faults, e.ExceptionDetails.Error())
		}
	})
	b.does("open the page", network.Enable(), emulation.SetFocusEmulationEnabled(true), emulation.SetEmulatedMedia().WithFeatures([]*emulation.MediaFeature{{Name: "prefers-reduced-motion", Value: "reduce"}}),
		chromedp.Navigate(address), chromedp.WaitVisible(".beginning, .bench", chromedp.ByQuery))
	return b
}

// browsed opens an address in a browser of its own.
func browsed(t *testing.T, address string, more ...chromedp.ExecAllocatorOption) *browser {
	return tab(t, chromium(t, more...), address)
}

// of is the same page for a part of the test.
func (b *browser) of(t *testing.T) *browser { return &browser{t, b.ctx, b.own, b.seen} }

// part runs a part of the test.
func (b *browser) part(name string, part func(b *browser)) {
	b.t.Run(name, func(t *testing.T) { part(b.of(t)) })
}

// patience is for a machine that does much else and is slow.
const patience = 2 * time.Minute

// does has the page be used; what is for where it fails. What took long is told.
func (b *browser) does(what string, actions ...chromedp.Action) {
	b.t.Helper()
	ctx, end := context.WithTimeout(b.ctx, patience)
	defer end()
	if b.ctx.Err() == nil && chromedp.FromContext(b.ctx).Target == nil {
		ctx = b.ctx // the first ends the page when it ends
	}
	began := time.Now()
	err := chromedp.Run(ctx, actions...)
	if d := time.Since(began); d > time.Second {
		b.t.Logf("%s took %.1f s", what, d.Seconds())
	}
	if err == nil {
		return
	}
	var shown string
	_ = chromedp.Run(b.ctx, chromedp.Evaluate(`document.body.innerText`, &shown))
	b.mu.Lock()
	defer b.mu.Unlock()
	require.NoError(b.t, err, "%s; faults %v; the page shows:\n%s", what, b.faults, shown)
}

// press clicks the button that has the words, or is named so.
func press(words string) chromedp.Action {
	w, _ := json.Marshal(words) // XPath quotes so, too
	return chromedp.Click(`//button[not(@disabled)][contains(., `+string(w)+`) or contains(@aria-label, `+string(w)+`)]`, chromedp.BySearch)
}

// holds waits until a condition in the page's language holds.
func holds(condition string) chromedp.Action {
	return chromedp.Poll("!!("+condition+")", nil, chromedp.WithPollingInterval(50*time.Millisecond), chromedp.WithPollingTimeout(0))
}

// quiet wants that the page asked nothing of anyone else, and that no script broke.
func (b *browser) quiet() {
	b.t.Helper()
	b.mu.Lock()
	defer b.mu.Unlock()
	require.Empty(b.t, b.asked)
	require.Empty(b.t, b.faults)
}

// accessible has axe-core, https://github.com/dequelabs/axe-core, look at the page as it stands: the rules of WCAG 2.2, and good practice. It reports
// whether axe-core is there.
func (b *browser) accessible(what string) bool {
	b.t.Helper()
	script, err := os.ReadFile(filepath.Join("..", "src", "node_modules", "axe-core", "axe.min.js"))
	if err != nil {
		return false
	}
	var wrong []string
	var none any
	b.does("axe-core on "+what,
		chromedp.Evaluate(string(script)+"; 0", &none),
		chromedp.Evaluate(`axe.run(document, {resultTypes: ["violations"]}).then(r => r.violations.flatMap(v => v.nodes.map(n => v.id + ": " + n.html.slice(0, 200) + " " + (n.failureSummary ?? ""))))`,
			&wrong, func(p *runtime.EvaluateParams) *runtime.EvaluateParams { return p.WithAwaitPromise(true) }),
	)
	require.Empty(b.t, wrong, what)
	return true
}
