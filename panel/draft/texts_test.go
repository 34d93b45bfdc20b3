package draft

import (
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/panel"
	"lampblack/panel/dxf"
	"lampblack/panel/geom"
	"lampblack/panel/lettering"
	"lampblack/panel/paneltest"
	"lampblack/panel/read"
	"lampblack/panel/writing"
)

// faces gives each font of the test a face of its own, so that a text that loses its font is another area.
func faces() *lettering.Faces {
	f := lettering.Faces{Asked: map[writing.Font]*lettering.Face{}}
	for font, name := range map[writing.Font]string{
		{Style: "TITLES", File: "plate.ttf", Family: "Plate Gothic"}:             lettering.Condensed,
		{Style: "BOLD", Family: "Plate Gothic", Bold: true}:                      lettering.Grotesque,
		{Style: "LINES", File: "simplex.shx"}:                                    lettering.SingleLine,
		{Style: "TITLES", Family: "Other"}:                                       lettering.Technical,
		{Style: "TITLES", File: "plate.ttf", Family: "Plate Gothic", Bold: true}: lettering.Grotesque,
		{Style: "TITLES", Family: "Plate Gothic", Bold: true, Italic: true}:      lettering.Grotesque,
		{File: "usual.ttf"}: lettering.Technical,
	} {
		f.Asked[font] = lettering.Named(name)
	}
	return &f
}

// Texts of a drawing that is written are the same areas when it is read: style, face, slant, mirror, and all that a paragraph says.
func TestTextsReadBack(t *testing.T) {
	titles := writing.Font{Style: "TITLES", File: "plate.ttf", Family: "Plate Gothic"}
	bold := writing.Font{Style: "TITLES", Family: "Plate Gothic", Bold: true, Italic: true}
	other := writing.Font{Style: "TITLES", Family: "Other"}
	at := geom.PtMM(60, 40)
	runs := func(r ...writing.Run) writing.Paragraph { return writing.Paragraph{Runs: r} }
	block := func(s string, b writing.Block) panel.Text {
		return panel.Text{Text: s, At: at, Height: geom.MM(3), Width: 1, Anchor: panel.Anchor{V: panel.TopLine}, Block: &b}
	}
	long := "Opens the dome when rain has stopped, and closes it before the wind grows"
	for name, text := range map[string]panel.Text{
		"style":       {Text: "Dome", At: at, Height: geom.MM(5), Width: 1, Font: titles},
		"bold style":  {Text: "Dome", At: at, Height: geom.MM(5), Width: 1.2, Font: writing.Font{Style: "BOLD", Family: "Plate Gothic", Bold: true}},
		"lines":       {Text: "Dome", At: at, Height: geom.MM(5), Width: 1, Font: writing.Font{Style: "LINES", File: "simplex.shx"}},
		"standard":    {Text: "Dome", At: at, Height: geom.MM(5), Width: 1, Font: writing.Font{File: "usual.ttf"}},
		"slant":       {Text: "Dome", At: at, Height: geom.MM(5), Width: 0.8, Angle: 0.4, Slant: 0.3, Font: titles},
		"span":        {Text: "Dome", At: at, Height: geom.MM(5), Width: 1, Span: geom.MM(30), Slant: -0.2, Font: titles},
		"mirror":      {Text: "Dome", At: at, Height: geom.MM(5), Width: 1, Mirror: true, Font: titles},
		"lines of it": {Text: "Dome\nopen", At: at, Height: geom.MM(5), Width: 1, Font: titles, Anchor: panel.Anchor{H: panel.Centre, V: panel.Middle}},
		"behind":      {Text: "Dome\nopen", At: at, Height: geom.MM(5), Width: 1, Angle: 0.5, Mirror: true, Font: titles, Anchor: panel.Anchor{H: panel.Right, V: panel.TopLine}},
		"switched": {Text: "in and out", At: at, Height: geom.MM(4), Width: 1, Block: &writing.Block{Paragraphs: []writing.Paragraph{
			runs(writing.Run{Text: "in ", Font: titles}, writing.Run{Text: "and", Font: titles, Under: true}, writing.Run{Text: " out", Font: titles, Over: true, Through: true})}}},
		"runs": block("Dome 50% {a}^b", writing.Block{Paragraphs: []writing.Paragraph{runs(writing.Run{Text: "Do", Font: titles}, writing.Run{Text: "me", Font: bold, Height: 1.5},
			writing.Run{Text: " 50%", Font: other, Width: 0.7, Slant: 0.2}, writing.Run{Text: "%% {a}", Font: titles, Tracking: 1.4, Rise: writing.AtTop, Height: 0.6},
			writing.Run{Text: "^b\\c", Font: titles, Under: true})}}),
		"stacks": block("1/2 a/b 3/4", writing.Block{Paragraphs: []writing.Paragraph{runs(writing.Run{Text: "x ", Font: titles},
			writing.Run{Font: titles, Stack: &writing.Stack{Above: "1", Below: "2/3;", Bar: writing.Level}},
			writing.Run{Font: titles, Stack: &writing.Stack{Above: "a", Below: "b", Bar: writing.NoBar}},
			writing.Run{Font: titles, Stack: &writing.Stack{Above: "3", Below: "4", Bar: writing.Diagonal}})}}),
		"paragraphs": block(long, writing.Block{Width: 10, Spacing: 0.8, Exact: true, Paragraphs: []writing.Paragraph{
			{First: 1.5, Left: 0.5, Right: 1, Align: writing.Justified, Runs: []writing.Run{{Text: long, Font: titles}}},
			{Runs: []writing.Run{{Font: titles, Height: 2}}},
			{Align: writing.AtCentre, Runs: []writing.Run{{Text: "ends", Font: other}}},
			{Tabs: []writing.Tab{{At: 3, Align: writing.AtLeft}, {At: 8, Align: writing.AtRight}, {At: 9, Align: writing.AtCentre}}, Runs: []writing.Run{{Text: "a\tb\tc\td", Font: titles}}}}}),
		"columns": block(long, writing.Block{Columns: writing.Columns{Count: 2, Width: 8, Gutter: 1, Heights: []float64{6, 9}}, Paragraphs: []writing.Paragraph{
			runs(writing.Run{Text: long, Font: titles})}}),
		"column break": block("a\nb", writing.Block{Columns: writing.Columns{Count: 2, Width: 8, Gutter: 1}, Paragraphs: []writing.Paragraph{
			runs(writing.Run{Text: "a", Font: titles}), {NewColumn: true, Runs: []writing.Run{{Text: "b", Font: titles}}}}}),
	} {
		t.Run(name, func(t *testing.T) {
			p := panel.Panel{Outline: geom.Rect(geom.Box{Max: geom.PtMM(120, 80)}), LEDs: []panel.Hole{{At: geom.PtMM(30, 30), D: geom.MM(3)}},
				Lettering: []panel.Text{{Text: "base", At: geom.PtMM(5, 5), Height: geom.MM(4), Width: 1, Font: titles}, text}}
			src, err := dxf.Write(Drawing(p), dxf.Options{})
			require.NoError(t, err)
			d, l := dxf.Read(t.Context(), src, "again.dxf")
			require.Empty(t, l)
			ps, l := read.Panels(t.Context(), d, read.Options{})
			require.Len(t, ps, 1, "%v", l)
			require.Len(t, ps[0].Lettering, 2)
			got, f := ps[0].Lettering[1], faces()
			want, have := f.Outline(text), f.Outline(got)
			require.NotEmpty(t, want)
			off := want.Minus(have).Area() + have.Minus(want).Area()
			require.Less(t, off, 1e-3*want.Area(), "%+v\n%+v", text, got)
		})
	}
}

// The texts of drawings of all releases, written and read, are the areas that they were.
func TestDrawnTextsReadBack(t *testing.T) {
	for _, file := range paneltest.Files(t, "../read/testdata/focus/*.dxf") {
		d, _ := dxf.Read(t.Context(), file.Data, file.Name)
		ps, _ := read.Panels(t.Context(), d, read.Options{})
		src, err := dxf.Write(Drawing(ps...), dxf.Options{})
		require.NoError(t, err)
		again, l := dxf.Read(t.Context(), src, "again.dxf")
		require.Empty(t, l)
		qs, _ := read.Panels(t.Context(), again, read.Options{})
		require.Len(t, qs, len(ps))
		for i := range ps {
			for k := range ps[i].Lettering {
				a, b := lettering.Outline(ps[i].Lettering[k]), lettering.Outline(qs[i].Lettering[k])
				require.InDelta(t, a.Area(), b.Area(), 1e-6*math.Max(1, a.Area()))
				require.Equal(t, ps[i].Lettering[k].Font, qs[i].Lettering[k].Font)
			}
		}
	}
}

// ezdxf, an independent reader, finds no fault in written styles and paragraphs, and in each style what it asks for. 1071 of a bold
// style is 1<<25 beside the bits of its pitch: 33554466 in a file that ezdxf's textstyle.py shows, 16777250 of an italic one.
func TestStylesForOthers(t *testing.T) {
	const python = "/usr/bin/python3"
	if err := exec.Command(python, "-c", "import ezdxf").Run(); err != nil {
		t.Skip("no ezdxf here (Debian: python3-ezdxf): ", err)
	}
	titles := writing.Font{Style: "TITLES", File: "plate.ttf", Family: "Plate Gothic", Bold: true}
	p := panel.Panel{Outline: geom.Rect(geom.Box{Max: geom.PtMM(120, 80)}), LEDs: []panel.Hole{{At: geom.PtMM(30, 30), D: geom.MM(3)}},
		Lettering: []panel.Text{{Text: "Dome", At: geom.PtMM(5, 5), Height: geom.MM(4), Width: 1, Font: titles, Slant: math.Pi / 12},
			{Text: "a/b in", At: geom.PtMM(5, 50), Height: geom.MM(3), Width: 1, Anchor: panel.Anchor{V: panel.TopLine}, Block: &writing.Block{Width: 9, Paragraphs: []writing.Paragraph{
				{Left: 1, Runs: []writing.Run{{Font: titles, Stack: &writing.Stack{Above: "a", Below: "b", Bar: writing.Level}}, {Text: " in", Font: titles, Under: true, Height: 1.5}}}}}}}}
	src, err := dxf.Write(Drawing(p), dxf.Options{})
	require.NoError(t, err)
	name := filepath.Join(t.TempDir(), "out.dxf")
	require.NoError(t, os.WriteFile(name, src, 0o644))
	out, err := exec.Command(python, "-c", `
import ezdxf, json, sys
doc = ezdxf.readfile(sys.argv[1])
s = doc.styles.get("TITLES")
text, = doc.modelspace().query("TEXT"); m, = doc.modelspace().query("MTEXT")
print(json.dumps([len(doc.audit().errors), s.dxf.font, [t.value for t in s.get_xdata("ACAD")], text.dxf.style, round(text.dxf.oblique, 9), m.dxf.style, m.dxf.width, m.plain_text()]))`, name).CombinedOutput()
	require.NoError(t, err, string(out))
	require.JSONEq(t, `[0, "plate.ttf", ["Plate Gothic", 33554432], "TITLES", 15, "TITLES", 27, "a/b in"]`, string(out))
}
