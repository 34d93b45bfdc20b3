package desk

import (
	"encoding/json"
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/cmd/lampblack/internal/page/talk"
	"lampblack/panel"
	"lampblack/panel/draft"
	"lampblack/panel/dxf"
	"lampblack/panel/geom"
)

// wide returns the desk of a drawn panel of 200 × 120 mm with 60 LEDs, 24 words and six openings.
func wide(tb testing.TB, e *Engine) talk.Desk {
	tb.Helper()
	p := panel.Panel{Name: "bench", Outline: geom.Rect(geom.Box{Max: geom.PtMM(200, 120)})}
	for i := range 60 {
		p.LEDs = append(p.LEDs, panel.Hole{At: geom.PtMM(10+float64(i%10)*20, 10+float64(i/10)*20), D: geom.MM(3.2)})
	}
	for i := range 24 {
		p.Lettering = append(p.Lettering, panel.Text{Text: "SLEW", At: geom.PtMM(20+float64(i%6)*32, 16+float64(i/6)*29), Height: geom.MM(4), Width: 1, Anchor: panel.Anchor{H: panel.Centre, V: panel.Middle}})
	}
	for i := range 6 {
		p.Openings = append(p.Openings, panel.Opening{Contour: geom.Circle(geom.PtMM(40+float64(i%3)*60, 40+float64(i/3)*40), geom.MM(9))})
	}
	src, err := dxf.Write(draft.Drawing(p), dxf.Options{})
	require.NoError(tb, err)
	project := []byte("console: bench\npanels:\n  - {name: bench, drawing: bench.dxf}\n")
	return talk.Desk{"lampblack.yaml": e.keep(project), "bench.dxf": e.keep(src)}
}

// BenchmarkDrag is what a step of a drag costs the engine, from the ask's bytes to the answer's: 60 LEDs on 200 × 120 mm at two pixels
// a millimetre, of which one goes on.
func BenchmarkDrag(b *testing.B) {
	e := New("test")
	d := wide(b, e)
	ask := func(do string, with any) (a talk.Answer, gives json.RawMessage) {
		w, err := json.Marshal(with)
		require.NoError(b, err)
		head, err := json.Marshal(talk.Ask{Do: do, Desk: d, With: w})
		require.NoError(b, err)
		var last talk.Frame
		e.Answer(b.Context(), talk.Frame{Head: head}, func(f talk.Frame) { last = f })
		a.Gives = &gives
		require.NoError(b, json.Unmarshal(last.Head, &a))
		require.Empty(b, a.Wrong)
		return a, gives
	}
	_, gives := ask("unlit", BoardOf{"bench"})
	var u Unlit
	require.NoError(b, json.Unmarshal(gives, &u))
	require.Len(b, u.LEDs, 60, fmt.Sprint(u))
	ask("light", Lighting{Panel: "bench", LEDs: u.LEDs, Scale: 2})
	for i := 0; b.Loop(); i++ {
		u.LEDs[24].X += 0.5 * float64(1-2*(i/8%2))
		ask("light", Lighting{Panel: "bench", LEDs: u.LEDs, Scale: 2})
	}
}
