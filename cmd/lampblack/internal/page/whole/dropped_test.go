package main

import (
	"archive/zip"
	"bytes"
	"encoding/json"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"
)

// dropped are several drawings at once, which are a panel each; a zip of them, and a project's folder as a browser gives it, with what lies
// beside the project in it. Each is the same.
func dropped(b *browser) {
	two := map[string][]byte{"left.dxf": asks(b.t), "right.dxf": asks(b.t)}
	const names = `[...document.querySelectorAll(".panels button > span:first-of-type")].map(s => s.textContent).join()`
	anew(b)
	b.does("several", put(two), holds(names+` === "left,right"`))
	project := taken(b, "Take the project as a zip")
	require.Len(b.t, project, 3)
	anew(b)
	b.does("a zip", put(map[string][]byte{"desk.zip": zipped(b.t, "desk/", two)}), holds(names+` === "left,right"`))
	require.Equal(b.t, project, taken(b, "Take the project as a zip"))
	anew(b)
	folder := map[string][]byte{"desk/out/lampblack.yaml": []byte("panels: []"), "desk/out/left/old.dxf": []byte("0"), "desk/.hidden": {1}}
	for name, data := range project {
		folder["desk/"+name] = []byte(data)
	}
	b.does("a folder", put(folder), holds(names+` === "left,right"`))
	require.Equal(b.t, project, taken(b, "Take the project as a zip"))
}

// hostile are files that are none, or would have the program take what it has not. Each is told by its name, and the page goes on.
func hostile(b *browser) {
	anew(b)
	b.does("begin", put(map[string][]byte{"bench.dxf": asks(b.t)}), holds(question))
	good := string(asks(b.t))
	entities := func(s string) []byte {
		return []byte("0\nSECTION\n2\nENTITIES\n" + s + "0\nENDSEC\n0\nEOF\n")
	}
	noise := make([]byte, 20_000)
	for i := range noise {
		noise[i] = byte(i * i >> 3)
	}
	var deep strings.Builder // each line ten times the one before
	deep.WriteString("a0: &a0 [x, x, x, x, x, x, x, x, x, x]\n")
	for i := 1; i < 12; i++ {
		fmt.Fprintf(&deep, "a%d: &a%d [%s]\n", i, i, strings.Join(slices.Repeat([]string{fmt.Sprintf("*a%d", i-1)}, 10), ", "))
	}
	files := map[string][]byte{
		"empty.dxf":                        nil,
		"letter.dxf":                       []byte("Dear builder,\n\nthe drawing follows.\n"),
		"cut.dxf":                          []byte(good[:len(good)/2]),
		"counts.dxf":                       entities("0\nLWPOLYLINE\n8\n0\n90\n2147483647\n70\n1\n10\n0\n20\n0\n0\nSPLINE\n8\n0\n71\n30000\n72\n2147483647\n73\n2147483647\n10\n0\n20\n0\n"),
		"rows.dxf":                         []byte("0\nSECTION\n2\nBLOCKS\n0\nBLOCK\n2\nB\n10\n0\n20\n0\n0\nCIRCLE\n8\n0\n10\n0\n20\n0\n40\n1\n0\nENDBLK\n0\nENDSEC\n" + string(entities("0\nINSERT\n8\n0\n2\nB\n10\n0\n20\n0\n70\n32000\n71\n32000\n44\n5\n45\n5\n"))),
		"far.dxf":                          entities("0\nCIRCLE\n8\n0\n10\n1e300\n20\n-1e300\n40\n1e300\n0\nCIRCLE\n8\n0\n10\nnan\n20\ninf\n40\n-3\n"),
		"binary.dxf":                       noise,
		"cut.zip":                          []byte("PK\x03\x04\x14"),
		"outside.zip":                      zipped(b.t, "../", map[string][]byte{"lampblack.yaml": []byte("panels: []")}),
		"swells.zip":                       zipped(b.t, "", map[string][]byte{"large.dxf": bytes.Repeat([]byte("0\n"), 33<<20)}),
		"other.zip":                        zipped(b.t, "", map[string][]byte{"lampblack.yaml": []byte(deep.String())}),
		"<img src=x onerror=alert(1)>.dxf": []byte("0"),
	}
	for _, name := range slices.Sorted(maps.Keys(files)) {
		hostileOne(b, name, put(map[string][]byte{name: files[name]}))
	}
	hostileOne(b, "large.dxf", drop(`[{path: "large.dxf", bytes: new Uint8Array((64 << 20) + 1)}]`))

	// Drawings of which no board can be made, all at once: each has its error.
	bad, err := filepath.Glob(filepath.Join("..", "..", "..", "..", "..", "testdata", "bad", "*.dxf"))
	require.NoError(b.t, err)
	require.NotEmpty(b.t, bad)
	clear(files)
	for _, file := range bad {
		files[filepath.Base(file)], err = os.ReadFile(file)
		require.NoError(b.t, err)
	}
	b.does("those without boards", put(files), holds(fmt.Sprintf(
		`new Set([...document.querySelectorAll(".findings section")].filter(s => s.querySelector("h3").textContent !== "bench" && [...s.querySelectorAll(".head b")].some(b => b.textContent === "error")).map(s => s.querySelector("h3").textContent)).size === %d`, len(bad))), press("undo"))
	b.does("go on", holds(ready))
}

// hostileOne drops a file, and wants it told: that it is not taken, or as an error of the panel that it became.
func hostileOne(b *browser, name string, drop chromedp.Action) {
	n, _ := json.Marshal(name)
	refused := `document.querySelector(".said.wrong")?.textContent.includes(` + string(n) + `)`
	var panel bool
	became := `document.querySelector(".said:not(.wrong)")?.textContent.startsWith("1 drawing became a panel")`
	b.does(name, drop, holds(refused+"||"+became), chromedp.Evaluate("!!("+became+")", &panel))
	if !panel {
		return
	}
	told := `[...document.querySelectorAll(".findings section")].some(s => s.querySelector("h3").textContent !== "bench" && [...s.querySelectorAll(".head b")].some(b => b.textContent === "error"))`
	b.does(name+" as a panel", holds(told), press("undo"), holds("!"+told))
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
