package paper

import (
	"slices"
	"strings"

	"lampblack/export/scene"
	"lampblack/export/table"
	"lampblack/panel/geom"
)

const (
	cellGap  = 3 * geom.Millimetre // between columns
	tickSize = 2800 * geom.Micrometre
	tickRoom = 5 * geom.Millimetre
	writing  = 26 * geom.Millimetre // of the column to write in
	rowPad   = 1100 * geom.Micrometre
	byHand   = 7 * geom.Millimetre // at least, of a row that is written in
)

// cells is a row, each cell in lines.
type cells [][]string

func (c cells) high() geom.Nm {
	n := 1
	for _, s := range c {
		n = max(n, len(s))
	}
	return smallStep*geom.Nm(n) + rowPad
}

// grid sets a table: its title, how to read it, the heads of the columns, and the rows, of which the first and the last never
// stand alone.
func (l *layout) grid(g Grid) {
	if len(g.Rows) == 0 {
		return
	}
	if g.Title != "" {
		l.out = append(l.out, piece{high: 4500 * geom.Micrometre, before: 4 * geom.Millimetre, tied: true, draw: func(on *scene.Group, x, y geom.Nm) {
			l.words(on, x, y+3400*geom.Micrometre, 2500*geom.Micrometre, black, g.Title)
		}})
	}
	for _, s := range l.set.Wrapped(g.Reading, smallCaps, column) {
		l.out = append(l.out, piece{high: smallStep, tied: true, draw: func(on *scene.Group, x, y geom.Nm) {
			l.words(on, x, y+smallCaps+600*geom.Micrometre, smallCaps, grey, s)
		}})
	}
	left, right := geom.Nm(0), geom.Nm(0)
	if g.Tick {
		left = tickRoom
	}
	if g.Write != "" {
		right = writing + cellGap
	}
	wide := l.columns(g.Table, column-left-right)
	set := func(row []string) cells {
		out := make(cells, len(row))
		for i, s := range row {
			out[i] = l.set.Wrapped(s, smallCaps, wide[i])
		}
		return out
	}
	heads := make([]string, len(g.Columns))
	for i, c := range g.Columns {
		heads[i] = heading(c)
	}
	row := func(c cells, ink scene.Colour, on *scene.Group, x, y, high geom.Nm, last bool) {
		x += left
		for i, lines := range c {
			first := y + (high-c.high()+rowPad)/2
			if last { // heads stand on their line
				first = y + high - rowPad/2 - smallStep*geom.Nm(len(lines))
			}
			for n, s := range lines {
				at := x
				if g.Columns[i].Set == table.Right {
					at = x + wide[i] - l.set.Wide(s, smallCaps)
				}
				l.words(on, at, first+smallStep*geom.Nm(n)+smallCaps+(smallStep-smallCaps)/2, smallCaps, ink, s)
			}
			x += wide[i] + cellGap
		}
	}
	c := set(heads)
	high := c.high()
	head := piece{high: high, before: geom.Millimetre, tied: true, draw: func(on *scene.Group, x, y geom.Nm) {
		row(c, grey, on, x, y, high, true)
		if g.Write != "" {
			l.words(on, x+column-writing, y+high-rowPad/2-(smallStep-smallCaps)/2, smallCaps, grey, g.Write)
		}
		line(on, finePen, black, x, y+high, x+column, y+high)
	}}
	l.out = append(l.out, head)
	for i, r := range g.Rows {
		c := set(r)
		high := c.high()
		if g.Write != "" {
			high = max(high, byHand)
		}
		l.out = append(l.out, piece{high: high, again: &head, tied: len(g.Rows) > 1 && (i == 0 || i == len(g.Rows)-2), draw: func(on *scene.Group, x, y geom.Nm) {
			row(c, black, on, x, y, high, false)
			mid := y + high/2
			if g.Tick {
				box(on, 2*finePen, x, mid-tickSize/2, tickSize, tickSize)
			}
			line(on, finePen, rule, x, y+high, x+column, y+high)
			if g.Write != "" {
				line(on, finePen, black, x+column-writing, y+high-finePen, x+column, y+high-finePen)
			}
		}})
	}
}

// columns parts a width among a table's columns: each as wide as its longest cell where there is room; else millimetre by millimetre is
// taken where that makes the table least higher, of those that may be broken, then from all, so that lines break at words as long as
// that is possible.
func (l *layout) columns(t table.Table, room geom.Nm) []geom.Nm {
	n := len(t.Columns)
	room -= cellGap * geom.Nm(n-1)
	most, least := make([]geom.Nm, n), make([]geom.Nm, n)
	cells := make([][]geom.Nm, len(t.Rows)+1) // widths in one line, of the heads too
	for i, c := range t.Columns {
		for _, s := range strings.Fields(heading(c)) {
			least[i] = max(least[i], l.set.Wide(s, smallCaps))
		}
		most[i] = l.set.Wide(heading(c), smallCaps)
		cells[0] = append(cells[0], most[i])
		for k, r := range t.Rows {
			wide := l.set.Wide(r[i], smallCaps)
			cells[k+1] = append(cells[k+1], wide)
			most[i] = max(most[i], wide)
			if c.Set != table.Broken {
				least[i] = max(least[i], wide)
				continue
			}
			for _, s := range strings.Fields(r[i]) {
				least[i] = max(least[i], l.unbroken(s))
			}
		}
	}
	over := -room
	for _, w := range most {
		over += w
	}
	lines := lineCounts(cells, most)
	for over > 0 {
		at, cost := -1, 0
		for i := range most {
			if most[i] == least[i] {
				continue
			}
			c := higher(cells, lines, i, max(least[i], most[i]-geom.Millimetre))
			if at < 0 || c < cost || c == cost && most[i] > most[at] {
				at, cost = i, c
			}
		}
		if at < 0 {
			break
		}
		give := min(over, geom.Millimetre, most[at]-least[at])
		most[at] -= give
		over -= give
		for k, row := range cells {
			lines[k][at] = lineCount(row[at], most[at])
		}
	}
	for ; over > 0; over -= geom.Millimetre { // not even words fit: break them
		most[slices.Index(most, slices.Max(most))] -= geom.Millimetre
	}
	return most
}

// longWord is how wide a word is that may be parted behind a hyphen before its column takes room from others.
const longWord = 30 * geom.Millimetre

// unbroken is the width of the widest part of a word that stays together.
func (l *layout) unbroken(word string) geom.Nm {
	wide := l.set.Wide(word, smallCaps)
	if wide <= longWord {
		return wide
	}
	wide = 0
	for _, s := range strings.FieldsFunc(word, func(r rune) bool { return r == '-' || r == '_' }) {
		wide = max(wide, l.set.Wide(s+"-", smallCaps))
	}
	return wide
}

// lineCount is how many lines a cell takes, nearly: lines that end at words are not full.
func lineCount(cell, wide geom.Nm) int {
	if cell <= wide {
		return 1
	}
	return 1 + int((cell*11/10-1)/max(wide, 1))
}

func lineCounts(cells [][]geom.Nm, wide []geom.Nm) [][]int {
	out := make([][]int, len(cells))
	for k, row := range cells {
		for i, c := range row {
			out[k] = append(out[k], lineCount(c, wide[i]))
		}
	}
	return out
}

// higher is by how many lines all rows together become higher where column i gets a width.
func higher(cells [][]geom.Nm, lines [][]int, i int, wide geom.Nm) int {
	sum := 0
	for k, row := range cells {
		sum += max(0, lineCount(row[i], wide)-slices.Max(lines[k]))
	}
	return sum
}
