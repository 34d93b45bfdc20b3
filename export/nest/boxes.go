package nest

import (
	"slices"

	"lampblack/panel/geom"
	"lampblack/panel/work"
)

// box is the room that a part's box takes, with the gap beside and above it.
type box struct {
	part int
	form *form
	w, h int64
}

// boxed lays the parts' boxes by the packings that rectangles are usually packed by, in several orders and turns, and returns the
// best layout: shelves filled by first fit (Coffman, Garey, Johnson, Tarjan 1980), and the free rectangles that are as large as
// can be (Jylänki, A Thousand Ways to Pack the Bin, 2010), by least x and by the shorter side that is left.
func (in *problem) boxed(w *work.Watch) Layout {
	if len(in.laid) == 0 {
		return Layout{}
	}
	best := Layout{Sheets: 1 << 30}
	keys := []func(box) int64{
		func(b box) int64 { return b.w }, func(b box) int64 { return b.h }, func(b box) int64 { return b.w * b.h },
		func(b box) int64 { return max(b.w, b.h) }, func(b box) int64 { return min(b.w, b.h) }, func(b box) int64 { return b.w + b.h },
	}
	for _, wanted := range []func(w, h int64) bool{nil, func(w, h int64) bool { return w >= h }, func(w, h int64) bool { return w <= h }} {
		boxes := make([]box, len(in.laid))
		for i, part := range in.laid {
			boxes[i] = in.boxOf(part, wanted)
		}
		for _, key := range keys {
			seq := slices.Clone(boxes)
			slices.SortStableFunc(seq, func(a, b box) int { return int(min(max(key(b)-key(a), -1), 1)) })
			for _, pack := range []func([]box) Layout{in.shelves, in.leftmost, in.snug} {
				w.Look()
				if l := pack(seq); l.better(best) {
					best = l
				}
			}
		}
	}
	return best
}

// boxOf returns the box of a part in the first of its turns that fits and is wanted, or else that fits.
func (in *problem) boxOf(part int, wanted func(w, h int64) bool) box {
	var out box
	for q := range 4 {
		f := in.forms[in.parts[part].turned[q]]
		if in.turns[part]&(1<<q) == 0 {
			continue
		}
		b := box{part, f, f.w + in.gap, f.h + in.gap}
		if wanted == nil || wanted(f.w, f.h) {
			return b
		}
		if out.form == nil {
			out = b
		}
	}
	return out
}

// room is what a sheet has for boxes, each with the gap beside and above it.
func (in *problem) room() (wide, high int64) {
	return in.wide - 2*in.edge + in.gap, in.high - 2*in.edge + in.gap
}

// put adds a box to the layout whose lower left corner is at a place of a sheet without its edges.
func (in *problem) put(l *Layout, b box, sheet int, at vector) {
	l.Placed = append(l.Placed, in.placed(b.part, sheet, b.form, at.plus(vector{in.edge, in.edge})))
	end := micron * geom.Nm(in.edge+at.x+b.form.w)
	switch {
	case sheet+1 > l.Sheets:
		l.Sheets, l.Used = sheet+1, end
	case sheet+1 == l.Sheets:
		l.Used = max(l.Used, end)
	}
}

// shelves fills shelves across the sheet, each as wide as the first part on it, by first fit.
func (in *problem) shelves(seq []box) Layout {
	type shelf struct {
		sheet      int
		x, w, used int64
	}
	var l Layout
	var all []shelf
	wide, high := in.room()
	for _, b := range seq {
		k := slices.IndexFunc(all, func(s shelf) bool { return b.w <= s.w && s.used+b.h <= high })
		if k < 0 {
			s := shelf{w: b.w}
			if n := len(all); n > 0 {
				last := all[n-1]
				if s.sheet, s.x = last.sheet, last.x+last.w; s.x+b.w > wide {
					s.sheet, s.x = last.sheet+1, 0
				}
			}
			k = len(all)
			all = append(all, s)
		}
		s := &all[k]
		in.put(&l, b, s.sheet, vector{s.x, s.used})
		s.used += b.h
	}
	return l
}

// leftmost and snug keep the largest free rectangles of each sheet: a box goes where its left side, then its lower one, is least,
// or where the least is left beside it.

func (in *problem) leftmost(seq []box) Layout {
	return in.free(seq, func(b box, r [4]int64) [2]int64 { return [2]int64{r[0] + b.w, r[1]} })
}

func (in *problem) snug(seq []box) Layout {
	return in.free(seq, func(b box, r [4]int64) [2]int64 {
		u, v := r[2]-r[0]-b.w, r[3]-r[1]-b.h
		return [2]int64{min(u, v), max(u, v)}
	})
}

// free packs by the largest free rectangles (x, y of the lower left and the upper right corner); less is better.
func (in *problem) free(seq []box, cost func(box, [4]int64) [2]int64) Layout {
	var l Layout
	var sheets [][][4]int64
	var none [][][2]int64 // of each sheet: sizes for which there is no room any more
	for _, b := range seq {
		for s := 0; ; s++ {
			if s == len(sheets) {
				wide, high := in.room()
				sheets, none = append(sheets, [][4]int64{{0, 0, wide, high}}), append(none, nil)
			}
			if slices.ContainsFunc(none[s], func(n [2]int64) bool { return b.w >= n[0] && b.h >= n[1] }) {
				continue
			}
			best := -1
			for i, r := range sheets[s] {
				if r[2]-r[0] < b.w || r[3]-r[1] < b.h {
					continue
				}
				if best < 0 || less(cost(b, r), cost(b, sheets[s][best])) {
					best = i
				}
			}
			if best < 0 {
				none[s] = append(none[s], [2]int64{b.w, b.h})
				continue
			}
			x, y := sheets[s][best][0], sheets[s][best][1]
			in.put(&l, b, s, vector{x, y})
			sheets[s] = without(sheets[s], [4]int64{x, y, x + b.w, y + b.h})
			break
		}
	}
	return l
}

func less(a, b [2]int64) bool { return a[0] < b[0] || a[0] == b[0] && a[1] < b[1] }

// without returns the largest free rectangles when one more is taken.
func without(free [][4]int64, t [4]int64) [][4]int64 {
	var out [][4]int64
	for _, r := range free {
		if t[0] >= r[2] || t[2] <= r[0] || t[1] >= r[3] || t[3] <= r[1] {
			out = append(out, r)
			continue
		}
		for _, p := range [][4]int64{{r[0], r[1], t[0], r[3]}, {t[2], r[1], r[2], r[3]}, {r[0], r[1], r[2], t[1]}, {r[0], t[3], r[2], r[3]}} {
			if p[0] < p[2] && p[1] < p[3] {
				out = append(out, p)
			}
		}
	}
	within := func(a, b [4]int64) bool { return a[0] >= b[0] && a[1] >= b[1] && a[2] <= b[2] && a[3] <= b[3] }
	var kept [][4]int64
	for i, r := range out {
		if !slices.ContainsFunc(out[:i], func(o [4]int64) bool { return within(r, o) }) &&
			!slices.ContainsFunc(out[i+1:], func(o [4]int64) bool { return o != r && within(r, o) }) {
			kept = append(kept, r)
		}
	}
	return kept
}
