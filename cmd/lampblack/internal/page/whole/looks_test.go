package main

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"
)

// TestLooks takes pictures of every view, for people to look at, in three widths and three looks. Nothing is compared.
//
//	LOOKS=/tmp/looks go test ./cmd/lampblack/internal/page/whole -run TestLooks
//	LOOKS=/tmp/looks go test ./cmd/lampblack/internal/page/whole -run TestLooks/greenhouse
func TestLooks(t *testing.T) {
	to := os.Getenv("LOOKS")
	if to == "" {
		t.Skip("LOOKS names no folder for the pictures")
	}
	require.NoError(t, os.MkdirAll(to, 0o755))
	dir := t.TempDir()
	program := filepath.Join(dir, "lampblack")
	said, err := exec.Command("go", "build", "-o", program, "lampblack/cmd/lampblack").CombinedOutput()
	require.NoError(t, err, "%s", said)
	var b *browser // each part's own
	looks := func(name string) {
		for _, width := range []int64{400, 1024, 1600} {
			for _, mode := range []string{"light", "dark", "red"} {
				var png []byte
				b.does(name, emulation.SetDeviceMetricsOverride(width, 900, 1, false), look(mode), chromedp.Sleep(250*time.Millisecond), chromedp.CaptureScreenshot(&png))
				require.NoError(t, os.WriteFile(filepath.Join(to, fmt.Sprintf("%s-%d-%s.png", name, width, mode)), png, 0o644))
			}
		}
		b.does("be wide again", emulation.SetDeviceMetricsOverride(1280, 900, 1, false))
	}
	views := func(of string, names ...string) {
		for _, v := range names {
			b.does(v, shows(v))
			looks(of + "-" + v)
		}
	}
	of := func(name string, take func()) {
		t.Run(name, func(t *testing.T) {
			b = browsed(t, opened(t, program, t.TempDir()), shaded...)
			b.does("be still", emulation.SetEmulatedMedia().WithFeatures([]*emulation.MediaFeature{{Name: "prefers-reduced-motion", Value: "reduce"}}))
			take()
		})
	}
	of("beginning", func() { looks("beginning") })
	of("bench", func() {
		b.does("ask", put(map[string][]byte{"bench.dxf": asks(t)}), holds(question), holds(ready))
		looks("bench-drawing")
		b.does("say", chromedp.Click(".taken .group:nth-child(3) button", chromedp.ByQuery), chromedp.Click(".say .roles button:nth-child(3)", chromedp.ByQuery), holds(`document.querySelector(".offers button")`))
		looks("bench-say")
		b.does("a kind", chromedp.SetValue(".say .trait select", "white-5mm", chromedp.ByQuery), holds(`document.querySelector(".offers p")?.textContent.startsWith("A white-5mm")`), holds(`document.querySelector(".offers button")`))
		looks("bench-kind")
		views("bench", "light", "boards", "currents")
	})
	of("observatory", func() {
		b.does("observatory", press("An observatory"), holds(ready))
		views("observatory", "drawing", "light")
		b.does("move", chromedp.Click(".lamp", chromedp.ByQuery), chromedp.KeyEvent("a"), holds(`document.querySelector(".better, .worse, td.was:not(:empty)")`))
		looks("observatory-light-added")
		b.does("undo", press("undo"), holds(ready))
		views("observatory", "boards")
		for _, side := range []string{"back", "through", "3D"} {
			b.does(side, chromedp.Click(`//label[contains(., "`+side+`")]`, chromedp.BySearch), chromedp.Sleep(500*time.Millisecond))
			looks("observatory-boards-" + side)
		}
		b.does("apart", chromedp.Evaluate(`(r => { r.value = "0.6"; r.dispatchEvent(new Event("input", {bubbles: true})); })(document.querySelector(".solid input[type=range]"))`, nil))
		looks("observatory-boards-apart")
		b.does("console", chromedp.Click(`//label[contains(., "the whole console")]`, chromedp.BySearch), chromedp.Sleep(500*time.Millisecond))
		looks("observatory-boards-console")
		b.does("dark", chromedp.Click(`//label[contains(., "in the dark")]`, chromedp.BySearch), chromedp.Sleep(500*time.Millisecond))
		looks("observatory-boards-night")
		views("observatory", "currents")
		b.does("slide", chromedp.Evaluate(`(r => { r.value = "9"; r.dispatchEvent(new Event("input", {bubbles: true})); })(document.querySelector(".currents input[type=range]"))`, nil), chromedp.WaitVisible(".two", chromedp.ByQuery))
		looks("observatory-currents-two")
		views("observatory", "files")
		b.does("text", press("the project as text"), chromedp.WaitVisible(".cm-content", chromedp.ByQuery))
		looks("observatory-text")
		b.does("help", press("help and keys"), chromedp.WaitVisible("dialog", chromedp.ByQuery))
		looks("help")
		b.does("close", press("close"))
	})
	of("greenhouse", func() {
		b.does("greenhouse", press("A greenhouse"), holds(ready))
		views("greenhouse", "drawing", "light", "boards", "currents", "files")
		b.does("by day", shows("light"), chromedp.Click(`//label[contains(., "by daylight")]`, chromedp.BySearch), chromedp.Sleep(2*time.Second))
		looks("greenhouse-day")
		b.does("an opening", shows("drawing"), chromedp.Click(`//*[@class="taken"]//button[contains(., "opening")]`, chromedp.BySearch),
			chromedp.SetValue(".say .trait input", "5", chromedp.ByQuery), chromedp.Evaluate(`document.querySelector(".say .trait input").dispatchEvent(new Event("change", {bubbles: true}))`, nil), holds(`document.querySelector(".offers p")`))
		looks("greenhouse-room")
	})
	of("small", func() {
		b.does("small", press("A small panel"), holds(ready))
		views("small", "drawing", "light", "boards", "currents", "files")
	})
	of("errors", func() {
		bad, err := filepath.Glob(filepath.Join("..", "..", "..", "..", "..", "testdata", "bad", "*.dxf"))
		require.NoError(t, err)
		all := map[string][]byte{}
		for _, file := range bad {
			all[filepath.Base(file)], err = os.ReadFile(file)
			require.NoError(t, err)
		}
		b.does("errors", put(all), holds(`document.querySelectorAll(".finding").length > 5 && document.querySelector("footer .what")?.textContent.includes("board")`))
		views("errors", "drawing", "light", "boards", "currents", "files")
	})
}
