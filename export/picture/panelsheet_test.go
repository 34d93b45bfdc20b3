package picture

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/board"
	"lampblack/export/scene"
	"lampblack/panel"
	"lampblack/panel/geom"
	"lampblack/panel/lettering"
)

// faceplate returns a panel and its board by chance: from a small knob's plate to one for a plotter, with and without parts
// behind it, lettering, LEDs and screws.
func faceplate(seed uint64) (panel.Panel, board.Board) {
	r := rand.New(rand.NewPCG(seed, 7))
	w, h := geom.MM(20+float64(r.IntN(280))), geom.MM(15+float64(r.IntN(190)))
	box := geom.Box{Max: geom.Pt{X: w, Y: h}}
	at := func() geom.Pt {
		return geom.Pt{X: w/8 + geom.Nm(r.Int64N(int64(w*3/4))), Y: h/8 + geom.Nm(r.Int64N(int64(h*3/4)))}
	}
	p := panel.Panel{Name: strings.Repeat("greenhouse-", 1+r.IntN(9)) + "mist", Outline: geom.Rect(box)}
	b := board.Board{Name: p.Name, Outline: geom.Rect(box.Grown(-geom.Millimetre))}
	for range r.IntN(4) {
		c := at()
		p.Openings = append(p.Openings, panel.Opening{Contour: geom.Circle(c, geom.MM(6))})
		if r.IntN(3) > 0 {
			p.Bodies = append(p.Bodies, geom.Circle(c, geom.MM(12)))
		}
	}
	for range r.IntN(12) {
		p.LEDs = append(p.LEDs, panel.Hole{At: at(), D: geom.MM(3)})
	}
	for range r.IntN(5) {
		p.Mounts = append(p.Mounts, panel.Hole{At: at(), D: geom.MM(3.2)})
	}
	for range r.IntN(3) {
		p.Lettering = append(p.Lettering, panel.Text{Text: "VENT", At: at(), Height: geom.MM(4), Width: 1})
	}
	return p, b
}

// Every kind of line and colour of the drawing is in the legend, and nothing else: as it is painted, and each with words.
// The legend keeps clear of the drawing and of the scale bar, and the drawing is at true size whatever the paper.
func TestPanelLegend(t *testing.T) {
	type paint struct{ fill, line, width, dashes string }
	of := func(q mark) paint {
		return paint{fmt.Sprint(q.fill, q.fill.Percent), fmt.Sprint(q.stroke.Paint, q.stroke.Percent), fmt.Sprint(q.stroke.Width), fmt.Sprint(q.stroke.Dashes)}
	}
	beside, kinds := 0, map[int]bool{}
	for seed := range uint64(150) {
		p, b := faceplate(seed)
		page := panelSheet(nil, p, lettering.Engraved(nil, p, nil, lettering.Stroke), []board.Board{b}, Print{})
		tidy(t, page)
		drawing, key := map[paint]bool{}, map[paint]bool{}
		boxes := map[string]geom.Box{"panel": geom.EmptyBox(), "legend": geom.EmptyBox(), "scale-bar": geom.EmptyBox()}
		words, heading := 0, 0
		for _, q := range inks(page) {
			group, _, _ := strings.Cut(strings.TrimPrefix(q.group, "/"), "/")
			if q.text != "" && group == "" {
				heading++
				continue
			}
			require.Contains(t, boxes, group)
			boxes[group] = boxes[group].Union(q.box)
			switch {
			case q.text != "":
				require.Equal(t, "legend", group)
				words++
			case group == "panel":
				drawing[of(q)] = true
			case group == "legend":
				key[of(q)] = true
			}
		}
		require.Equal(t, drawing, key, "seed %d", seed)
		require.GreaterOrEqual(t, words, len(panelLayers(nil, scene.Frame{}, p, lettering.Engraved(nil, p, nil, lettering.Stroke), []board.Board{b})))
		require.Equal(t, 3, heading, "title, size, and what the bar is")
		for a, box := range boxes {
			for o, other := range boxes {
				require.True(t, a == o || overlap(box, other) == 0, "seed %d: %s over %s", seed, a, o)
			}
		}
		// The face is as large on the page as it is.
		for _, q := range inks(page) {
			if q.group == "/panel/face" {
				require.Equal(t, p.Outline.Box().W(), q.path.Shapes[0].Box().W())
				require.Equal(t, p.Outline.Box().H(), q.path.Shapes[0].Box().H())
			}
		}
		if boxes["legend"].Min.X > boxes["panel"].Max.X {
			beside++
		}
		kinds[len(key)] = true
	}
	require.Greater(t, beside, 3, "legends beside the drawing were tried too")
	require.Greater(t, len(kinds), 3)
}

// A plate as large as A4 holds keeps its paper where the legend has room beside it.
func TestPanelLegendTakesNoLargerPaper(t *testing.T) {
	p, b := faceplate(1)
	p.Outline, p.Bodies = geom.Rect(geom.Box{Max: geom.PtMM(240, 160)}), nil
	page := panelSheet(nil, p, lettering.Engraved(nil, p, nil, lettering.Stroke), []board.Board{b}, Print{})
	require.Equal(t, [2]geom.Nm{a4High, a4Wide}, [2]geom.Nm{page.W, page.H})
}
