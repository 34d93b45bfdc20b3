package flow

import (
	"bytes"
	"context"
	"fmt"
	"net/url"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"lampblack/cmd/lampblack/internal/project"
	"lampblack/export/parts"
	"lampblack/export/report"
	"lampblack/export/result"
	"lampblack/export/result/tables"
	"lampblack/panel"
	"lampblack/panel/read"
)

// report.html shows every panel, built or not, and every finding; its links lead to all files of the build and to no other.
func TestReportIsWhole(t *testing.T) {
	p, set := starter(t, "a.dxf", "broken.dxf", "gone.dxf", "b.dxf")
	all, err := read.ParseRule(panel.RoleOpening, "rest")
	require.NoError(t, err)
	for i := range p.Panels {
		p.Panels[i].Controls = []project.Sit{{Rule: all, Kind: "display"}}
	}
	p.Console = `<script>alert("x")</script> http://desk.example`
	out := must(Build(context.Background(), p, set))
	require.Equal(t, 2, out.Packs)
	written := map[string]bool{}
	var page []byte
	for _, f := range out.Files {
		written[f.Path] = false
		if f.Path == "report.html" {
			page = f.Data
		}
	}
	require.NotEmpty(t, page)
	require.False(t, bytes.Contains(page, []byte("<script")))
	root, err := html.Parse(bytes.NewReader(page))
	require.NoError(t, err)
	var b strings.Builder
	var heads []string
	pictures := 0
	for n := range root.Descendants() {
		if n.Type == html.TextNode {
			b.WriteString(n.Data)
		}
		if n.Data == "h2" || n.Data == "h3" || n.Data == "h1" {
			heads = append(heads, n.FirstChild.Data)
		}
		if n.Data == "img" {
			pictures++
		}
		for _, a := range n.Attr {
			require.False(t, strings.Contains(a.Val, "http:") || strings.Contains(a.Val, "https:"), "%s %s leads to the network", n.Data, a.Key)
			if n.Data != "a" || a.Key != "href" || strings.HasPrefix(a.Val, "#") {
				continue
			}
			u, err := url.Parse(a.Val)
			require.NoError(t, err)
			require.Contains(t, written, u.Path)
			written[u.Path] = true
		}
	}
	for path, linked := range written {
		require.True(t, linked || path == "report.html", "no link to %s", path)
	}
	require.Equal(t, 2+2*(6+4), pictures, "the console, the wiring, and of each panel its light, the same by day, four of its board, its sheets, the side view, the map and its findings")
	require.Equal(t, p.Console, heads[0])
	whole := b.String()
	leds := 0
	for _, w := range out.Circuit.Boards {
		leds += len(w.LEDs)
	}
	require.Contains(t, whole, fmt.Sprintf("2 of 4 panels built, %d LEDs", leds))
	for _, f := range out.Findings {
		require.Contains(t, whole, f.Text)
		require.Contains(t, whole, f.Advice)
	}
	for _, q := range out.Result.Panels {
		require.True(t, slices.ContainsFunc(heads, func(h string) bool { return strings.TrimSpace(h) == q.Name }), q.Name)
		for _, g := range q.Strings {
			require.Contains(t, whole, strings.Join(g.LEDs, " "))
		}
	}
	// Its tables are those that the terminal shows and the lists hold.
	for _, tab := range append(append(tables.Chains(out.Result), tables.Supply(*out.Result.Supply)...), bought(parts.Parts((&session{project: p}).items(&out)...).With(parts.Hardware(out.mounts(), 1))), tables.Controls(out.Result), tables.Screws(out.Result), (&session{project: p}).ordered(&out)) {
		require.NotEmpty(t, tab.Rows, tab.Title)
		for _, c := range tab.Columns {
			require.Contains(t, whole, c.Heading(", "), tab.Title)
		}
		for _, cell := range slices.Concat(tab.Rows...) {
			require.Contains(t, whole, cell, tab.Title)
		}
	}
	at := strings.Index(whole, "Panels that were not built")
	require.Positive(t, at)
	for _, name := range []string{"broken", "gone"} {
		require.Contains(t, whole[at:], name)
		for _, f := range out.Result.Findings {
			if f.Panel == name && f.Severity == "error" {
				require.Contains(t, whole[at:], f.Text)
			}
		}
	}
	require.Contains(t, whole, out.Circuit.Source.Sentence())
}

// A panel whose board stopped is told with the error that stopped it, once; one stopped by the whole console, too.
func TestUnbuilt(t *testing.T) {
	var out Outcome
	add := func(name, stopped string) {
		b := Built{Stopped: stopped}
		b.Panel.Name = name
		out.Built = append(out.Built, b)
		out.Result.Panels = append(out.Result.Panels, result.Panel{Name: name, Drawing: name + ".dxf"})
	}
	add("dome", "route")
	add("focus", "circuit")
	add("mount", "")
	out.Result.Findings = []result.Finding{
		{Severity: "error", Text: "no voltage left", Advice: "take more volts"},
		{Severity: "warning", Panel: "dome", Text: "dim"},
		{Severity: "error", Panel: "dome", Text: "net open", Advice: "make room"},
		{Severity: "error", Panel: "dome", Text: "another"},
		{Severity: "error", Panel: "twin", File: "both.dxf", Text: "outline open"},
	}
	s := &session{}
	require.Equal(t, []report.Unbuilt{
		{Name: "dome", Drawing: "dome.dxf", Reason: "net open (and 1 more, see the findings)", Advice: "make room"},
		{Name: "focus", Drawing: "focus.dxf", Reason: "no voltage left", Advice: "take more volts"},
		{Name: "mount", Drawing: "mount.dxf", Reason: "It was not asked for."},
		{Name: "twin", Drawing: "both.dxf", Reason: "outline open"},
	}, s.unbuilt(&out))
}

// BenchmarkReport makes the page of the example's desk.
func BenchmarkReport(b *testing.B) {
	dir := filepath.Join("..", "..", "..", "..", "examples", "observatory")
	_, err := os.Stat(dir)
	require.NoError(b, err)
	p, l := project.Bare([]string{filepath.Join(dir, "dome.dxf"), filepath.Join(dir, "camera.dxf"), filepath.Join(dir, "mount.dxf"),
		filepath.Join(dir, "focus.dxf"), filepath.Join(dir, "weather.dxf"), filepath.Join(dir, "flat-lamp.dxf")})
	require.Empty(b, l)
	s := &session{ctx: context.Background(), project: p, set: Settings{Version: "test", Pack: true, Date: time.Time{}}}
	out := must(Build(context.Background(), p, s.set))
	require.Positive(b, out.Packs)
	for b.Loop() {
		b.SetBytes(int64(len(report.HTML(nil, s.report(&out)))))
	}
}
