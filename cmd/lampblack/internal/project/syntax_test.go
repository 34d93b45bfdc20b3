package project

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// What the YAML library refuses is told in words of ours.
func TestSyntaxInPlainWords(t *testing.T) {
	const supply = "supply: {volts: 12 V, amps: 2 A}\n"
	library := []string{"found", "token", "mapping", "sequence", "anchor name", "could not", "escape character", "character '"}
	for _, c := range []struct{ src, code, text, advice string }{
		{supply + "panels: [{drawing: \"draw\\dome.dxf\"}]\n", "project-backslash", "backslash", "draw/dome.dxf"},
		{supply + "panels: [{drawing: \"draw\\new.dxf\"}]\n", "project-backslash", "backslash", "draw/new.dxf"},
		{supply + "panels: [{drawing: \"C:\\Users\\me\\dome.dxf\"}]\n", "project-backslash", "backslash", "C:/Users/me/dome.dxf"},
		{supply + "panels: [{drawing: \"up\\x.dxf\"}]\n", "project-backslash", "backslash", "up/x.dxf"},
		{supply + "console: \"A\\d\"\n", "project-backslash", "backslash", `'A\d'`},
		{supply + supply, "project-syntax", `the key "supply" stands here a second time; the first is on line 1`, "keep one"},
		{"supply:\n\tvolts: 12 V\n", "project-syntax", "a tab", "blanks"},
		{"supply: {volts: 12 V\nconsole: x\n", "project-syntax", "a {", "close it with }"},
		{"chain: [a, b\nconsole: x\n", "project-syntax", "a [", "close it with ]"},
		{"chain: a]\nfeed: ]\n", "project-syntax", "a ]", "take it away"},
		{"supply: {volts: 12 V}}\n", "project-syntax", "a }", "take it away"},
		{"console: \"Desk\n" + supply, "project-syntax", "a quote begins here", "the same quote"},
		{"console: 'Desk\n" + supply, "project-syntax", "a quote begins here", "the same quote"},
		{"console: @home\n", "project-syntax", "begin with this letter", "quotes"},
		{"console: Desk: the first\n", "project-syntax", "a colon too many", "quotes"},
		{"console: Desk\n  supply: x\n", "project-syntax", "indent", "indent"},
		{"supply\nconsole: x\n", "project-syntax", "", ""},
		{"console: *\n", "project-syntax", "anchors", "quotes"},
		{"console: - a\n", "project-syntax", "an entry of a list", "dash"},
		{"chain: [a,,b]\n", "project-syntax", "a comma", "comma"},
		{"%YAML 9\n---\na: b\n", "project-syntax", "", ""},
	} {
		t.Run(c.src, func(t *testing.T) {
			_, l := Read([]byte(c.src), "p.yaml")
			require.NotEmpty(t, l, c.src)
			f := l[0]
			require.Equal(t, c.code, f.Code, "%q %s", c.src, f.Text)
			require.Contains(t, f.Text, c.text, c.src)
			require.Contains(t, f.Advice, c.advice, c.src)
			require.NotEmpty(t, f.Advice)
			for _, w := range library {
				require.NotContains(t, f.Text, w, c.src)
			}
			t.Logf("%q\n   %s\n   %s", strings.ReplaceAll(c.src, supply, "S "), f.Text, f.Advice)
		})
	}
}
