package read

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/panel"
	"lampblack/panel/dxf"
	"lampblack/panel/geom"
	"lampblack/panel/lettering"
)

// scaled is a panel with a scale of ticks beside a slot, two words of different height and a note.
func scaled() string {
	src := []string{"0 rect 0 0 120 80", "0 circle 20 20 3", "0 line 60 60 70 66", "0 text 20 70 5 HEAT", "0 text 20 60 3 NIGHT", "0 text 20 50 2 revision"}
	for i := range 8 {
		src = append(src, fmt.Sprintf("0 line 40 %d 44 %d", 20+5*i, 20+5*i))
	}
	return strings.Join(src, "\n")
}

// TestTicksAreEngraved: where no rule says anything, ticks are lettering and told so; another line stays what it was.
func TestTicksAreEngraved(t *testing.T) {
	ps, l := Panels(t.Context(), drawn(t, scaled()), Options{})
	require.Len(t, ps[0].Symbols, 8)
	require.Contains(t, textOf(l, "panel-guess"), "8 open lines are taken as lettering, since they form words or stand as the ticks of a dial or a scale")
	require.Equal(t, []string{"1 open line within the panel is neither cut nor engraved: it does not close, so it is no opening, and nothing says that it is lettering"}, textOf(l, "dxf-open-line"))
	sameByProposal(t, scaled())
	for say, n := range map[string]int{"ignore: strokes": 0, "lettering: strokes": 8, "lettering: lines": 9, "lettering: lines; ignore: strokes": 9, "ignore: lines; lettering: strokes": 8} {
		ps, _ := Panels(t.Context(), drawn(t, scaled()), Options{Rules: rulesOf(t, say)})
		if say == "lettering: lines; ignore: strokes" {
			n = 1
		}
		require.Len(t, ps[0].Symbols, n, say)
	}
}

// TestHeightsInRules: letters and texts are told apart by their height.
func TestHeightsInRules(t *testing.T) {
	for say, want := range map[string]string{
		"lettering: texts":                              "HEAT NIGHT revision",
		"lettering: texts 3 .. 5 mm":                    "HEAT NIGHT",
		"lettering: texts 5 mm":                         "HEAT",
		"lettering: texts; ignore: texts 1 .. 2.5 mm":   "HEAT NIGHT",
		"ignore: texts; lettering: texts 2.9 .. 3.1 mm": "NIGHT",
	} {
		ps, _ := Panels(t.Context(), drawn(t, scaled()), Options{Rules: rulesOf(t, say)})
		var got []string
		for _, x := range ps[0].Lettering {
			got = append(got, x.Text)
		}
		require.Equal(t, want, strings.Join(got, " "), say)
	}
	// Closed lines that form words: VENTS of 4 mm and FLUSH of 8.
	p := panelOfWords(t)
	for say, want := range map[string]int{"lettering: letters": 10, "lettering: letters 4 mm; opening: letters": 5, "lettering: letters 7 .. 9 mm; opening: letters": 5, "lettering: letters 2 mm; opening: letters": 0} {
		ps, l := Panels(t.Context(), p, Options{Rules: rulesOf(t, say+"; outline: largest")})
		n := 0
		for _, s := range ps[0].Symbols {
			if s.Closed {
				n++
			}
		}
		require.Equal(t, want, n, "%s: %v", say, l)
	}
	for _, s := range []string{"letters 4 mm", "letters 2 .. 4 mm in corners", "texts 3 mm on layer A", "strokes", "strokes on layer A", "filled shapes 4 x 2 mm", "outlined letters", "filled layer MARKS", "outlined fills", "filled rest on layer A"} {
		r, err := ParseRule(panel.RoleLettering, s)
		require.NoError(t, err)
		require.Equal(t, s, r.String())
	}
	for _, s := range []string{"strokes 3 mm", "lines 3 mm", "strokes in corners", "filled", "filled lines", "outlined texts", "filled filled rest"} {
		_, err := ParseRule(panel.RoleLettering, s)
		require.Error(t, err, s)
	}
	for _, s := range []string{"strokes", "filled circles 3 mm"} {
		_, err := ParseRule(panel.RoleLED, s)
		require.Error(t, err, s)
	}
}

func rulesOf(t *testing.T, say string) (out []Rule) {
	t.Helper()
	for _, s := range strings.Split(say, "; ") {
		role, words, _ := strings.Cut(s, ": ")
		r, err := ParseRule(panel.Role(role), words)
		require.NoError(t, err)
		out = append(out, r)
	}
	return out
}

// sameByProposal fails where the rules that a survey proposes give another panel than was guessed.
func sameByProposal(t *testing.T, src string) {
	t.Helper()
	rep, _ := Survey(t.Context(), drawn(t, src), Options{})
	var opt Options
	for _, p := range rep.Proposal {
		opt.Rules = append(opt.Rules, p.Rule)
	}
	ps, _ := Panels(t.Context(), drawn(t, src), opt)
	require.Equal(t, rep.Panels, ps)
}

// panelOfWords is a panel with two words drawn as the outlines of their letters.
func panelOfWords(t *testing.T) dxf.Drawing {
	t.Helper()
	d := drawn(t, "0 rect 0 0 120 80\n0 circle 20 20 3")
	for _, x := range []panel.Text{{Text: "VENTS", At: geom.PtMM(20, 60), Height: geom.MM(4), Width: 1}, {Text: "FLUSH", At: geom.PtMM(20, 30), Height: geom.MM(8), Width: 1}} {
		for _, g := range lettering.Outline(x) {
			p := dxf.Path{Closed: true}
			for _, v := range g.Outer {
				p.Vertices = append(p.Vertices, dxf.Vertex{XY: dxf.XY{X: v.X.MM(), Y: v.Y.MM()}})
			}
			d.Entities = append(d.Entities, dxf.Entity{Type: "LWPOLYLINE", Layer: "0", Path: p})
		}
	}
	return d
}
