package role

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"lampblack/panel/disjoint"
	"lampblack/panel/geom"
	"lampblack/panel/work"
)

// Stroke is an open line, which may be part of a letter that is engraved along its middle, or a tick of a dial or a scale.
type Stroke struct {
	Box      geom.XYBox
	From, To geom.XY // its ends
	Length   float64
	Straight bool // one straight line
	Spur     bool // it hangs on a closed line
	Sheet    int  // which outline it lies in; -1: none

	Layer, Style string
	remark       bool // they say that it is none of the work: a dimension, a centre line, a hidden edge
}

// middle is the middle between its ends.
func (s *Stroke) middle() geom.XY { return s.From.Add(s.To).Times(0.5) }

// marked returns the strokes with what their layers and line types say of them.
func (l *Looked) marked(strokes []Stroke) []Stroke {
	out := slices.Clone(strokes)
	for i := range out {
		s := &out[i]
		sense, style := l.Sense(s.Layer), strings.ToLower(s.Style)
		through := style == "" || style == "continuous" || style == "bylayer" || style == "byblock"
		s.remark = !through || sense == NoteSense || sense == BodySense || sense == CopperSense
	}
	return out
}

// Sizes of letters that are engraved along their middle, mm, and how many open lines are looked at: a panel has no more.
const strokeMost, mostStrokes = 15.0, 20_000

// Touching strokes are of one letter.
const strokeTouch = 0.05

// drawn returns the letters that strokes may form: those that touch, with the small closed lines that they hang on (the
// top of an A). parts are the strokes and the closed things of each.
func drawn(w *work.Watch, d Drawing) (glyphs []Thing, strokes, parts [][]int) {
	if len(d.Strokes) == 0 || len(d.Strokes) > mostStrokes {
		return nil, nil, nil
	}
	sets := disjoint.New(len(d.Strokes))
	var found index
	can := func(s *Stroke) bool { return !s.remark && s.Sheet >= 0 && big(s.Box) <= strokeMost }
	for i := range d.Strokes {
		w.Step()
		s := &d.Strokes[i]
		if !can(s) {
			continue
		}
		seen := 0
		found.near(s.Box, strokeTouch, func(k int) bool {
			if d.Strokes[k].Sheet == s.Sheet {
				sets.Join(i, k)
			}
			seen++
			return seen < 64
		})
		found.add(s.Box, i)
	}
	number := map[int]int{}
	for i := range d.Strokes {
		s := &d.Strokes[i]
		if !can(s) {
			continue
		}
		r := sets.Least(i)
		g, ok := number[r]
		if !ok {
			g = len(glyphs)
			number[r] = g
			glyphs = append(glyphs, Thing{Box: geom.EmptyXYBox(), Sheet: s.Sheet, In: -1})
			strokes, parts = append(strokes, nil), append(parts, nil)
		}
		t := &glyphs[g]
		t.Box = t.Box.Union(s.Box)
		t.Perimeter += s.Length
		t.Area += s.Length / 10
		t.Corners += 2
		strokes[g] = append(strokes[g], i)
	}
	holds := make([]bool, len(d.Things)) // something: that is no part of a letter
	for k := range d.Things {
		if in := d.Things[k].In; in >= 0 {
			holds[in] = true
		}
	}
	for k := range d.Things {
		w.Step()
		t := &d.Things[k]
		if holds[k] || t.Round || t.Given != "" || big(t.Box) > strokeMost {
			continue
		}
		hangs := -1
		found.near(t.Box, strokeTouch, func(i int) bool {
			if d.Strokes[i].Spur && d.Strokes[i].Sheet == t.Sheet {
				hangs = i
			}
			return hangs < 0
		})
		if hangs < 0 {
			continue
		}
		g := number[sets.Least(hangs)]
		glyphs[g].Box = glyphs[g].Box.Union(t.Box)
		glyphs[g].Perimeter += t.Perimeter
		glyphs[g].Area += t.Perimeter / 10
		glyphs[g].Corners += t.Corners
		parts[g] = append(parts[g], k)
	}
	return glyphs, strokes, parts
}

// Ticks of a dial or a scale: so many at least, none longer than that, mm.
const (
	leastOnDial, leastOnScale = 5, 6
	tickMost                  = 12.0
	dialReach                 = 25.0 // from the edge of what is turned to the far end of a tick
	tickPlay                  = 0.3
	scalePitch                = 10.0 // the widest
)

// Ticks returns which strokes are ticks: straight ones that point at the middle of a round thing from one distance, and rows
// of parallel ones that begin or end on one line, or have their middles on it, at one pitch. What is crossed in its middle is
// a centre mark.
func Ticks(w *work.Watch, d Drawing) []bool {
	out := make([]bool, len(d.Strokes))
	if len(d.Strokes) < leastOnDial || len(d.Strokes) > mostStrokes {
		return out
	}
	var found index
	can := make([]bool, len(d.Strokes))
	for i := range d.Strokes {
		w.Step()
		s := &d.Strokes[i]
		found.add(s.Box, i)
	}
	for i := range d.Strokes {
		w.Step()
		s := &d.Strokes[i]
		if can[i] = s.Straight && !s.Spur && !s.remark && s.Sheet >= 0 && s.Length <= tickMost && s.Length > 0; !can[i] {
			continue
		}
		m := s.middle()
		looked := 0
		found.near(geom.XYBox{Min: m, Max: m}, tickPlay, func(k int) bool {
			o := &d.Strokes[k]
			if k != i && o.Straight && o.middle().Dist(m) <= tickPlay {
				can[i] = false
			}
			looked++
			return can[i] && looked < 64
		})
	}
	for i := range d.Things {
		w.Step()
		if t := &d.Things[i]; t.Round && t.D >= 5 {
			dial(t, d.Strokes, can, &found, out)
		}
	}
	scales(d.Strokes, can, out)
	return out
}

// dial marks the ticks round a round thing.
func dial(t *Thing, strokes []Stroke, can []bool, found *index, out []bool) {
	rings := map[[2]int64][]int{}
	reach := t.D/2 + dialReach
	found.near(geom.XYBox{Min: t.At, Max: t.At}, reach, func(i int) bool {
		s := &strokes[i]
		if !can[i] || s.Sheet != t.Sheet {
			return true
		}
		u, v := s.From.Sub(t.At), s.To.Sub(t.At)
		inner, outer := min(u.Len(), v.Len()), max(u.Len(), v.Len())
		if inner < t.D/2-tickPlay || outer > reach || u.Dot(v) <= 0 || math.Abs(u.Cross(v)) > tickPlay*s.Length {
			return true
		}
		for side, r := range [2]float64{inner, outer} {
			k := [2]int64{int64(side), int64(math.Round(r / tickPlay))}
			rings[k] = append(rings[k], i)
		}
		return true
	})
	for _, ring := range rings { // each marks its own: their order says nothing
		if len(ring) >= leastOnDial {
			for _, i := range ring {
				out[i] = true
			}
		}
	}
}

// scales marks the ticks of straight scales along X and Y.
func scales(strokes []Stroke, can []bool, out []bool) {
	type line struct {
		sheet, axis, side int
		at                int64
	}
	rows := map[line][]int{}
	across := func(i, axis int) float64 {
		m := strokes[i].middle()
		if axis == 0 {
			return m.Y
		}
		return m.X
	}
	for i := range strokes {
		s := &strokes[i]
		if !can[i] {
			continue
		}
		lo, hi, axis := s.Box.Min.X, s.Box.Max.X, 0
		if s.Box.W() < s.Box.H() {
			lo, hi, axis = s.Box.Min.Y, s.Box.Max.Y, 1
		}
		if min(s.Box.W(), s.Box.H()) > 0.01*s.Length {
			continue
		}
		for side, v := range [3]float64{lo, hi, (lo + hi) / 2} {
			k := line{s.Sheet, axis, side, int64(math.Round(v / 0.05))}
			rows[k] = append(rows[k], i)
		}
	}
	for k, row := range rows { // each marks its own: their order says nothing
		slices.SortFunc(row, func(a, b int) int {
			return cmp.Or(cmp.Compare(across(a, k.axis), across(b, k.axis)), cmp.Compare(a, b))
		})
		for a := 0; a+1 < len(row); {
			pitch := across(row[a+1], k.axis) - across(row[a], k.axis)
			b := a + 1
			for b+1 < len(row) && math.Abs(across(row[b+1], k.axis)-across(row[b], k.axis)-pitch) <= 0.1 {
				b++
			}
			if b-a+1 >= leastOnScale && pitch >= 0.5 && pitch <= scalePitch {
				for _, i := range row[a : b+1] {
					out[i] = true
				}
			}
			a = b
		}
	}
}
