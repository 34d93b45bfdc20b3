package light

import (
	"context"

	"lampblack/led"
	"lampblack/panel"
	"lampblack/panel/geom"
	"lampblack/panel/lettering"
	"lampblack/panel/work"
)

// Shares returns the light, cd/m², of each LED of the wiring on each word and symbol: words by LEDs. An LED's light is taken as its
// radial profile through the whole stack, cut off by walls, as a search for places takes it. When ctx is done it returns at once, and
// what it returns means nothing.
func Shares(ctx context.Context, p panel.Panel, e *lettering.Engraving, w led.Wiring, st Stack) (out [][]float64) {
	work.Until(ctx, func(watch *work.Watch) {
		s := &search{watch: watch, p: p, spots: spotsOf(watch, p, e), ws: walls(p), optics: newOptics(watch, st)}
		var word []int // of each point
		var area []float64
		words := 0
		for _, t := range s.spots {
			for i, c := range t.chars {
				for _, q := range c.points {
					s.points, word, area = append(s.points, q), append(word, words), append(area, c.area)
				}
				if i+1 == len(t.chars) || t.chars[i+1].word != c.word {
					words++
				}
			}
		}
		if len(s.points) == 0 {
			return
		}
		all := make([]float64, words)
		for i, k := range word {
			all[k] += area[i]
		}
		out = make([][]float64, words)
		for k := range out {
			out[k] = make([]float64, len(w.LEDs))
		}
		type beam struct {
			kind string
			hole geom.Nm
		}
		type profile struct{ direct, around radial }
		known := map[beam]profile{}
		for n, d := range w.LEDs {
			watch.Look()
			if d.Hole < 0 || d.Hole >= len(p.LEDs) {
				continue
			}
			key := beam{d.Kind.Name, p.LEDs[d.Hole].D}
			pr, ok := known[key]
			if !ok {
				s.o = Options{Stack: st, Kind: d.Kind, Hole: key.hole, Current: 0.001}
				pr.direct, pr.around = s.profiles()
				known[key] = pr
			}
			s.direct, s.around = pr.direct, pr.around
			amps := float64(w.Strings[d.String].Nominal) * 1000
			for i, v := range s.from(p.LEDs[d.Hole].At) {
				out[word[i]][n] += float64(float64(v*area[i])*amps) / all[word[i]]
			}
		}
		for k := range out {
			for n := range out[k] {
				out[k][n] = settled(out[k][n])
			}
		}
	})
	return out
}
