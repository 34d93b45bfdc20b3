package light

import (
	"context"
	"slices"

	"lampblack/led"
	"lampblack/led/part"
	"lampblack/panel"
	"lampblack/panel/geom"
	"lampblack/panel/lettering"
	"lampblack/panel/work"
)

// Lasting is what a word keeps of its light when one string is dark: the one that it would miss most.
type Lasting struct {
	Text   string
	Drawn  bool // no word: Text says what it is
	At     geom.Pt
	Keeps  float64 // of its light: 0 where nobody else lights it
	String led.StringID
	LEDs   []string // of that string
}

// wordPoints is how many places of a character, or of a symbol, stand for it.
const wordPoints = 8

// Without returns what each word of the panel, or without any each symbol, keeps of its light when the string that it would miss most is
// dark. The light of LEDs adds up, so that each is computed once, by the radial profiles that LEDs are placed by. When ctx is done
// what it returns means nothing.
func Without(ctx context.Context, p panel.Panel, e *lettering.Engraving, w led.Wiring, s Stack) (out []Lasting) {
	work.Until(ctx, func(watch *work.Watch) {
		spots := spotsOf(watch, p, e)
		if len(spots) == 0 || spots[0].whole || len(w.Strings) == 0 {
			return
		}
		var words []Lasting
		var of [][2]int // of each: its first point, and behind its last one
		var points []geom.Pt
		var weight []float64 // the area that each stands for
		add := func(text string, drawn bool, chars []sampled) {
			from, box := len(points), geom.EmptyBox()
			for _, c := range chars {
				taken, stand := spread(watch, c.points, min(wordPoints, len(c.points)))
				for i, k := range taken {
					points, box = append(points, c.points[k]), box.With(c.points[k])
					weight = append(weight, float64(c.area*float64(stand[i])))
				}
			}
			if len(points) > from {
				words, of = append(words, Lasting{Text: text, Drawn: drawn, At: box.Centre()}), append(of, [2]int{from, len(points)})
			}
		}
		texts := 0 // spots have texts first
		for _, t := range spots {
			if !t.written {
				add(t.text, true, t.chars)
				continue
			}
			for i, from := 0, 0; i < len(t.chars); i++ {
				if i+1 == len(t.chars) || t.chars[i+1].word != t.chars[i].word {
					name := ""
					for _, c := range t.chars[from : i+1] {
						name += string(c.r)
					}
					add(name, false, t.chars[from:i+1])
					from, texts = i+1, len(words)
				}
			}
		}
		if written := slices.ContainsFunc(spots, func(t spot) bool { return t.written }); written {
			words, of = words[:texts], of[:texts]
		}
		light := byString(watch, p, w, s, points)
		for k := range words {
			one, all, most := &words[k], 0.0, 0.0
			for id, l := range light {
				sum := 0.0
				for i := of[k][0]; i < of[k][1]; i++ {
					sum += float64(l[i] * weight[i])
				}
				if all += sum; sum > most {
					most, one.String = sum, led.StringID(id)
				}
			}
			if all <= 0 {
				continue // no light: that is told of dark words
			}
			one.Keeps = settled(max(0, 1-most/all))
			for _, i := range w.Strings[one.String].LEDs {
				one.LEDs = append(one.LEDs, w.LEDs[i].Ref)
			}
			out = append(out, *one)
		}
	})
	return out
}

// byString returns the light of each string at the points.
func byString(watch *work.Watch, p panel.Panel, w led.Wiring, s Stack, points []geom.Pt) [][]float64 {
	type shines struct {
		kind           string
		hole           geom.Nm
		amps           part.Amp
		direct, around radial
	}
	var known []shines
	ws, o := walls(p), newOptics(watch, s)
	out := make([][]float64, len(w.Strings))
	one := make([]float64, len(points))
	for id, str := range w.Strings {
		out[id] = make([]float64, len(points))
		for _, i := range str.LEDs {
			d := w.LEDs[i]
			if d.Hole < 0 || d.Hole >= len(p.LEDs) || len(d.Kind.Curve) == 0 {
				continue
			}
			hole := p.LEDs[d.Hole]
			k := 0
			for ; k < len(known) && (known[k].kind != d.Kind.Name || known[k].hole != hole.D || known[k].amps != str.Nominal); k++ {
			}
			if k == len(known) {
				direct, around := profilesOf(watch, o, s, d.Kind, hole.D, str.Nominal)
				known = append(known, shines{d.Kind.Name, hole.D, str.Nominal, direct, around})
			}
			watch.Look()
			shineAt(ws, points, known[k].direct, known[k].around, hole.At, one, nil)
			for n, v := range one {
				out[id][n] += v
			}
		}
	}
	return out
}
