package report_test

import (
	"bytes"
	"encoding/base64"
	"net/url"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"lampblack/export/report"
	"lampblack/export/table"
)

const svg = "<?xml version=\"1.0\"?>\n<svg xmlns=\"http://www.w3.org/2000/svg\"><text id=\"a\" fill=\"#fff\">50 % & 'Süd'</text></svg>\n"

// desk is a console with names as hostile as a drawing may hold.
func desk(name string) report.Console {
	list := []report.File{{Path: name + "/a b.csv", What: name}}
	return report.Console{
		Name: name, Revision: name, Date: name, Version: name, Summary: name,
		Verdict: report.Verdict{Word: "tight", Sentence: name},
		Findings: []report.Finding{
			{Severity: "error", Code: "x-grave", Panel: name, Place: name, Text: "first " + name, Advice: name, Related: []string{name}},
			{Severity: "note", Code: "x-light", Text: "second"}},
		Picture: report.Picture{Path: "console.png", Data: []byte{0, 1, 2, 255}, Alt: "of " + name, Caption: name},
		Wiring:  report.Picture{Path: "wiring.svg", Data: []byte(svg), Alt: "wiring"},
		Supply:  []table.Table{{Title: name, Columns: []table.Column{table.Text(name), table.Number("current", "mA"), table.Long(name)}, Rows: [][]string{{name, "1", name}}}},
		Panels: []report.Panel{{Name: name, Drawing: name, Facts: []report.Fact{{Name: name, Value: name, Aside: name}},
			Glow: report.Picture{Path: name + "/glow.png", Data: []byte{1}, Alt: "of " + name}, Sheets: []report.Picture{{Path: name + "/sheet-face.svg", Data: []byte(svg), Alt: "sheet of " + name}},
			Files: list, Pack: list}},
		Unbuilt: []report.Unbuilt{{Name: "lost", Drawing: name, Reason: name, Advice: name}},
		Arrays:  []report.Array{{Name: name, Picture: report.Picture{Path: "array.svg", Data: []byte(svg), Alt: "of " + name}, Files: list}},
		Files:   []report.File{{Path: "parts.csv"}},
	}
}

// elements are those of a page by their tag.
func elements(t *testing.T, page []byte) map[string][]*html.Node {
	t.Helper()
	root, err := html.Parse(bytes.NewReader(page))
	require.NoError(t, err)
	all := map[string][]*html.Node{}
	for n := range root.Descendants() {
		if n.Type == html.ElementNode {
			all[n.Data] = append(all[n.Data], n)
		}
	}
	return all
}

func attr(n *html.Node, key string) string {
	for _, a := range n.Attr {
		if a.Key == key {
			return a.Val
		}
	}
	return ""
}

func text(n *html.Node) string {
	var b strings.Builder
	for d := range n.Descendants() {
		if d.Type == html.TextNode {
			b.WriteString(d.Data)
		}
	}
	return strings.Join(strings.Fields(b.String()), " ")
}

// safe checks what holds for every page: nothing runs, nothing is fetched, every id is there once, and the reader of a
// screen finds his way.
func safe(t *testing.T, page []byte, name string) {
	t.Helper()
	require.True(t, utf8.Valid(page))
	all := elements(t, page)
	for _, tag := range []string{"script", "iframe", "object", "embed", "link", "base", "form", "svg", "video"} {
		require.Empty(t, all[tag], tag)
	}
	ids := map[string]bool{}
	for _, l := range all {
		for _, n := range l {
			for _, a := range n.Attr {
				require.False(t, strings.HasPrefix(a.Key, "on"), "%s has %s", n.Data, a.Key)
				require.NotContains(t, []string{"style", "srcset", "background"}, a.Key)
			}
			if id := attr(n, "id"); id != "" {
				require.False(t, ids[id], "id %s twice", id)
				ids[id] = true
			}
		}
	}
	for _, n := range all["img"] {
		require.NotEmpty(t, attr(n, "alt"))
		require.True(t, strings.HasPrefix(attr(n, "src"), "data:image/"), attr(n, "src"))
	}
	for _, n := range all["th"] {
		require.Contains(t, []string{"col", "row"}, attr(n, "scope"))
	}
	for _, n := range all["a"] {
		u, err := url.Parse(attr(n, "href"))
		require.NoError(t, err)
		require.Empty(t, u.Scheme, "%q", attr(n, "href"))
		require.Empty(t, u.Host, "%q", attr(n, "href"))
		if u.Fragment != "" {
			require.True(t, ids[u.Fragment], "no %s", u.Fragment)
		}
	}
	for _, key := range []string{"aria-labelledby"} {
		for _, n := range all["section"] {
			require.True(t, ids[attr(n, key)], attr(n, key))
		}
	}
	for _, n := range all["style"] {
		require.NotContains(t, text(n), "url(")
		require.NotContains(t, text(n), "@import")
	}
	require.Len(t, all["title"], 1, name)
}

func TestHTML(t *testing.T) {
	page := report.HTML(nil, desk("dome"))
	safe(t, page, "dome")
	all := elements(t, page)
	var heads []string
	for _, tag := range []string{"h1", "h2", "h3"} {
		for _, n := range all[tag] {
			heads = append(heads, text(n))
		}
	}
	require.Subset(t, heads, []string{"dome", "dome dome", "lost dome", "Findings", "Wiring", "Supply and chain"})
	var findings []string
	for _, n := range all["li"] {
		if c := attr(n, "class"); c == "error" || c == "note" {
			findings = append(findings, text(n))
		}
	}
	require.Equal(t, []string{"error dome: first dome Do: dome dome dome · x-grave", "note second x-light"}, findings)
	whole := text(all["body"][0])
	for _, c := range report.Cautions() {
		require.Contains(t, whole, c)
	}
	require.NotContains(t, string(page), "http:", "also the names of SVG's namespaces are written so that no tool takes them for addresses")
	require.NotContains(t, string(page), "https:")
	require.Equal(t, page, report.HTML(nil, desk("dome")))
}

// A picture's bytes come back from its address, by the rules of RFC 2397.
func TestPicturesAreWhole(t *testing.T) {
	var got []string
	for _, n := range elements(t, report.HTML(nil, desk("dome")))["img"] {
		kind, data, ok := strings.Cut(attr(n, "src"), ",")
		require.True(t, ok)
		if strings.HasSuffix(kind, ";base64") {
			b, err := base64.StdEncoding.DecodeString(data)
			require.NoError(t, err)
			got = append(got, string(b))
			continue
		}
		require.Equal(t, "data:image/svg+xml", kind)
		s, err := url.PathUnescape(data)
		require.NoError(t, err)
		got = append(got, s)
	}
	require.Equal(t, []string{"\x00\x01\x02\xff", svg, "\x01", svg, svg}, got)
}

// Whatever names and texts hold, they stay text, and links stay within the folder.
func FuzzHTML(f *testing.F) {
	for _, s := range []string{"dome", "<script>alert(1)</script>", `"><img src=x onerror=alert(1)>`, "javascript:alert(1)", "' onload='x",
		"//host/x", "a:b", "a#b?c%d", "\x00\xff", "{{.}}", "</style><b>", "Süd-天文台"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, name string) { safe(t, report.HTML(nil, desk(name)), name) })
}

func TestNothingBuilt(t *testing.T) {
	page := report.HTML(nil, report.Console{Name: "desk"})
	safe(t, page, "desk")
	require.Contains(t, string(page), "nothing was healed")
	require.NotContains(t, string(page), "<img")
}
