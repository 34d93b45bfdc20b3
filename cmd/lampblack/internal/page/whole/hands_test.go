package main

import (
	"fmt"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/require"
)

const question = `document.querySelector(".finding .changes[aria-label^=what]")`

// keys goes from the beginning to the zip by keys alone.
func keys(b *browser) {
	to := b.t.TempDir()
	anew(b)
	if b.accessible("beginning") {
		b.does("help", press("help and keys"), chromedp.WaitVisible("dialog", chromedp.ByQuery))
		b.accessible("help")
		b.does("Escape closes", chromedp.KeyEvent(kb.Escape), chromedp.WaitNotPresent("dialog", chromedp.ByQuery))
	}

	b.does("begin by keys", tabs(`el.textContent.startsWith("A small panel")`), chromedp.KeyEvent(kb.Enter), holds(ready))
	b.does("a drawing with a question", put(map[string][]byte{"desk/bench.dxf": asks(b.t), "desk/out/old.dxf": []byte("0"), "desk/.hidden": {1}}), holds(question))
	b.does("answer by keys", tabs(`el.closest(".changes[aria-label^=what]")`), chromedp.KeyEvent(kb.Enter), holds("!"+question))
	b.does("undo by keys", chromedp.Evaluate(`document.activeElement.blur()`, nil), keyed("z", input.ModifierCtrl), holds(question), holds(`document.querySelector(".said").textContent.startsWith("taken back: ")`))
	b.does("redo by keys", keyed("y", input.ModifierCtrl), holds("!"+question))
	const panel = `document.querySelector(".panels [aria-pressed=true]").textContent`
	b.does("the next panel", tabs(`el.closest(".panels") && el.textContent === "bench"`), chromedp.KeyEvent(kb.Enter), holds(panel+` === "bench"`))
	b.does("a thing by keys", tabs(`el.matches(".sheet svg")`), chromedp.KeyEvent(kb.ArrowRight), chromedp.KeyEvent(kb.ArrowRight), chromedp.KeyEvent(kb.Enter),
		chromedp.WaitVisible(".say", chromedp.ByQuery), chromedp.KeyEvent(kb.Escape), chromedp.WaitNotPresent(".say", chromedp.ByQuery))
	b.does("an LED by keys", keyed("2", input.ModifierAlt), chromedp.WaitVisible(".lamp", chromedp.ByQuery), tabs(`el.matches(".lamp")`), chromedp.KeyEvent(kb.ArrowUp),
		holds(`document.querySelector("[aria-label='undo an LED moved']")`), keyed("z", input.ModifierCtrl), holds(`document.querySelector("[aria-label='redo an LED moved']")`))
	b.does("a board by keys", keyed("3", input.ModifierAlt), tabs(`el.matches("[name=side]")`), chromedp.KeyEvent(kb.ArrowRight), chromedp.WaitVisible("svg.board.back", chromedp.ByQuery))
	b.does("the zip by keys", holds(`document.querySelector("footer .what")?.textContent === "All 2 boards are ready to order."`),
		downloads(b, to),
		keyed("5", input.ModifierAlt), tabs(`el.textContent === "Take everything as one zip"`), chromedp.KeyEvent(kb.Enter))
	require.Contains(b.t, unzipped(b.t, landed(b.t, to)), "bench/board.glb")
	b.does("text", press("the project as text"), chromedp.WaitVisible(".cm-content", chromedp.ByQuery))
	b.accessible("text")
}

// fingers uses the sheet by touch, as keys left it.
func fingers(b *browser) {
	var at [2]float64
	var box, moved, near []float64
	const seen = `document.querySelector(".sheet svg[role]").getAttribute("viewBox").split(" ").map(Number)`
	b.does("the sheet", emulation.SetTouchEmulationEnabled(true), shows("drawing"), middle(".sheet svg[role]", &at), chromedp.Evaluate(seen, &box))
	b.does("move the sheet", touched([][2]float64{at}, [][2]float64{{at[0] + 30, at[1]}}, [][2]float64{{at[0] + 60, at[1]}}), chromedp.Evaluate(seen, &moved))
	require.InDelta(b.t, box[2], moved[2], 1e-6, "one finger does not enlarge")
	require.Less(b.t, moved[0], box[0], "the sheet goes with the finger")
	b.does("enlarge", touched([][2]float64{{at[0] - 40, at[1]}}, [][2]float64{{at[0] - 40, at[1]}, {at[0] + 40, at[1]}}, [][2]float64{{at[0] - 60, at[1]}, {at[0] + 60, at[1]}}, [][2]float64{{at[0] - 80, at[1]}, {at[0] + 80, at[1]}}), chromedp.Evaluate(seen, &near))
	require.InDelta(b.t, moved[2]/2, near[2], moved[2]/20, "twice as far apart, twice as large")
	var pin [2]float64
	b.does("see all again", press("the whole panel"), holds(fmt.Sprintf(`Math.abs(%s[2] - %g) < 1e-6`, seen, box[2])), chromedp.Evaluate(`(b => { const r = b.getBoundingClientRect(), [x, y, w, h] = b.getAttribute("viewBox").split(" ").map(Number); return [r.x + r.width * (10 - x) / w, r.y + r.height * (-25 - y) / h]; })(document.querySelector(".sheet svg[role]"))`, &pin))
	b.does("tap a thing", touched([][2]float64{pin}), chromedp.WaitVisible(".say", chromedp.ByQuery), chromedp.KeyEvent(kb.Escape))

	const where = `document.querySelector(".lamp").getAttribute("aria-label")`
	var was, is string
	b.does("find an LED", shows("light"), chromedp.WaitVisible(".lamp", chromedp.ByQuery), holds(`!document.querySelector(".progress button")`), chromedp.Evaluate(where, &was), middle(".lamp .target", &at))
	b.does("drag it", touched([][2]float64{at}, [][2]float64{{at[0], at[1] - 15}}, [][2]float64{{at[0], at[1] - 30}}), holds(`document.querySelector("[aria-label='undo an LED moved']")`), holds(`!document.querySelector(".progress button")`), chromedp.Evaluate(where, &is))
	var x, y, x1, y1 float64
	for s, to := range map[string][]any{was: {&x, &y}, is: {&x1, &y1}} {
		_, err := fmt.Sscanf(s, "LED at x %f, y %f mm", to...)
		require.NoError(b.t, err, s)
	}
	require.InDelta(b.t, x, x1, 0.1)
	require.Greater(b.t, y1, y+1)

	const bright = `(c => c.getContext("2d").getImageData(0, 0, c.width, c.height).data.reduce((n, v, i) => i % 4 < 3 ? n + v : n, 0) / (c.width * c.height))(document.querySelector(".light-plane canvas"))`
	var dark float64
	b.does("by daylight", emulation.SetTouchEmulationEnabled(false), chromedp.Evaluate(bright, &dark), chromedp.Click(`//label[contains(., "by daylight")]`, chromedp.BySearch))
	b.does("see it brighter", holds(fmt.Sprintf("%s > 1.5 * %g", bright, dark)))
}

// accessible looks at every view in each look: looks differ by their colours alone.
func accessible(b *browser) {
	for _, view := range []string{"drawing", "light", "boards", "currents", "files"} {
		for _, mode := range []string{"light", "dark", "red"} {
			b.does(view, shows(view), look(mode))
			if !b.accessible(view + " in " + mode) {
				b.t.Skip("run 'npm ci --ignore-scripts' in cmd/lampblack/internal/page/src for axe-core")
			}
		}
	}
}

// alike: what is told of several panels alike is told once, until it is opened; questions are never folded.
func alike(b *browser) {
	anew(b)
	const open = `document.querySelectorAll(".alike .finding").length`
	b.does("three alike", put(map[string][]byte{"left.dxf": asks(b.t), "middle.dxf": asks(b.t), "right.dxf": asks(b.t)}),
		holds(`document.querySelectorAll(".findings .changes[aria-label^=what]").length === 3`), holds(`document.querySelector(".alike > .go")?.textContent.startsWith("3 warnings alike")`), holds(open+" === 0"))
	b.does("open it by keys", tabs(`el.matches(".alike > .go")`), chromedp.KeyEvent(kb.Enter), holds(open+" === 3"))
	b.accessible("alike, open")
	b.does("close it", chromedp.KeyEvent(kb.Enter), holds(open+" === 0"))
	b.does("a pin opens it", chromedp.Evaluate(`document.querySelector(".pin.warning").dispatchEvent(new MouseEvent("click", {bubbles: true}))`, nil), holds(`document.querySelector(".alike .finding.at")`))
}
