package light

import (
	"math"
	"slices"

	"lampblack/panel"
	"lampblack/panel/geom"
	"lampblack/panel/lettering"
	"lampblack/panel/work"
)

// spot is a piece of lettering as sample points.
type spot struct {
	text    string
	at      geom.Pt
	chars   []sampled
	written bool // a text, not a symbol
	window  bool // a symbol that is one
	symbol  int  // index into Panel.Symbols, of one that is not written
	whole   bool // the panel itself, for want of lettering
}

// sampled is one character, or a symbol.
type sampled struct {
	r      rune
	word   int
	points []geom.Pt
	area   float64 // mm² that a point stands for
}

func spotsOf(w *work.Watch, p panel.Panel, e *lettering.Engraving) []spot {
	var out []spot
	// Beyond what any faceplate has, samples grow sparser so that a drawing cannot fill the memory.
	letters := 0
	for _, t := range p.Lettering {
		letters += min(len(t.Text), lettering.MaxRunes)
	}
	sparse := geom.Nm(math.Ceil(math.Sqrt(float64(letters) / manyLetters)))
	e = e.Or(w, p)
	for i, t := range p.Lettering {
		w.Look()
		one := spot{text: t.Text, at: t.At, written: true}
		for _, c := range e.Letters[i] {
			if c.Rune == 0 { // a line under letters is lit as they are
				continue
			}
			// About four samples across a stroke, which is some seventh of the height.
			if pts, area := samples(c.Region, max(t.Height/28, finest)*max(sparse, 1)); len(pts) > 0 {
				one.chars = append(one.chars, sampled{c.Rune, c.Word, pts, area})
			}
		}
		if len(one.chars) > 0 {
			out = append(out, one)
		}
	}
	sparse = geom.Nm(math.Ceil(math.Sqrt(float64(len(p.Symbols)) / manySymbols)))
	for i, g := range e.Symbols {
		w.Look()
		if p.Symbols[i].Window {
			g = p.Seen(g)
		}
		if len(g) == 0 {
			continue
		}
		if pts, area := samples(g, max(lettering.Stroke/4, finest)*max(sparse, 1)); len(pts) > 0 {
			out = append(out, spot{text: p.Symbols[i].Said(), at: g[0].Outer.Box().Centre(), window: p.Symbols[i].Window, symbol: i, chars: []sampled{{points: pts, area: area}}})
		}
	}
	if len(out) > 0 || len(p.Outline) == 0 {
		return out
	}
	rings := []geom.Ring{p.Outline.Ring(geom.FlattenTolerance * 50)}
	for _, o := range p.Openings {
		rings = append(rings, o.Ring(geom.FlattenTolerance*50))
	}
	if pts, area := samples(geom.NewRegion(rings...), geom.Millimetre); len(pts) > 0 {
		out = append(out, spot{chars: []sampled{{points: pts, area: area}}, whole: true})
	}
	return out
}

// toLight returns the spots as LEDs are placed for them: windows as lettering is.
func toLight(spots []spot) []spot {
	for i := range spots {
		spots[i].window = false
	}
	return spots
}

// finest is the smallest step of samples, and mostSamples how many one text may have: beyond, the step grows.
const (
	finest      = 50 * geom.Micrometre
	mostSamples = 20_000
	manyLetters = 4000 // with more letters, or symbols, each gets fewer samples
	manySymbols = 400
)

// samples returns points of a square grid inside the region, and the area that each stands for, mm². A region too thin for
// any yields its corners.
func samples(g geom.Region, step geom.Nm) ([]geom.Pt, float64) {
	rings := g.Rings()
	box := geom.EmptyBox()
	area := 0.0
	for _, r := range rings {
		box = box.Union(r.Box())
	}
	for _, p := range g {
		area += p.Outer.Area()
		for _, h := range p.Holes {
			area -= h.Area()
		}
	}
	if box.Empty() || step <= 0 {
		return nil, 0
	}
	if wanted := area * 1e12 / float64(step) / float64(step); wanted > mostSamples {
		step = geom.Nm(math.Ceil(math.Sqrt(area * 1e12 / mostSamples)))
	}
	// A long thin region could still cost many empty rows and be missed between them.
	step = max(step, box.H()/20_000)
	var out []geom.Pt
	var cross []float64
	for y := box.Min.Y + step/2; y < box.Max.Y; y += step {
		cross = crossings(cross[:0], rings, y)
		for i := 0; i+1 < len(cross); i += 2 {
			// Grid points within the run.
			first := int64(math.Ceil((cross[i] - float64(box.Min.X)) / float64(step)))
			for k := first; float64(box.Min.X)+float64(float64(k)*float64(step)) < cross[i+1]; k++ {
				out = append(out, geom.Pt{X: box.Min.X + geom.Nm(k)*step, Y: y})
				if len(out) > 4*mostSamples {
					return out, area / float64(len(out))
				}
			}
		}
	}
	if len(out) == 0 {
		for _, r := range rings {
			for k := range min(len(r), 8) {
				out = append(out, r[k*len(r)/min(len(r), 8)])
			}
		}
	}
	if len(out) == 0 {
		return nil, 0
	}
	// The samples share the exact area.
	return out, area / float64(len(out))
}

// crossings appends where the edges of the rings cross the line at y, from left to right: each pair bounds what is inside.
func crossings(to []float64, rings []geom.Ring, y geom.Nm) []float64 {
	for _, r := range rings {
		for i, a := range r {
			if b := r[(i+1)%len(r)]; (a.Y <= y) != (b.Y <= y) {
				t := float64(y-a.Y) / float64(b.Y-a.Y)
				to = append(to, float64(a.X)+float64(t*float64(b.X-a.X)))
			}
		}
	}
	slices.Sort(to)
	return to
}
