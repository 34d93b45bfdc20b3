package flow

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/cmd/lampblack/internal/project"
	"lampblack/export"
	"lampblack/export/readback"
	"lampblack/panel"
	"lampblack/panel/draft"
	"lampblack/panel/dxf"
	"lampblack/panel/geom"
	"lampblack/panel/lettering"
)

// inkedPanel is a panel of two boards with a word printed on each: one on the LED side, one on the back.
func inkedPanel() panel.Panel {
	rect := func(x0, y0, x1, y1 float64) geom.Contour {
		return geom.Rect(geom.BoxOf(geom.PtMM(x0, y0), geom.PtMM(x1, y1)))
	}
	p := panel.Panel{Outline: rect(0, 0, 300, 60), Boards: []panel.Edge{{rect(5, 5, 140, 55)}, {rect(160, 5, 295, 55)}},
		Lettering: []panel.Text{{Text: "LONG", At: geom.PtMM(60, 48), Height: geom.MM(5), Width: 1}}}
	for _, x := range []float64{30, 70, 110, 190, 230, 270} {
		p.LEDs = append(p.LEDs, panel.Hole{At: geom.PtMM(x, 40), D: geom.MM(3)})
	}
	p.Print[geom.Top].Texts = []panel.Text{{Text: "Ridge", At: geom.PtMM(50, 20), Height: geom.MM(4), Width: 1}}
	p.Print[geom.Bottom].Texts = []panel.Text{{Text: "desk", At: geom.PtMM(200, 20), Height: geom.MM(4), Width: 1}}
	p.Print[geom.Bottom].Symbols = []panel.Symbol{{Closed: true, Filled: true, Shape: rect(194, 20, 198, 24)}}
	return p
}

func inkedBuilt(t *testing.T, p panel.Panel, more string) Outcome {
	t.Helper()
	src, err := dxf.Write(draft.Drawing(p), dxf.Options{})
	require.NoError(t, err)
	q, l := project.Read([]byte("console: Ridge observatory desk\nsupply: {volts: 12 V, amps: 2 A}\npanels:\n  - {drawing: long.dxf}\n"+more), project.FileName)
	require.NoError(t, l.Err())
	return must(Build(t.Context(), q, Settings{Version: "test", Pack: true, Read: func(string) ([]byte, error) { return src, nil }}))
}

// inkFile returns what a written silkscreen file paints as areas.
func inkFile(t *testing.T, m *Made, side geom.Side) geom.Region {
	t.Helper()
	var out export.Layer
	for _, f := range m.files() {
		if name, ok := strings.CutPrefix(f.Path, "fab/"); ok && name == export.FileName(m.Name(), export.SilkscreenTop+export.Function(side)) {
			l, found := readback.Gerber(nil, f.Data, name)
			require.Empty(t, found)
			out = l
		}
	}
	out.Objects = slices.DeleteFunc(out.Objects, func(o export.Object) bool { return o.Op != export.Region })
	return readback.Image(out)
}

// What is drawn on print is in the files of the board over which it was drawn, on its side, at its place; the back is turned over as
// a whole. Sheets and light are those of the panel without it.
func TestPrintIsInTheFiles(t *testing.T) {
	p := inkedPanel()
	out := inkedBuilt(t, p, "")
	require.False(t, out.Findings.HasErrors(), "%v", out.Findings)
	made := out.made()
	require.Len(t, made, 2)
	for _, m := range made {
		require.NotEmpty(t, m.files(), "%s is built", m.Name())
	}
	front := lettering.Outline(p.Print[geom.Top].Texts[0])
	got := inkFile(t, made[0], geom.Top)
	require.InEpsilon(t, front.Area(), got.And(front).Area(), 0.03)
	require.InEpsilon(t, front.Area(), got.Area(), 0.03)
	require.Empty(t, inkFile(t, made[1], geom.Top))
	require.Empty(t, inkFile(t, made[0], geom.Bottom))

	group := append(lettering.Outline(p.Print[geom.Bottom].Texts[0]), geom.NewRegion(p.Print[geom.Bottom].Symbols[0].Shape.Ring(1))...)
	back := inkFile(t, made[1], geom.Bottom)
	require.InDelta(t, group.Box().Min.X.MM(), back.Box().Min.X.MM(), 0.1, "tips of letters print round")
	require.InDelta(t, group.Box().Max.X.MM(), back.Box().Max.X.MM(), 0.1)
	mark := geom.BoxOf(geom.PtMM(194, 20), geom.PtMM(198, 24))
	sum := group.Box().Min.X + group.Box().Max.X
	turned := geom.BoxOf(geom.Pt{X: sum - mark.Max.X, Y: mark.Min.Y}, geom.Pt{X: sum - mark.Min.X, Y: mark.Max.Y})
	within := func(b geom.Box) float64 { return back.And(geom.NewRegion(geom.Rect(b).Ring(1))).Area() }
	require.InDelta(t, 16, within(turned), 0.1, "the mark is on the other side of its word, seen from the front")
	require.Less(t, within(mark), 8.0)

	p.Print = [2]panel.Print{}
	bare := inkedBuilt(t, p, "")
	require.Equal(t, bare.Built[0].Field.Figures, out.Built[0].Field.Figures)
	require.Equal(t, bare.Built[0].sheets, out.Built[0].sheets)
}

// Lines of the project stand on every board of the panel, the board's name filled in; without a place they find one. What they name
// and the project does not tell is told once.
func TestPrintOfTheProject(t *testing.T) {
	p := inkedPanel()
	p.Print = [2]panel.Print{}
	out := inkedBuilt(t, p, "defaults: {print: {front: [\"{panel} {revision} {date}\"], back: [{text: \"{console}\", at: [60, 20], height: 2.5 mm}]}}\n")
	require.False(t, out.Findings.HasErrors(), "%v", out.Findings)
	for i, m := range out.made() {
		require.NotEmpty(t, inkFile(t, m, geom.Top), m.Name())
		require.Equal(t, i == 0, len(inkFile(t, m, geom.Bottom)) > 0, "the line with a place is on the board there")
		said := legendWords(m)
		require.NotContains(t, said[geom.Top], m.Name(), "the title says it no more")
		require.Contains(t, said[geom.Bottom], m.Name())
		require.NotContains(t, strings.Join(said[geom.Bottom], " "), "Rev")
	}
	n := 0
	for _, f := range out.Findings {
		if f.Code == "print-nothing-to-say" {
			n++
			require.Contains(t, f.Text, "names the date")
		}
	}
	require.Equal(t, 1, n)
}

func legendWords(m *Made) (out [2][]string) {
	for _, w := range m.Board.Words {
		out[w.On] = append(out[w.On], w.Text)
	}
	return out
}
