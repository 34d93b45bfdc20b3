package read

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/panel"
	"lampblack/panel/geom"
)

// What lies on print and print-back is printed as it is drawn and nothing else: closed lines there are no openings, bodies or
// lettering; the layers' names may be others, in any case, and rules give the roles too.
func TestPrintIsPrintedAlone(t *testing.T) {
	lines := `
		outline rect 0 0 120 60
		led circle 30 30 3
		lettering text 20 40 5 DOME
		%F text 60 10 3 Ridge
		%F rect 60 20 80 30
		%F circle 100 20 3
		%F line 60 40 80 40
		%B text 10 10 2 desk
		%B circle 10 20 3`
	for name, c := range map[string]struct {
		front, back string
		opt         Options
	}{
		"our layers":    {"PRINT", "Print-Back", Options{}},
		"others' names": {"MARKS", "WIRING", Options{Layers: map[panel.Role]string{panel.RolePrint: "marks", panel.RolePrintBack: "Wiring"}}},
		"rules":         {"MARKS", "WIRING", Options{Rules: rulesOf(t, "lettering: texts 5 mm; print: layer MARKS; print-back: layer WIRING")}},
	} {
		t.Run(name, func(t *testing.T) {
			ps, l := Panels(t.Context(), drawn(t, strings.NewReplacer("%F", c.front, "%B", c.back).Replace(lines)), c.opt)
			require.NoError(t, l.Err())
			require.Len(t, ps, 1)
			p := ps[0]
			require.Len(t, p.LEDs, 1, "a circle of an LED's size is print")
			require.Empty(t, p.Openings)
			require.Empty(t, p.Mounts)
			require.Empty(t, p.Symbols)
			require.Len(t, p.Lettering, 1)
			top, bottom := p.Print[geom.Top], p.Print[geom.Bottom]
			require.Len(t, top.Texts, 1)
			require.Equal(t, "Ridge", top.Texts[0].Text)
			require.Equal(t, geom.PtMM(60, 10), top.Texts[0].At)
			require.Len(t, top.Symbols, 3)
			require.Len(t, bottom.Texts, 1)
			require.Len(t, bottom.Symbols, 1)
			for _, f := range l {
				require.NotContains(t, f.Text, c.front, "it has a use")
			}
		})
	}
}

// Parts of print are chosen by rules for texts, lines and fills; the lettering beside them stays what it is.
func TestRulesForPrint(t *testing.T) {
	d := drawn(t, `
		outline rect 0 0 120 60
		led circle 30 30 3
		A text 20 40 5 DOME
		A text 60 10 2 Ridge
		A line 60 40 80 40`)
	ps, l := Panels(t.Context(), d, Options{Rules: rulesOf(t, "print: texts 2 mm; print: lines")})
	require.NoError(t, l.Err())
	require.Len(t, ps[0].Print[geom.Top].Texts, 1)
	require.Len(t, ps[0].Print[geom.Top].Symbols, 1)
	require.Len(t, ps[0].Lettering, 1, "%v", l)
}

// A drawing of which only print has a layer of ours is understood as if it had none; what is printed outside the panel is told.
func TestPrintSaysNothingOfThePanel(t *testing.T) {
	d := drawn(t, `
		EDGE rect 0 0 120 60
		HOLES circle 30 30 3
		HOLES circle 50 30 3
		PRINT text 60 10 2 Ridge
		PRINT line 160 40 180 40
		PRINT text 160 40 2 beside`)
	ps, l := Panels(t.Context(), d, Options{})
	require.NoError(t, l.Err())
	require.Len(t, ps, 1)
	require.Len(t, ps[0].Print[geom.Top].Texts, 1)
	require.Empty(t, ps[0].Print[geom.Top].Symbols)
	require.Contains(t, codes(l), "warning panel-print-outside")
	require.Contains(t, codes(l), "warning panel-guess", "the rest is guessed")
	rep, _ := Survey(t.Context(), d, Options{})
	require.True(t, rep.Guessed)
	roles := map[string]panel.Role{}
	for _, w := range rep.Texts {
		roles[w.Text.Text] = w.Role
	}
	require.Equal(t, map[string]panel.Role{"Ridge": panel.RolePrint, "beside": ""}, roles)
}

// What is printed is drawn on whichever sheet a builder likes: it comes into the panel's frame with that sheet, a sheet that is drawn
// as seen from behind included, where what reads rightly there is what one reads from behind the board.
func TestPrintOnSheets(t *testing.T) {
	lines := `
		outline rect 0 0 120 60
		mount circle 6 6 3.2
		mount circle 114 50 3.2
		lettering text 20 40 5 DOME
		print text 60 10 3 Ridge
		outline rect 140 0 260 60
		mount circle 146 6 3.2
		mount circle 254 50 3.2
		led circle 170 30 3
		print line 180 20 200 20
		print-back line 150 40 160 40`
	ps, l := Panels(t.Context(), drawn(t, lines), Options{Sheets: SheetsTogether})
	require.NoError(t, l.Err())
	require.Len(t, ps, 1, "%v", l)
	p := ps[0]
	require.Equal(t, geom.PtMM(60, 10), p.Print[geom.Top].Texts[0].At)
	require.Equal(t, geom.PtMM(50, 20), p.Print[geom.Top].Symbols[0].Shape.Box().Centre(), "the LED sheet's 180 to 200 is 40 to 60 of the panel")
	require.Equal(t, geom.PtMM(15, 40), p.Print[geom.Bottom].Symbols[0].Shape.Box().Centre())

	mirrored := strings.NewReplacer("146 6", "254 6", "254 50", "146 50", "170 30", "230 30").Replace(lines)
	ps, l = Panels(t.Context(), drawn(t, mirrored), Options{Sheets: SheetsMirrored})
	require.NoError(t, l.Err())
	require.Len(t, ps, 1, "%v", l)
	p = ps[0]
	require.Equal(t, geom.PtMM(30, 30), p.LEDs[0].At)
	require.Equal(t, geom.PtMM(60, 10), p.Print[geom.Top].Texts[0].At, "the face is drawn from the front")
	require.Equal(t, geom.PtMM(70, 20), p.Print[geom.Top].Symbols[0].Shape.Box().Centre(), "180 to 200 of 140 to 260 seen from behind is 60 to 80 from the left")
	require.Equal(t, geom.PtMM(105, 40), p.Print[geom.Bottom].Symbols[0].Shape.Box().Centre())
}
