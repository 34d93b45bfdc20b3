package light

import (
	"context"
	"math"
	"slices"

	"lampblack/led"
	"lampblack/panel"
	"lampblack/panel/geom"
	"lampblack/panel/lettering"
	"lampblack/panel/work"
)

// Share is the light of each LED on a word or symbol; without any lettering, on the panel.
type Share struct {
	Text   string
	At     geom.Pt   // its middle
	Drawn  bool      // a symbol: Text says what it is
	Window bool      // a symbol that is one
	Whole  bool      // the panel itself
	By     []float64 // cd/m², of each LED of the wiring
}

// Scaled returns shares that were computed with one milliampere in each LED as those with the currents of the wiring.
func Scaled(shares []Share, w led.Wiring) []Share {
	out := slices.Clone(shares)
	for k := range out {
		out[k].By = slices.Clone(out[k].By)
		for i := range out[k].By {
			out[k].By[i] *= float64(w.Strings[w.LEDs[i].String].Nominal) * 1000
		}
	}
	return out
}

// behindWalls takes from the light of an LED at q, at all points, what comes there after bounces and has a frame in its way, but for the part
// that passes it.
func (s *search) behindWalls(frames []wall, q geom.Pt, part float64, light []float64) {
	if len(frames) == 0 {
		return
	}
	x, y := q.X.MM(), q.Y.MM()
	see := sight(frames, x, y, s.around.reach())
	for i, p := range s.points {
		dx, dy := p.X.MM()-x, p.Y.MM()-y
		if !see.lights(dx, dy) {
			light[i] -= float64((1 - part) * s.around.at(math.Sqrt(float64(dx*dx)+float64(dy*dy))))
		}
	}
}

// under is the part of the light that comes and goes between board and diffuser that passes below a frame, through a clear LED sheet: as much as
// that sheet is, by its refraction, of the whole way. It is an estimate from above, since some of it meets the frame's underside.
func (s Stack) under() float64 {
	if s.SheetTransmission <= 0 {
		return 0
	}
	sheet := max(s.Sheet, 0).MM() / acrylic
	return sheet / (sheet + max(s.Gap, geom.Millimetre/2).MM())
}

// Shares returns what each LED of the wiring gives each word and symbol. An LED's light is taken as its
// radial profile through the whole stack, cut off by walls, as a search for places takes it; frames cut off what comes after bounces too,
// but for what passes below them. When ctx is done it returns at once, and
// what it returns means nothing.
func Shares(ctx context.Context, p panel.Panel, e *lettering.Engraving, w led.Wiring, st Stack) (out []Share) {
	work.Until(ctx, func(watch *work.Watch) {
		s := &search{watch: watch, p: p, spots: spotsOf(watch, p, e), ws: walls(p), optics: newOptics(watch, st)}
		var word []int // of each point
		var area []float64
		for _, t := range s.spots {
			name, box := "", geom.EmptyBox()
			for i, c := range t.chars {
				name += string(c.r)
				for _, q := range c.points {
					s.points, word, area = append(s.points, q), append(word, len(out)), append(area, c.area)
					box = box.With(q)
				}
				if i+1 == len(t.chars) || t.chars[i+1].word != c.word {
					if !t.written {
						name = t.text
					}
					out = append(out, Share{Text: name, At: box.Centre(), Drawn: !t.written, Window: t.window, Whole: t.whole, By: make([]float64, len(w.LEDs))})
					name, box = "", geom.EmptyBox()
				}
			}
		}
		if len(s.points) == 0 {
			return
		}
		all := make([]float64, len(out))
		for i, k := range word {
			all[k] += area[i]
		}
		type beam struct {
			kind string
			hole geom.Nm
		}
		type profile struct{ direct, around radial }
		known := map[beam]profile{}
		frames := edgesOf(p.Frame)
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
			light := s.from(p.LEDs[d.Hole].At)
			s.behindWalls(frames, p.LEDs[d.Hole].At, st.under(), light)
			for i, v := range light {
				out[word[i]].By[n] += float64(float64(v*area[i])*amps) / all[word[i]]
			}
		}
		for k := range out {
			for n, v := range out[k].By {
				out[k].By[n] = settled(v)
			}
		}
	})
	return out
}
