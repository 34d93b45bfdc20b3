package term

import (
	"bytes"
	"fmt"
	"os"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"lampblack/export/table"
	"lampblack/panel/diag"
)

func TestFinding(t *testing.T) {
	var l diag.List
	f := l.Add(diag.Error, "project-wrong-value", "volts: %q is no voltage", "12 A").Of("dome").Fix("write volts as 12 V")
	f.Place = diag.Place{File: "desk/lampblack.yaml", Line: 12, Column: 10, Source: "  volts: 12 A"}
	l.Add(diag.Warning, "dxf-gap", "a gap of 0.05 mm was closed").In("dome.dxf", 0).At(12.345, -6).
		Note(diag.Place{File: "dome.dxf", Line: 88, At: &diag.Point{X: 1, Y: 2}}, "the other end is here").
		Note(diag.Place{}, "nothing was moved")
	l[1].Place.Layer, l[1].Place.Handle = "OUTLINE", "2F"
	l.Add(diag.Note, "circuit-chain", "one chain")
	var b bytes.Buffer
	Screen{W: &b}.Findings(l, Cap)
	require.Equal(t, `desk/lampblack.yaml:12: error: volts: "12 A" is no voltage [project-wrong-value]
    panel dome
    12 |   volts: 12 A
       |          ^
    do: write volts as 12 V
dome.dxf: warning: a gap of 0.05 mm was closed [dxf-gap]
    at x 12.35, y -6.00 mm, layer OUTLINE, entity 2F
    note: the other end is here (dome.dxf:88, at x 1.00, y 2.00 mm)
    note: nothing was moved
note: one chain [circuit-chain]
`, b.String())
}

func TestFindingsAreCapped(t *testing.T) {
	var l diag.List
	for i := range 50 {
		l.Add(diag.Note, "a-note", "note %02d", i)
	}
	l.Add(diag.Error, "an-error", "the one that matters")
	show := func(limit int) string {
		var b bytes.Buffer
		Screen{W: &b}.Findings(l, limit)
		return b.String()
	}
	capped := show(Cap)
	require.True(t, strings.HasPrefix(capped, "error: the one that matters"), "gravest first")
	require.Equal(t, Cap+1, strings.Count(capped, "\n"))
	require.Contains(t, capped, "31 more findings not shown; --all")
	all := show(0)
	require.Equal(t, 51, strings.Count(all, "\n"))
	require.NotContains(t, all, "--all")
}

// One finding that tells of several shows a few of them, and all where all are asked for.
func TestFindingOfSeveral(t *testing.T) {
	var l diag.List
	for i, word := range []string{"OPEN", "SHUT", "LAMP", "DOME", "DOME"} {
		f := l.Add(diag.Warning, "light-dark-word", "%q is dark", word).In("dome.dxf", 10*i).Of("dome").Together("%d words are dark").Fix("move an LED")
		if i < 4 {
			f.At(float64(i), 0.5)
		}
	}
	for range 2 {
		l.Add(diag.Note, "b-same", "a line").In("dome.dxf", 7)
	}
	l = l.Grouped()
	l[0].Mark = diag.Mark{Number: 3, On: "dome/findings.svg"}
	show := func(limit int) string {
		var b bytes.Buffer
		Screen{W: &b}.Findings(l, limit)
		return b.String()
	}
	require.Equal(t, `dome.dxf: warning: 5 words are dark [light-dark-word]
    panel dome, marked 3 in dome/findings.svg
    - "OPEN" is dark (at x 0.00, y 0.50 mm)
    - "SHUT" is dark (at x 1.00, y 0.50 mm, line 10)
    - "LAMP" is dark (at x 2.00, y 0.50 mm, line 20)
    - and 2 more; --all shows every one
    do: move an LED
dome.dxf: note: a line (2 times) [b-same]
    - line 7
`, show(Cap))
	all := show(0)
	require.Contains(t, all, "    - \"DOME\" is dark (line 40)\n    do: move an LED\n")
	require.NotContains(t, all, "--all")
}

// Text from a drawing must not reach the terminal as commands.
func TestControlCharactersAreNotShown(t *testing.T) {
	var l diag.List
	f := l.Add(diag.Error, "x-y", "text \x1b[2J\a\u202e here\xff").Fix("do\r\nthis")
	f.Place = diag.Place{File: "a\x1b.dxf", Line: 1, Column: 400, Source: strings.Repeat("\tä", 500)}
	var b bytes.Buffer
	Screen{W: &b}.Findings(l, Cap)
	for _, bad := range []string{"\x1b", "\a", "\r", "\u202e", "\xff", "\t"} {
		require.NotContains(t, b.String(), bad)
	}
	lines := strings.Split(b.String(), "\n")
	require.LessOrEqual(t, len([]rune(lines[1])), len("    1 | ")+maxSource)
	require.Equal(t, "    do: do  this", lines[3])
}

func TestColourOnlyOnATerminal(t *testing.T) {
	f, err := os.CreateTemp(t.TempDir(), "")
	require.NoError(t, err)
	defer f.Close()
	s := NewScreen(f, func(string) string { return "" })
	require.False(t, s.Colour)
	require.False(t, s.Interactive)
	require.Equal(t, "x", s.paint(red, "x"))
	require.Equal(t, "\x1b[1;31mx\x1b[0m", Screen{Colour: true}.paint(red, "x"))
}

func TestTable(t *testing.T) {
	tab := table.New("Boards", table.Text("panel"), table.Number("width", "mm"), table.Long("state"))
	tab.Add("dome", "120.0", "proven")
	tab.Add("Öffnung", 8, "")
	var b bytes.Buffer
	Table(&b, tab)
	require.Equal(t, `Boards
  panel    width mm  state
  dome        120.0  proven
  Öffnung         8

`, b.String())
	b.Reset()
	Table(&b, tab.Read(strings.Repeat("word ", 21)))
	require.Equal(t, "Boards\n  word"+strings.Repeat(" word", 19)+"\n  word\n  panel    width mm  state", b.String()[:len("Boards\n  word"+strings.Repeat(" word", 19)+"\n  word\n  panel    width mm  state")],
		"how to read it stands below the title, in lines of a hundred letters")
	b.Reset()
	Table(&b, table.New("None", table.Text("a")))
	require.Empty(t, b.String())
}

func TestWords(t *testing.T) {
	require.Equal(t, "1 panel", Plural(1, "panel"))
	require.Equal(t, "0 panels", Plural(0, "panel"))
	require.Equal(t, "no findings", Tally(nil))
	var l diag.List
	l.Add(diag.Note, "a-b", "")
	l.Add(diag.Error, "a-b", "")
	l.Add(diag.Error, "a-b", "")
	require.Equal(t, "2 errors, 1 note", Tally(l))
}

func TestJSONKeepsSigns(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, JSON(&b, map[string]string{"a": "<µ & Ω>"}))
	require.Equal(t, "{\n  \"a\": \"<µ & Ω>\"\n}\n", b.String())
}

// Progress is quiet without a terminal, and on one it is gone when the work is done.
func TestProgress(t *testing.T) {
	var quiet bytes.Buffer
	p := Screen{W: &quiet}.NewProgress()
	p.Step(1, 2, "dome: route")
	p.Close()
	require.Empty(t, quiet.String())

	var lively bytes.Buffer
	p = Screen{W: &lively, Interactive: true}.NewProgress()
	p.start = p.start.Add(-2 * time.Second)
	for i := range 4 {
		p.Step(i, 4, fmt.Sprintf("step %d", i))
		p.mu.Lock()
		p.show()
		p.mu.Unlock()
	}
	p.Close()
	require.Contains(t, lively.String(), "step 3")
	last := lively.String()[strings.LastIndexByte(strings.TrimRight(lively.String(), "\r"), '\r')+1:]
	require.Empty(t, strings.Trim(last, " \r"), "the line is cleared")
}
