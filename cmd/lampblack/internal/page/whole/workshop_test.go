package main

import (
	"archive/zip"
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	cdp "github.com/chromedp/cdproto/browser"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/require"
)

const question = `document.querySelector(".finding .changes[aria-label^=what]")`

// What a user does in the page beside the way of TestOpenInBrowser: all of it by keys; the sheet by fingers; with folders and zips.
func TestWorkshop(t *testing.T) {
	if testing.Short() {
		t.Skip("it builds the program, and runs a browser")
	}
	dir := t.TempDir()
	program, taken := filepath.Join(dir, "lampblack"), filepath.Join(dir, "taken")
	require.NoError(t, os.Mkdir(taken, 0o755))
	said, err := exec.Command("go", "build", "-o", program, "lampblack/cmd/lampblack").CombinedOutput()
	require.NoError(t, err, "%s", said)
	b := browsed(t, opened(t, program, t.TempDir()))
	b.does("wait", chromedp.WaitVisible(".beginning", chromedp.ByQuery))
	if b.accessible("beginning") {
		b.does("help", press("help and keys"), chromedp.WaitVisible("dialog", chromedp.ByQuery))
		b.accessible("help")
		b.does("Escape closes", chromedp.KeyEvent(kb.Escape), chromedp.WaitNotPresent("dialog", chromedp.ByQuery))
	}

	// From the beginning to the zip by keys alone.
	b.does("begin by keys", tabs(`el.textContent.startsWith("A small panel")`), chromedp.KeyEvent(kb.Enter), holds(ready))
	b.does("a drawing with a question", put(map[string][]byte{"desk/bench.dxf": asks(t), "desk/out/old.dxf": []byte("0"), "desk/.hidden": {1}}), holds(question))
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
		cdp.SetDownloadBehavior(cdp.SetDownloadBehaviorBehaviorAllow).WithDownloadPath(taken),
		keyed("5", input.ModifierAlt), tabs(`el.textContent === "Take everything as one zip"`), chromedp.KeyEvent(kb.Enter))
	all := unzipped(t, landed(t, taken))
	require.Contains(t, all, "bench/board.glb")
	b.does("text", press("the project as text"), chromedp.WaitVisible(".cm-content", chromedp.ByQuery))
	b.accessible("text")

	t.Run("fingers", func(t *testing.T) {
		b := &browser{t: t, ctx: b.ctx}
		var at [2]float64
		var box, moved, near []float64
		const seen = `document.querySelector(".sheet svg[role]").getAttribute("viewBox").split(" ").map(Number)`
		b.does("the sheet", emulation.SetTouchEmulationEnabled(true), shows("drawing"), middle(".sheet svg[role]", &at), chromedp.Evaluate(seen, &box))
		b.does("move the sheet", touched([][2]float64{at}, [][2]float64{{at[0] + 30, at[1]}}, [][2]float64{{at[0] + 60, at[1]}}), chromedp.Evaluate(seen, &moved))
		require.InDelta(t, box[2], moved[2], 1e-6, "one finger does not enlarge")
		require.Less(t, moved[0], box[0], "the sheet goes with the finger")
		b.does("enlarge", touched([][2]float64{{at[0] - 40, at[1]}}, [][2]float64{{at[0] - 40, at[1]}, {at[0] + 40, at[1]}}, [][2]float64{{at[0] - 60, at[1]}, {at[0] + 60, at[1]}}, [][2]float64{{at[0] - 80, at[1]}, {at[0] + 80, at[1]}}), chromedp.Evaluate(seen, &near))
		require.InDelta(t, moved[2]/2, near[2], moved[2]/20, "twice as far apart, twice as large")
		var pin [2]float64
		b.does("see all again", press("the whole panel"), holds(fmt.Sprintf(`Math.abs(%s[2] - %g) < 1e-6`, seen, box[2])), chromedp.Evaluate(`(b => { const r = b.getBoundingClientRect(), [x, y, w, h] = b.getAttribute("viewBox").split(" ").map(Number); return [r.x + r.width * (10 - x) / w, r.y + r.height * (-25 - y) / h]; })(document.querySelector(".sheet svg[role]"))`, &pin))
		b.does("tap a thing", touched([][2]float64{pin}), chromedp.WaitVisible(".say", chromedp.ByQuery), chromedp.KeyEvent(kb.Escape))

		const where = `document.querySelector(".lamp").getAttribute("aria-label")`
		var was, is string
		b.does("find an LED", shows("light"), chromedp.WaitVisible(".lamp", chromedp.ByQuery), chromedp.Evaluate(where, &was), middle(".lamp .target", &at))
		b.does("drag it", touched([][2]float64{at}, [][2]float64{{at[0], at[1] - 15}}, [][2]float64{{at[0], at[1] - 30}}), holds(`document.querySelector("[aria-label='undo an LED moved']")`), chromedp.Evaluate(where, &is))
		var x, y, x1, y1 float64
		for s, to := range map[string][]any{was: {&x, &y}, is: {&x1, &y1}} {
			_, err := fmt.Sscanf(s, "LED at x %f, y %f mm", to...)
			require.NoError(t, err, s)
		}
		require.InDelta(t, x, x1, 0.1)
		require.Greater(t, y1, y+1)

		const bright = `(c => c.getContext("2d").getImageData(0, 0, c.width, c.height).data.reduce((n, v, i) => i % 4 < 3 ? n + v : n, 0) / (c.width * c.height))(document.querySelector(".light-plane canvas"))`
		var dark float64
		b.does("by daylight", emulation.SetTouchEmulationEnabled(false), chromedp.Evaluate(bright, &dark), chromedp.Click(`//label[contains(., "by daylight")]`, chromedp.BySearch))
		b.does("see it brighter", holds(fmt.Sprintf("%s > 1.5 * %g", bright, dark)))
	})

	t.Run("back again", func(t *testing.T) { back(&browser{t: t, ctx: b.ctx}) })

	// A zip of a project takes the place of what lies there; several drawings at once are a panel each.
	b.does("anew", shows("files"), press("to take away"), press("Begin anew"), chromedp.WaitVisible(".beginning", chromedp.ByQuery))
	three := map[string][]byte{"left.dxf": asks(t), "middle.dxf": asks(t), "right.dxf": asks(t)}
	const names = `[...document.querySelectorAll(".panels button > span:first-of-type")].map(s => s.textContent).join()`
	b.does("several", put(three), holds(names+` === "left,middle,right"`))

	// What is told of each alike is told once, until it is opened; questions are never folded.
	const alike = `document.querySelectorAll(".alike .finding").length`
	b.does("alike, once", holds(`document.querySelectorAll(".findings .changes[aria-label^=what]").length === 3`), holds(`document.querySelector(".alike > .go")?.textContent.startsWith("3 warnings alike")`), holds(alike+" === 0"))
	b.does("open it by keys", tabs(`el.matches(".alike > .go")`), chromedp.KeyEvent(kb.Enter), holds(alike+" === 3"))
	b.accessible("alike, open")
	b.does("close it", chromedp.KeyEvent(kb.Enter), holds(alike+" === 0"))
	b.does("a pin opens it", chromedp.Evaluate(`document.querySelector(".pin.warning").dispatchEvent(new MouseEvent("click", {bubbles: true}))`, nil), holds(`document.querySelector(".alike .finding.at")`))
	b.does("anew", shows("files"), press("Begin anew"), chromedp.WaitVisible(".beginning", chromedp.ByQuery))
	b.does("a zip", put(map[string][]byte{"desk.zip": zipped(t, "desk/", three)}), holds(names+` === "left,middle,right"`))
	b.quiet()
}

// Both sides of a file that changed here and on disk are shown, and nothing is written before it is said which goes on. All is so where
// the browser has no third dimension.
func TestFolderInBrowser(t *testing.T) {
	if testing.Short() {
		t.Skip("it builds the program, and runs a browser")
	}
	dir := t.TempDir()
	program, desk := filepath.Join(dir, "lampblack"), filepath.Join(dir, "desk")
	said, err := exec.Command("go", "build", "-o", program, "lampblack/cmd/lampblack").CombinedOutput()
	require.NoError(t, err, "%s", said)
	said, err = exec.Command(program, "new", desk).CombinedOutput()
	require.NoError(t, err, "%s", said)
	b := browsed(t, opened(t, program, dir, desk), chromedp.Flag("disable-gpu", true), chromedp.Flag("disable-3d-apis", true))
	file := filepath.Join(desk, "lampblack.yaml")
	was, err := os.ReadFile(file)
	require.NoError(t, err)

	amps := func(a string) chromedp.Action {
		return chromedp.Tasks{shows("currents"), chromedp.WaitVisible(`.currents input[id="f-supply.amps"]`, chromedp.ByQuery), chromedp.Evaluate(`(i => { i.value = "`+a+`"; i.dispatchEvent(new Event("input", {bubbles: true})); i.dispatchEvent(new Event("change", {bubbles: true})); })(document.getElementById("f-supply.amps"))`, nil),
			holds(`document.querySelector(".follow .state").textContent.includes("not saved")`)}
	}
	read := func() string {
		now, err := os.ReadFile(file)
		require.NoError(t, err)
		return string(now)
	}
	asked := holds(`document.querySelectorAll(".dispute .both > div").length === 2 && [...document.querySelectorAll(".follow .state button")].every(b => b.disabled)`)
	b.does("change here", holds(ready), amps("1.7 A"))
	theirs := string(was) + "# written in another program\n"
	require.NoError(t, os.WriteFile(file, []byte(theirs), 0o644))
	b.does("be asked", asked)
	require.Equal(t, theirs, read())
	b.does("keep this page's", press("keep this page's"), press("save"), holds(`document.querySelector(".follow .state").textContent.includes("all is saved")`))
	mine := read()
	require.Contains(t, mine, "amps: 1.7 A")
	require.NotContains(t, mine, "another program")

	b.does("change here again", amps("1.9 A"))
	require.NoError(t, os.WriteFile(file, []byte(theirs), 0o644))
	b.does("take the disk's", asked, press("take the disk's"), holds(`document.querySelector(".follow .state").textContent.includes("all is saved")`))
	require.Equal(t, theirs, read())

	// What is written by hand is all that changes in the file's bytes, whatever its encoding and its ends of lines; what is clicked next finds it.
	b.does("go to the text", shows("files"), press("the project as text"), chromedp.WaitVisible(".cm-content", chromedp.ByQuery))
	saved := chromedp.Click(".follow .state button", chromedp.ByQuery)
	still := holds(`document.querySelector(".follow .state").textContent.includes("all is saved")`)
	for i, src := range []string{"\ufeff" + strings.ReplaceAll("# 0\n"+theirs, "\n", "\r\n"), strings.Replace("# 1\n"+theirs, "\n", "\r\n", 3), "# 2\n" + theirs + "# Stra\xdfe"} {
		require.NoError(t, os.WriteFile(file, []byte(src), 0o644))
		end := "\n"
		if strings.Contains(src, "\r\n") {
			end = "\r\n"
		}
		b.does("type", holds(fmt.Sprintf(`document.querySelector(".cm-line").textContent === "# %d"`, i)), chromedp.Focus(".cm-content", chromedp.ByQuery), keyed(kb.Home, input.ModifierCtrl),
			chromedp.KeyEvent("# typed"), chromedp.KeyEvent(kb.Enter), saved, still) // which presses Enter as a key and as a letter
		mark, text := "", src
		if strings.HasPrefix(src, "\ufeff") {
			mark, text = "\ufeff", src[3:]
		}
		require.Equal(t, mark+"# typed"+end+end+strings.ReplaceAll(text, "\xdf", "ß"), read())
	}

	b.does("no third dimension", shows("boards"), chromedp.Click(`//label[contains(., "3D")]`, chromedp.BySearch), holds(`document.querySelector(".boards").textContent.includes("no WebGL")`))
	b.does("go on", chromedp.Click(`//label[contains(., "through")]`, chromedp.BySearch), chromedp.WaitVisible("svg.board.through", chromedp.ByQuery))
	b.quiet()
}

// zipped is files in a folder of a zip.
func zipped(t *testing.T, folder string, files map[string][]byte) []byte {
	var out bytes.Buffer
	z := zip.NewWriter(&out)
	for name, data := range files {
		w, err := z.Create(folder + name)
		require.NoError(t, err)
		_, err = w.Write(data)
		require.NoError(t, err)
	}
	require.NoError(t, z.Close())
	return out.Bytes()
}
