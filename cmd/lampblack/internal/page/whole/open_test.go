package main

import (
	"archive/zip"
	"bufio"
	"bytes"
	"context"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	cdp "github.com/chromedp/cdproto/browser"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/require"

	"lampblack/panel/paneltest/sketch"
)

// The page as `lampblack open` serves it: from a drawing that was made for nobody to the files to order, by clicks and keys; then drawings
// that no board can be made of.
func TestOpenInBrowser(t *testing.T) {
	if testing.Short() {
		t.Skip("it builds the program, and runs a browser")
	}
	dir := t.TempDir()
	program, desk, taken := filepath.Join(dir, "lampblack"), filepath.Join(dir, "desk"), filepath.Join(dir, "taken")
	for _, d := range []string{desk, taken} {
		require.NoError(t, os.Mkdir(d, 0o755))
	}
	said, err := exec.Command("go", "build", "-o", program, "lampblack/cmd/lampblack").CombinedOutput()
	require.NoError(t, err, "%s", said)
	b := browsed(t, opened(t, program, desk))

	drawing := filepath.Join(dir, "bench.dxf")
	require.NoError(t, os.WriteFile(drawing, asks(t), 0o644))
	b.does("take a drawing", chromedp.SetUploadFiles(`input[aria-label="files"]`, []string{drawing}, chromedp.ByQuery), holds(question))
	b.does("answer", press("as taken now"), holds("!"+question))
	b.does("undo", press("undo"), holds(question))
	b.does("redo", press("redo"), holds("!"+question))

	const where = `document.querySelector(".lamp").getAttribute("aria-label")`
	var was, is string
	b.does("move an LED by keys",
		press("light"), chromedp.WaitVisible(".lamp", chromedp.ByQuery), chromedp.Evaluate(where, &was),
		chromedp.Focus(".lamp", chromedp.ByQuery), chromedp.KeyEvent(kb.ArrowRight), chromedp.KeyEvent(kb.ArrowRight),
		holds(`document.querySelector("[aria-label='undo an LED moved']")`), chromedp.Evaluate(where, &is),
	)
	var x, y, x1, y1 float64
	for s, at := range map[string][]any{was: {&x, &y}, is: {&x1, &y1}} {
		_, err := fmt.Sscanf(s, "LED at x %f, y %f mm", at...)
		require.NoError(t, err, s)
	}
	require.InDelta(t, x+1, x1, 1e-6, "two steps of half a millimetre")
	require.InDelta(t, y, y1, 1e-6)
	b.does("wait for the board", holds(ready))

	// What is taken from the page is what build makes of the project that is taken from it, byte for byte.
	b.does("take the files",
		cdp.SetDownloadBehavior(cdp.SetDownloadBehaviorBehaviorAllow).WithDownloadPath(taken), press("files"),
		press("Take everything as one zip"), holds(`document.querySelector(".said").textContent.includes("downloads")`),
	)
	all := unzipped(t, landed(t, taken))
	b.does("take the project", press("Take the project as a zip"), holds(`!document.querySelector(".take-all button[disabled]")`))
	project := filepath.Join(dir, "project")
	for name, data := range unzipped(t, landed(t, taken)) {
		file := filepath.Join(project, filepath.FromSlash(name))
		require.NoError(t, os.MkdirAll(filepath.Dir(file), 0o755))
		require.NoError(t, os.WriteFile(file, []byte(data), 0o644))
	}
	said, err = exec.Command(program, "build", project).CombinedOutput()
	require.NoError(t, err, "%s", said)
	built := files(t, os.DirFS(filepath.Join(project, "out")))
	require.ElementsMatch(t, slices.Collect(maps.Keys(built)), slices.Collect(maps.Keys(all)))
	for name := range built {
		require.True(t, built[name] == all[name], "%s differs", name)
	}

	t.Run("accessible", func(t *testing.T) {
		b := &browser{t: t, ctx: b.ctx}
		for _, mode := range []string{"light", "dark", "red"} {
			for _, view := range []string{"drawing", "light", "boards", "currents", "files"} {
				b.does(view, chromedp.SetValue(".mode select", mode, chromedp.ByQuery),
					chromedp.Evaluate(`document.querySelector(".mode select").dispatchEvent(new Event("change"))`, nil),
					chromedp.Click(`//nav//button[. = "`+view+`"]`, chromedp.BySearch), chromedp.WaitVisible("#main > *", chromedp.ByQuery))
				if !b.accessible(view + " in " + mode) {
					t.Skip("run 'npm ci --ignore-scripts' in cmd/lampblack/internal/page/src for axe-core")
				}
			}
		}
	})

	bad, err := filepath.Glob(filepath.Join("..", "..", "..", "..", "..", "testdata", "bad", "*.dxf"))
	require.NoError(t, err)
	require.NotEmpty(t, bad)
	for name, data := range map[string]string{"empty.dxf": "", "letter.dxf": "Dear builder,\n\nthe drawing follows.\n", "cut.zip": "PK\x03\x04\x14"} {
		bad = append(bad, filepath.Join(dir, name))
		require.NoError(t, os.WriteFile(bad[len(bad)-1], []byte(data), 0o644))
	}
	for _, file := range bad {
		file, err := filepath.Abs(file)
		require.NoError(t, err)
		name := filepath.Base(file)
		told := `document.querySelector(".said.wrong")?.textContent.includes("` + name + `")`
		if panel, drawing := strings.CutSuffix(name, ".dxf"); drawing {
			told = `[...document.querySelectorAll(".findings section")].some(s => s.querySelector("h3").textContent === "` + panel +
				`" && [...s.querySelectorAll(".head b")].some(b => b.textContent === "error"))`
		}
		b.does(name, chromedp.SetUploadFiles(`input[aria-label="files"]`, []string{file}, chromedp.ByQuery), holds(told))
		if strings.HasSuffix(name, ".dxf") {
			b.does("undo "+name, press("undo"), holds("!"+told))
		}
	}
	b.does("go on", holds(ready))
	b.quiet()
}

// ready is that the boards are made, and nothing works any more.
const ready = `document.querySelector("footer .what")?.textContent.includes("ready to order")`

// opened runs `lampblack open` in a folder, of a project if one is named, and returns the address that it says.
func opened(t *testing.T, program, desk string, of ...string) string {
	ctx, stop := context.WithCancel(context.Background())
	c := exec.CommandContext(ctx, program, append([]string{"open", "--no-browser"}, of...)...)
	c.Dir = desk
	pipe, err := c.StdoutPipe()
	require.NoError(t, err)
	require.NoError(t, c.Start())
	t.Cleanup(func() { stop(); _ = c.Wait() }) // killed
	address, err := bufio.NewReader(pipe).ReadString('\n')
	require.NoError(t, err)
	return strings.TrimSpace(address)
}

// asks is a drawing with everything on layer 0, of which the user is asked what six holes are.
func asks(t *testing.T) []byte {
	for _, c := range sketch.Cases() {
		if c.Name == "corner screws of the LEDs' size" {
			return c.Source
		}
	}
	t.Fatal("there is no such drawing any more")
	return nil
}

// landed waits for the one file that the browser puts into a folder, and takes it out.
func landed(t *testing.T, dir string) []byte {
	var data []byte
	require.Eventually(t, func() bool {
		files, err := filepath.Glob(filepath.Join(dir, "*.zip")) // until it is whole, it has another name
		if err != nil || len(files) != 1 {
			return false
		}
		if data, err = os.ReadFile(files[0]); err != nil {
			return false
		}
		return os.Remove(files[0]) == nil
	}, time.Minute, 50*time.Millisecond)
	return data
}

// unzipped returns the files of a zip, by path.
func unzipped(t *testing.T, data []byte) map[string]string {
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	require.NoError(t, err)
	return files(t, z)
}

// files returns all files, by path.
func files(t *testing.T, in fs.FS) map[string]string {
	out := map[string]string{}
	require.NoError(t, fs.WalkDir(in, ".", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		data, err := fs.ReadFile(in, path)
		out[path] = string(data)
		return err
	}))
	return out
}
