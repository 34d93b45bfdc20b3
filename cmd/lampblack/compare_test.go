package main

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/export/compare"
	"lampblack/export/result"
)

// compared runs compare and returns its status and what it prints as JSON.
func compared(t *testing.T, args ...string) (int, compare.Difference) {
	t.Helper()
	var out, errw bytes.Buffer
	status := run(append([]string{"compare", "--json"}, args...), strings.NewReader(""), &out, &errw)
	var d compare.Difference
	if out.Len() > 0 {
		require.NoError(t, json.Unmarshal(out.Bytes(), &d), errw.String())
	}
	return status, d
}

// A starter project is set against its own build, as it is and with one thing changed in it: that is named, and nothing else as if somebody had changed it.
func TestCompare(t *testing.T) {
	if testing.Short() {
		t.Skip("builds a panel many times")
	}
	t.Chdir(t.TempDir())
	var quiet bytes.Buffer
	require.Zero(t, run([]string{"new", "desk"}, strings.NewReader(""), &quiet, &quiet), quiet.String())
	require.Zero(t, run([]string{"build", "desk"}, strings.NewReader(""), &quiet, &quiet), quiet.String())
	require.NoError(t, os.Rename(filepath.Join("desk", "out"), "was"))

	for _, c := range []struct {
		name, file, from, to string
		made                 string // kinds of change that somebody made: these and no others
		follow               string // one that must follow
		fits                 bool
	}{
		{"nothing", "lampblack.yaml", "", "", "", "", true},
		{"LED moved", "shutter.dxf", "46.44", "48.44", "led-moved", "copper", false},
		{"current", "lampblack.yaml", "current: 8 mA", "current: 4 mA", "string", "currents", false},
		{"kerf", "lampblack.yaml", "feed:", "kerf: 0.4 mm\nfeed:", "sheet-cuts", "", true},
		{"print", "lampblack.yaml", "  current: 8 mA", "  print: {front: [\"tried\"]}\n  current: 8 mA", "print", "", true},
		{"name", "lampblack.yaml", "console: Starter desk", "console: Desk", "name", "", true},
		{"copies", "lampblack.yaml", "feed:", "copies: 3\nfeed:", "copies", "parts", true},
		{"gap", "lampblack.yaml", "feed:", "stack: {gap: 10 mm}\nfeed:", "gap", "screws", true},
		{"name of the panel", "lampblack.yaml", "name: shutter|[shutter]", "name: roof|[roof]", "panel-renamed", "print", true},
	} {
		t.Run(c.name, func(t *testing.T) {
			name := filepath.Join("desk", c.file)
			src, err := os.ReadFile(name)
			require.NoError(t, err)
			edited, to := string(src), strings.Split(c.to, "|")
			for i, from := range strings.Split(c.from, "|") {
				require.Contains(t, edited, from)
				edited = strings.Replace(edited, from, to[i], 1)
			}
			require.NoError(t, os.WriteFile(name, []byte(edited), 0o644))
			defer func() { require.NoError(t, os.WriteFile(name, src, 0o644)) }()
			status, d := compared(t, "was", "desk")
			var made, follow []string
			for _, g := range d.Changes {
				if g.Follows {
					follow = append(follow, g.Code)
				} else {
					made = append(made, g.Code)
				}
			}
			require.Equal(t, c.made, strings.Join(slices.Compact(made), " "), d)
			if c.follow != "" {
				require.Contains(t, follow, c.follow, d)
			}
			require.Equal(t, c.made == "", status == statusGood, d)
			require.Equal(t, c.fits, !slices.ContainsFunc(d.Boards, func(b compare.Board) bool { return !b.Fits }), d.Boards)
			_, err = os.Stat(filepath.Join("desk", "out"))
			require.ErrorIs(t, err, os.ErrNotExist, "compare writes nothing")
		})
	}

	// A pack is set against another, and against that board's of a build.
	zip := filepath.Join("was", "shutter", "shutter-fab.zip")
	for _, args := range [][]string{{zip, filepath.Join("was", "shutter", "fab")}, {"was", zip}} {
		status, d := compared(t, args...)
		require.Equal(t, statusGood, status, d)
		require.True(t, d.Same)
	}
	require.NoError(t, os.CopyFS("other", os.DirFS(filepath.Join("was", "shutter", "fab"))))
	drill := filepath.Join("other", "shutter-drill-unplated.drl")
	holes, err := os.ReadFile(drill)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(drill, bytes.Replace(holes, []byte("C3.200"), []byte("C4.300"), 1), 0o644))
	status, d := compared(t, "was", "other")
	require.Equal(t, statusErrors, status)
	require.Len(t, d.Changes, 1, d.Changes)
	require.Equal(t, "hole", d.Changes[0].Code, d.Changes)
	require.False(t, d.Boards[0].Fits)
	// Words and pictures come into a file, which replaces nothing of others.
	for range 2 {
		status, _ = compared(t, "was", "other", "-o", "changed.html")
		require.Equal(t, statusErrors, status)
	}
	sheetHTML, err := os.ReadFile("changed.html")
	require.NoError(t, err)
	require.Equal(t, 5, bytes.Count(sheetHTML, []byte("<img ")), "edge, holes and parts, and four holes closer")
	require.Contains(t, string(sheetHTML), "is a hole of 4.3 mm")
	require.NoError(t, os.WriteFile("mine.pdf", []byte("mine"), 0o644))
	status, _ = compared(t, "was", "other", "-o", "mine.pdf")
	require.Equal(t, statusUsage, status)
	for _, name := range []string{"", "changed.txt"} {
		status, _ = compared(t, "was", "other", "-o", name)
		require.Equal(t, statusUsage, status, name)
	}
	require.NoError(t, os.WriteFile(drill, holes[:len(holes)/2], 0o644))
	_, d = compared(t, "other", "was")
	require.NotEmpty(t, d.Unknown, "a file cut short")
	require.NoError(t, os.Mkdir("none", 0o755))

	// What cannot be read is never the same.
	sheet := filepath.Join("was", "shutter", "sheet-face.dxf")
	src, err := os.ReadFile(sheet)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(sheet, append(src, '\n'), 0o644))
	status, _ = compared(t, "was", "was")
	require.Equal(t, statusFailed, status, "a file was edited")
	require.NoError(t, os.WriteFile(sheet, src, 0o644))
	status, d = compared(t, "was", "was")
	require.Equal(t, statusGood, status)
	require.True(t, d.Same)
	list := filepath.Join("was", string(result.ResultJSON))
	src, err = os.ReadFile(list)
	require.NoError(t, err)
	require.Equal(t, result.Whole, result.SealOf(src))
	edited := bytes.Replace(src, []byte(`"d": 3`), []byte(`"d": 4`), 1)
	require.NotEqual(t, src, edited)
	require.NoError(t, os.WriteFile(list, edited, 0o644))
	status, _ = compared(t, "was", "desk")
	require.Equal(t, statusFailed, status, "what tells of the files was edited")
	at := bytes.LastIndex(src, []byte(`,
  "seal"`))
	require.NoError(t, os.WriteFile(list, append(bytes.Clone(src[:at]), "\n}"...), 0o644))
	status, d = compared(t, "was", "was")
	require.Equal(t, statusFailed, status, "whether it was edited nobody knows")
	require.Contains(t, strings.Join(d.Unknown, "\n"), "believed")
	require.NoError(t, os.WriteFile(list, []byte("{"), 0o644))
	for _, args := range [][]string{{"was", "desk"}, {"absent", "desk"}, {"absent.dxf", "desk"}, {"some.zip", "desk"}, {"none", "desk"}} {
		status, _ := compared(t, args...)
		require.Equal(t, statusFailed, status, args)
	}
	status, _ = compared(t, "desk")
	require.Equal(t, statusUsage, status)
}

// A result.json of anybody's is read or refused.
func FuzzConsoleOf(f *testing.F) {
	f.Add([]byte(`{"lampblack":"0.1.0","panels":[{"name":"dome"}],"digests":{"../a":"0"}}`))
	f.Fuzz(func(t *testing.T, src []byte) {
		c, err := consoleOf(src)
		if err == nil {
			require.NotEmpty(t, c.Panels)
			d := compare.Consoles(c, c)
			require.Empty(t, d.Changes, "%s", src)
		}
	})
}
