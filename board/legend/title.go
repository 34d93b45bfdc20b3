package legend

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"lampblack/board"
	"lampblack/panel/geom"
)

// title writes lines of text one above the other, the first one as large as a free spot on the board allows. Lines
// that find no room together are tried one by one.
func (f *face) title(lines []string) {
	most := f.most()
	if strings.TrimSpace(lines[0]) == "" {
		most = min(most, belowTitle) // the name is left out, and what stands below it is small
	}
	lines = filled(lines...)
	if len(lines) == 0 || f.block(lines, board.Title, most, 0) || len(lines) == 1 {
		return
	}
	for _, l := range lines {
		f.block([]string{l}, board.Title, most, 0)
	}
}

// most is the height of a name that is large enough: a share of the board's smaller side.
func (f *face) most() geom.Nm {
	in := f.area.Box()
	return max(min(in.W(), in.H())/titleShare, f.rules.LegendText)
}

// hints writes the lines that find room, and returns the others.
func (f *face) hints(lines []string) []string {
	var rest []string
	for _, l := range lines {
		most := min(hintSize(f.rules), f.most())
		if !f.block([]string{l}, board.Hint, most, fromTitle) && !f.block([]string{l}, board.Hint, most, 0) &&
			!f.onItems(func() bool { return f.block([]string{l}, board.Hint, most, 0) }) {
			rest = append(rest, l)
		}
	}
	return rest
}

// row is a line of a title.
type row struct {
	text text
	h    geom.Nm
	y    geom.Nm // of its middle over the block's middle
}

// block writes the lines as large as they fit, at most so high and at least so far from other ink, and reports whether they did.
func (f *face) block(lines []string, what board.WordUse, most, far geom.Nm) bool {
	for _, try := range blocks {
		if try.high > most {
			continue
		}
		apart := max(try.apart, 2*f.rules.LegendWidth, far)
		rows, w, h := setRows(lines, try.high)
		for turn := range 2 {
			bw, bh := w, h
			if turn == 1 {
				bw, bh = h, w
			}
			c, ok := f.spot(bw, bh, apart)
			if !ok {
				continue
			}
			for i, r := range rows {
				width := f.lineWidth(r.h)
				at := c.Add(geom.Vec{Y: r.y}.Quarter(turn))
				tw, th := r.text.size(r.h)
				if turn == 1 {
					tw, th = th, tw
				}
				area := geom.Box{
					Min: geom.Pt{X: at.X - (tw+width)/2, Y: at.Y - (th+width)/2},
					Max: geom.Pt{X: at.X + (tw+width)/2, Y: at.Y + (th+width)/2},
				}
				f.write(r.text, at, r.h, turn, width, area)
				f.say(board.Word{What: what, Text: lines[i]})
			}
			return true
		}
	}
	return false
}

// setRows lays out the block: the first line h high, the others two thirds of it, within 1.0 and 2.0 mm. It returns
// the block's size with its strokes.
func setRows(lines []string, h geom.Nm) (rows []row, w, height geom.Nm) {
	y := geom.Nm(0)
	for i, l := range lines {
		t, size := setText(l), h
		if i > 0 {
			size = min(max(h*2/3, smallest), belowTitle)
			y -= size * 3 / 4
		}
		y -= size / 2
		rows = append(rows, row{t, size, y})
		y -= size / 2
		tw, _ := t.size(size)
		w = max(w, tw)
	}
	for i := range rows {
		rows[i].y -= y / 2
	}
	return rows, w + mostRows, -y + mostRows
}

// spot returns the middle of a free place for a box with air about it, the lowest one, of equals the one nearest the board's middle.
func (f *face) spot(w, h, apart geom.Nm) (geom.Pt, bool) {
	const finest, most = 500 * geom.Micrometre, 90
	in := f.area.Box()
	if w > in.W() || h > in.H() {
		return geom.Pt{}, false
	}
	stepX := max(finest, (in.W()-w)/most)
	stepY := max(finest, (in.H()-h)/most)
	var xs []geom.Nm
	for x := in.Min.X + w/2; x <= in.Max.X-w/2; x += stepX {
		xs = append(xs, x)
	}
	mid := in.Centre().X
	slices.SortFunc(xs, func(a, b geom.Nm) int {
		return cmp.Or(cmp.Compare(math.Abs(float64(a-mid)), math.Abs(float64(b-mid))), cmp.Compare(a, b))
	})
	for y := in.Min.Y + h/2; y <= in.Max.Y-h/2; y += stepY {
		for _, x := range xs {
			c := geom.Pt{X: x, Y: y}
			box := geom.Box{Min: geom.Pt{X: x - w/2, Y: y - h/2}, Max: geom.Pt{X: x + w/2, Y: y + h/2}}
			if (f.barred == nil || !f.barred(box)) && f.free(box.Grown(f.rules.LegendClear), air{apart, apart}, 0) {
				return c, true
			}
		}
	}
	return geom.Pt{}, false
}
