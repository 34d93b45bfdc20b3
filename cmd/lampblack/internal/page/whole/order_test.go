package main

import (
	"archive/zip"
	"bytes"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"testing"
	"time"

	cdp "github.com/chromedp/cdproto/browser"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"

	"lampblack/panel/paneltest/sketch"
)

// order goes from a drawing that was made for nobody to the files to order. What is taken from the page is what build, on this machine,
// makes of the project that is taken from it, byte for byte.
func order(b *browser, program string) {
	t, dir := b.t, b.t.TempDir()
	anew(b)
	drawing := filepath.Join(dir, "bench.dxf")
	require.NoError(t, os.WriteFile(drawing, asks(t), 0o644))
	b.does("take a drawing", chromedp.SetUploadFiles(`input[aria-label="files"]`, []string{drawing}, chromedp.ByQuery), holds(question))
	b.does("answer", press("as taken now"), holds("!"+question))
	b.does("undo", press("undo"), holds(question))
	b.does("redo", press("redo"), holds("!"+question))

	// What else was understood is understood still: nothing is left to tell, least of all that it is guessed.
	b.does("see that nothing else is asked", holds(`document.querySelector(".findings .quiet")`))

	// An LED is not let go where another one is, which is told until it is moved to where it can be.
	const wrong, at = `document.querySelector(".said.wrong")?.textContent.includes("would meet that of another one")`, `document.querySelector(".lamp").getAttribute("aria-label")`
	var was, is string
	var from, to [2]float64
	b.does("see the LEDs", shows("light"), chromedp.WaitVisible(".lamp", chromedp.ByQuery), middle(".lamp .target", &from), middle(".lamp ~ .lamp .target", &to), chromedp.Evaluate(at, &was))
	pitch := to[0] - from[0]
	b.does("drag an LED onto the next", dragged(from, [2]float64{from[0] + 0.9*pitch, from[1]}), holds(wrong), chromedp.Evaluate(at, &is), middle(".lamp .target", &from))
	require.Equal(t, was, is)
	b.does("drag it away", dragged(from, [2]float64{from[0] - pitch/2, from[1]}), holds("!"+wrong), holds(`document.querySelector("[aria-label='undo an LED moved']")`), chromedp.Evaluate(at, &is))
	var x, y, x1, y1 float64
	for s, at := range map[string][]any{was: {&x, &y}, is: {&x1, &y1}} {
		_, err := fmt.Sscanf(s, "LED at x %f, y %f mm", at...)
		require.NoError(t, err, s)
	}
	require.InDelta(t, x-6, x1, 0.3, "half the pitch of 12 mm")
	require.InDelta(t, y, y1, 0.3)
	b.does("wait for the board", holds(ready))

	all, mine := taken(b, "Take everything as one zip"), filepath.Join(dir, "project")
	for name, data := range taken(b, "Take the project as a zip") {
		file := filepath.Join(mine, filepath.FromSlash(name))
		require.NoError(t, os.MkdirAll(filepath.Dir(file), 0o755))
		require.NoError(t, os.WriteFile(file, []byte(data), 0o644))
	}
	said, err := exec.Command(program, "build", mine).CombinedOutput()
	require.NoError(t, err, "%s", said)
	built := files(t, os.DirFS(filepath.Join(mine, "out")))
	require.ElementsMatch(t, slices.Collect(maps.Keys(built)), slices.Collect(maps.Keys(all)))
	for name := range built {
		require.True(t, built[name] == all[name], "%s differs", name)
	}
}

// downloads has the browser put what the page hands over into a folder.
func downloads(b *browser, to string) chromedp.Action {
	return cdp.SetDownloadBehavior(cdp.SetDownloadBehaviorBehaviorAllow).WithDownloadPath(to).WithBrowserContextID(b.own)
}

// taken has the page hand over a zip, and returns the files in it.
func taken(b *browser, button string) map[string]string {
	dir := b.t.TempDir()
	b.does("take the files",
		downloads(b, dir), shows("files"), press("to take away"), press(button), holds(`document.querySelector(".said").textContent.includes("downloads") && !document.querySelector(".take-all button[disabled]")`),
	)
	return unzipped(b.t, landed(b.t, dir))
}

// ready is that the boards are made, and nothing works any more.
const ready = `document.querySelector("footer .what")?.textContent.includes("ready to order")`

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
