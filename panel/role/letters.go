package role

import (
	"cmp"
	"math"
	"slices"

	"lampblack/panel/disjoint"
	"lampblack/panel/geom"
	"lampblack/panel/work"
)

// Sizes of letters, mm: of what is engraved and can be read, and of a title's capitals.
const letterLeast, letterMost = 0.7, 30.0

// Letters returns which of the things are letters: lines of letters' shapes that stand side by side, of one height on a
// baseline or of one size round a curve, with what small and plain things stand in line with them (I, l, dots), and what
// lies within them (the inside of an O).
//
// A letter is made of strokes: twice its area over its perimeter is about the width of its stroke, a 20th to a third of
// its height (ISO 3098 has a 14th and a 10th, bold faces a quarter), where that of an opening is about half its size.
// Rows of openings are alike, letters of a word are not.
//
// Of open strokes, those that touch are a letter, so that words engraved along the middle of their letters are found too, and
// a closed O among them goes with its word. Returned are which things and which strokes are letters, and how high the words
// of the things are.
func Letters(w *work.Watch, d Drawing) (letters []bool, heights []float64, strokes []bool) {
	n := len(d.Things)
	letters, heights, strokes = make([]bool, n), make([]float64, n), make([]bool, len(d.Strokes))
	glyphs, lines, parts := drawn(w, d)
	s := spelling{things: append(slices.Clip(d.Things), glyphs...), closed: n}
	s.part = make([]bool, n)
	for g := range glyphs {
		for _, k := range parts[g] {
			s.part[k] = true
		}
		s.single = append(s.single, len(lines[g]) == 1 && len(parts[g]) == 0 && d.Strokes[lines[g][0]].Straight)
	}
	out, high := s.words(w)
	copy(letters, out[:n])
	copy(heights, high[:n])
	for g := range glyphs {
		if !out[n+g] {
			continue
		}
		for _, i := range lines[g] {
			strokes[i] = true
		}
		for _, k := range parts[g] {
			letters[k], heights[k] = true, high[n+g]
		}
	}
	for i := range d.Things { // from the largest to the smallest: what lies within a letter goes with it, where it is drawn alike
		if in := d.Things[i].In; in >= 0 && letters[in] && d.Things[i].Given == "" && d.Things[i].Layer == d.Things[in].Layer && d.Things[i].Colour == d.Things[in].Colour && d.Things[i].Block == d.Things[in].Block {
			letters[i], heights[i] = true, heights[in]
		}
	}
	if len(glyphs) > 0 { // round things are holes, unless the closed letters alone say otherwise
		d.Strokes = nil
		alone, _, _ := Letters(w, d)
		for i := range d.Things {
			if d.Things[i].Round && !alone[i] {
				letters[i], heights[i] = false, 0
			}
		}
	}
	return letters, heights, strokes
}

// Alone returns which of the things have the shape of a letter, made of strokes, whatever stands beside them: an N on a compass,
// an arrow. What is round, or round another one, is none, nor are two rectangles one in the other: a ring, a frame.
func Alone(d Drawing) []bool {
	out := make([]bool, len(d.Things))
	area, edge, islands := hollowed(d.Things)
	for i := range d.Things {
		t := &d.Things[i]
		out[i] = !t.Round && (islands[i] == 0 || t.Corners > 4) && big(t.Box) >= letterLeast && big(t.Box) <= letterMost && glyph(t, area[i], edge[i], islands[i])
	}
	for i := range d.Things {
		if in := d.Things[i].In; in >= 0 && out[i] {
			out[in] = false
		}
	}
	return out
}

// hollowed returns the things' areas without what lies within them, and the edges of both.
func hollowed(things []Thing) (area, edge []float64, islands []int) {
	n := len(things)
	area, edge, islands = make([]float64, n), make([]float64, n), make([]int, n)
	for i := range things {
		t := &things[i]
		area[i] += t.Area
		edge[i] += t.Perimeter
		if in := t.In; in >= 0 && big(things[in].Box) <= letterMost && t.Given == "" {
			area[in] -= t.Area
			edge[in] += t.Perimeter
			islands[in]++
		}
	}
	return area, edge, islands
}

// spelling is what may be letters: closed things, and behind them letters of strokes.
type spelling struct {
	things []Thing
	closed int    // how many are closed things
	part   []bool // of the closed ones, those that belong to a letter of strokes
	single []bool // of the letters of strokes, those that are one straight line
}

// strokeWord is how many letters of strokes make a word.
const strokeWord = 3

// words returns which things are letters, and how high their words are.
func (s spelling) words(w *work.Watch) (out []bool, heights []float64) {
	n := len(s.things)
	out, heights = make([]bool, n), make([]float64, n)
	area, edge, islands := hollowed(s.things)
	strong := make([]bool, n)
	weak := make([]bool, n)
	var found index
	for i := range s.things {
		w.Step()
		t := &s.things[i]
		size := big(t.Box)
		switch {
		case i >= s.closed:
			strong[i] = size >= letterLeast && size <= strokeMost && !s.single[i-s.closed]
		case s.part[i] || t.Given != "" || size > letterMost || t.In >= 0 && big(s.things[t.In].Box) <= letterMost && islands[t.In] <= 2 && s.things[t.In].Given == "" && glyph(&s.things[t.In], area[t.In], edge[t.In], islands[t.In]):
			continue
		default:
			strong[i] = size >= letterLeast && glyph(t, area[i], edge[i], islands[i])
		}
		weak[i] = !strong[i]
		found.add(t.Box, i)
	}
	sets := disjoint.New(n)
	near := func(i int, reach float64, see func(k int)) {
		seen := 0
		found.near(s.things[i].Box, reach, func(k int) bool {
			if k != i {
				see(k)
				seen++
			}
			return seen < 64
		})
	}
	for i := range s.things {
		w.Step()
		if !strong[i] {
			continue
		}
		near(i, 0.9*big(s.things[i].Box), func(k int) {
			a, b := big(s.things[i].Box), big(s.things[k].Box)
			if strong[k] && s.things[k].Sheet == s.things[i].Sheet && max(a, b) <= 2.2*min(a, b) && gap(s.things[i].Box, s.things[k].Box) <= 0.9*min(a, b) {
				sets.Join(i, k)
			}
		})
	}
	words := map[int][]int{}
	var order []int
	for i := range s.things {
		if strong[i] {
			r := sets.Least(i)
			if words[r] == nil {
				order = append(order, r)
			}
			words[r] = append(words[r], i)
		}
	}
	for _, r := range order {
		w.Step()
		word := words[r]
		size, base, across, ok := line(s.things, word)
		if !ok || word[0] >= s.closed && len(word) < strokeWord {
			continue
		}
		for _, i := range word {
			out[i], heights[i] = true, size
			near(i, size, func(k int) {
				if weak[k] && !out[k] && s.things[k].Sheet == s.things[i].Sheet && joins(&s.things[k], &s.things[i], size, base, across) {
					out[k], heights[k] = true, size
				}
			})
		}
	}
	return out, heights
}

// glyph reports whether a thing has the shape of a letter: made of strokes.
func glyph(t *Thing, area, edge float64, islands int) bool {
	w, h := t.Box.W(), t.Box.H()
	if !(w > 0 && h > 0) || edge <= 0 || t.Round && islands == 0 || islands > 4 {
		return false
	}
	stroke := 2 * area / edge
	fill := area / (w * h)
	return stroke >= 0.03*big(t.Box) && stroke <= 0.33*big(t.Box) && fill <= 0.72 && t.Corners != 3
}

// line looks for what a word's letters have in common: their height, and where their feet stand. across: they stand one
// above another, turned a quarter.
func line(things []Thing, word []int) (size, base float64, across, ok bool) {
	if len(word) < 2 {
		return 0, 0, false, false
	}
	var sizes []float64
	kinds := map[[3]int]bool{}
	rings := 0
	steps := func(v float64) int { return int(math.Round(v * 20)) } // of 0.05
	span := geom.EmptyXYBox()
	for _, i := range word {
		t := &things[i]
		sizes = append(sizes, big(t.Box))
		kinds[[3]int{steps(t.Box.W()), steps(t.Box.H()), steps(t.Area)}] = true
		if t.Round {
			rings++
		}
		span = span.Union(t.Box)
	}
	slices.Sort(sizes)
	size = sizes[len(sizes)/2]
	if rings == len(word) { // holes with something about their centres
		return 0, 0, false, false
	}
	if len(kinds) < 2 || len(kinds)*2 < len(word) && len(kinds) < 6 {
		return 0, 0, false, false
	}
	// aligned counts the letters that stand with others on one line and are as high as those, or as its small letters.
	aligned := func(low, high func(b geom.XYBox) float64) (h, at float64, n int) {
		order := slices.Clone(word)
		slices.SortFunc(order, func(a, b int) int {
			return cmp.Or(cmp.Compare(math.Round(low(things[a].Box)*1e6), math.Round(low(things[b].Box)*1e6)), cmp.Compare(a, b))
		})
		most := 0
		for a := 0; a < len(order); {
			foot, tall, b := low(things[order[a]].Box), 0.0, a
			for ; b < len(order) && low(things[order[b]].Box)-foot <= 0.1*size; b++ {
				tall = max(tall, high(things[order[b]].Box)-foot)
			}
			same := 0
			for _, i := range order[a:b] {
				if v := (high(things[i].Box) - foot) / tall; v >= 0.88 || v >= 0.62 && v <= 0.82 {
					same++
				}
			}
			if same >= 2 {
				n += same
				if same > most {
					most, at, h = same, foot, tall
				}
			}
			a = b
		}
		return h, at, n
	}
	h, at, n := aligned(func(b geom.XYBox) float64 { return b.Min.Y }, func(b geom.XYBox) float64 { return b.Max.Y })
	v, left, m := aligned(func(b geom.XYBox) float64 { return b.Min.X }, func(b geom.XYBox) float64 { return b.Max.X })
	switch {
	case n*4 >= 3*len(word) && n >= m:
		return h, at, false, true
	case m*4 >= 3*len(word):
		return v, left, true, true
	}
	// Round a curve, or several lines: of about one size.
	same := 0
	for _, s := range sizes {
		if math.Abs(s-size) <= 0.3*size {
			same++
		}
	}
	return size, math.Inf(1), false, len(word) >= 4 && same*10 >= 8*len(word) && len(kinds)*10 >= 6*len(word)
}

// joins reports whether a plain thing belongs to a word beside one of its letters: a dot, an I, a dash, or a round O that
// stands on the baseline as high as the others.
func joins(t, letter *Thing, size, base float64, across bool) bool {
	s := big(t.Box)
	if s > 1.15*size || gap(t.Box, letter.Box) > 0.6*size {
		return false
	}
	if s <= 0.3*size {
		return true
	}
	low, high, foot := t.Box.Min.Y, t.Box.Max.Y, base
	if across {
		low, high = t.Box.Min.X, t.Box.Max.X
	}
	if math.IsInf(base, 1) {
		return !t.Round && min(t.Box.W(), t.Box.H()) <= 0.4*size
	}
	stands := math.Abs(low-foot) <= 0.1*size && math.Abs(high-low-size) <= 0.12*size
	thin := min(t.Box.W(), t.Box.H()) <= 0.35*size && low >= foot-0.3*size && high <= foot+1.3*size
	return stands || thin && !t.Round
}

func big(b geom.XYBox) float64 { return max(b.W(), b.H()) }

// gap is the distance of two boxes.
func gap(a, b geom.XYBox) float64 {
	dx := max(a.Min.X-b.Max.X, b.Min.X-a.Max.X, 0)
	dy := max(a.Min.Y-b.Max.Y, b.Min.Y-a.Max.Y, 0)
	return math.Sqrt(float64(dx*dx) + float64(dy*dy))
}

// byFirst orders groups by their first thing.
func byFirst(a, b Group) int { return cmp.Compare(a.Things[0], b.Things[0]) }
