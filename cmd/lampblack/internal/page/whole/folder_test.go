package main

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/require"
)

// folder: both sides of a file that changed here and on disk are shown, and nothing is written before it is said which goes on. All is so where
// the browser has no third dimension.
func folder(t *testing.T, program string) {
	dir := t.TempDir()
	desk := filepath.Join(dir, "desk")
	said, err := exec.Command(program, "new", desk).CombinedOutput()
	require.NoError(t, err, "%s", said)
	b := browsed(t, opened(t, program, dir, desk), chromedp.Flag("disable-3d-apis", true))
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
