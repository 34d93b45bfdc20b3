package project

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/export/filename"
	"lampblack/export/result"
	"lampblack/panel/diag"
)

// Whatever panels are called, their files have names that all systems take, no two the same, and it is told where that is not what was
// written. Names that are well stay, whoever else wants them.
func TestPanelsAreCalled(t *testing.T) {
	long := strings.Repeat("control-", 10)
	for _, c := range []struct {
		written, called []string
	}{
		{[]string{"con", "a:b", "x.", "..", "a/b"}, []string{"panel-con", "a-b", "x", "panel", "a-b-2"}},
		{[]string{"a:b", "a-b", "A_b"}, []string{"a-b-2", "a-b", "A_b"}},
		{[]string{"NUL", "nul.txt", "nul"}, []string{"panel-NUL", "nul-txt", "panel-NUL"}}, // the last is the first's name, and an error
		{[]string{"A:B", "a/b"}, []string{"A-B", "a-b-2"}},
		{[]string{long + "left", long + "right"}, []string{strings.Repeat("control-", 4) + "control", strings.Repeat("control-", 4) + "contro-2"}},
		{[]string{"屋顶", "温室", "panel"}, []string{"panel-2", "panel-3", "panel"}},
		{[]string{"A1.2", "dome"}, []string{"A1.2", "dome"}},
		{[]string{"report.html", "Result.JSON"}, []string{"report-html", "Result-JSON"}},
	} {
		src := "supply: {volts: 12 V, amps: 2 A}\npanels:\n"
		for i, n := range c.written {
			src += fmt.Sprintf("  - {name: %q, drawing: %d.dxf}\n", n, i)
		}
		p, l := Read([]byte(src), FileName)
		var called []string
		told := map[string]int{}
		for _, f := range l {
			if f.Code == "project-name-given" {
				told[f.Text]++
				require.Equal(t, diag.Note, f.Severity)
			}
		}
		wrong := 0
		for i, q := range p.Panels {
			called = append(called, q.Name)
			require.True(t, filename.Whole(q.Name), q.Name)
			if q.Name == c.written[i] {
				continue
			}
			wrong++
			for text, n := range told {
				if strings.HasPrefix(text, fmt.Sprintf("panel %q is called %s, ", c.written[i], q.Name)) {
					wrong--
					require.Equal(t, 1, n)
				}
			}
		}
		require.Equal(t, c.called, called)
		if c.written[0] == "NUL" {
			require.Contains(t, l.Err().Error(), "two panels are named panel-NUL")
			continue
		}
		require.Zero(t, wrong, l)
		require.NoError(t, l.Err())
	}
}

// A panel's folder lies beside the console's files, and can be called as none of them.
func TestNoPanelIsCalledAsAFile(t *testing.T) {
	for _, f := range result.Files() {
		if f.Of != result.OfPanel && f.Of != result.OfOrder {
			require.False(t, fits(string(f.Name)), f.Name)
		}
	}
}

// What names such a panel in the file may use the written name.
func TestWrittenNamesLead(t *testing.T) {
	p, l := Read([]byte(`supply: {volts: 12 V, amps: 2 A}
chains: [["a:b", CON-a], {boards: [con-b], from: "A:b"}]
groups:
  - {name: night, panels: ["a:b", con]}
order: {boards: {con: 2, "a:b": 1}}
panels:
  - {name: "a:b", drawing: a.dxf}
  - {name: con, drawing: b.dxf}
`), FileName)
	require.NoError(t, l.Err())
	require.Equal(t, []string{"a-b", "panel-con-a"}, p.Chains[0].Boards)
	require.Equal(t, []string{"panel-con-b"}, p.Chains[1].Boards)
	require.Equal(t, "a-b", p.Chains[1].From)
	require.Equal(t, []string{"a-b", "panel-con"}, p.Groups[0].Panels)
	require.Equal(t, []Ordered{{"panel-con", 2}, {"a-b", 1}}, p.Orders[0].Boards)
}
