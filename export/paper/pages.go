package paper

import (
	"fmt"
	"slices"
	"strings"

	"lampblack/export/scene"
	"lampblack/panel/geom"
	"lampblack/panel/work"
)

// Pages lays the paper out: pages with the console's name, its revision, and their numbers. It looks at the watch before each block
// and piece.
func Pages(w *work.Watch, p Paper) []scene.Page {
	l := &layout{}
	l.front(p)
	for i, b := range p.Blocks {
		w.Look()
		if i > 0 && len(l.out) > 0 && leads(p.Blocks[i-1], b) {
			l.out[len(l.out)-1].tied = true
		}
		l.block(b)
	}
	f := filling{title: p.Title()}
	for i := 0; i < len(l.out); {
		// What is tied goes together, where a page can hold it at all.
		end, need := i, l.out[i].high
		for l.out[end].tied && end+1 < len(l.out) {
			end++
			need += l.out[end].before + l.out[end].high
		}
		if f.y > top && (l.out[i].fresh || f.y+l.out[i].before+need > bottom) {
			last := &l.out[end]
			fits := false
			if room := bottom - f.y - l.out[i].before - (need - last.high); last.shrunk != nil && !l.out[i].fresh {
				if q, ok := last.shrunk(room); ok {
					before := last.before
					*last, fits = q, true
					last.before = before
				}
			}
			if !fits && l.pulled(i, end, bottom-f.y) {
				continue
			}
			if !fits {
				f.turn()
			}
		}
		for ; i <= end; i++ {
			w.Look()
			f.set(l.out[i])
		}
	}
	for i := range f.pages {
		f.edges(l, p, i)
	}
	return f.pages
}

// emptiest is the room that may stay empty below what a page holds while words go on behind a picture.
const emptiest = (bottom - top) / 6

// pulled puts the next words before a picture that finds no room behind headings, from i to end, where else much of the page would stay
// empty. Tables stay behind their pictures.
func (l *layout) pulled(i, end int, room geom.Nm) bool {
	if l.out[i].fresh || l.out[end].kind != picture || room < emptiest {
		return false
	}
	from := end
	for from < len(l.out) && l.out[from].kind == picture {
		from++
	}
	to := from
	for to < len(l.out) && l.out[to].kind == words && l.out[to].tied {
		to++
	}
	if to == len(l.out) || l.out[to].kind != words {
		return false
	}
	need := geom.Nm(0)
	for _, run := range [][]piece{l.out[i:end], l.out[from : to+1]} {
		for _, p := range run {
			need += p.before + p.high
		}
	}
	if need > room {
		return false
	}
	l.out = slices.Concat(l.out[:end], l.out[from:to+1], l.out[end:from], l.out[to+1:])
	return true
}

// leads reports whether a block is a text right before a picture or a table, which it stays with.
func leads(a, b Block) bool {
	if _, ok := a.(Text); !ok {
		return false
	}
	switch b := b.(type) {
	case Figures:
		return len(b) > 0
	case Grid:
		return len(b.Rows) > 0
	}
	return false
}

// filling is pages in the making.
type filling struct {
	title string
	pages []scene.Page
	y     geom.Nm // where the next piece comes on the last of them
}

func (f *filling) turn() {
	f.pages = append(f.pages, scene.Page{W: pageWide, H: pageHigh, Title: f.title, Step: geom.Micrometre})
	f.y = top
}

// set puts a piece below the one before, or on the next page.
func (f *filling) set(p piece) {
	if len(f.pages) == 0 || f.y > top && f.y+p.before+p.high > bottom {
		f.turn()
	}
	on := &f.pages[len(f.pages)-1].Body
	if f.y > top {
		f.y += p.before
	} else if p.again != nil {
		p.again.draw(on, side, f.y)
		f.y += p.again.high
	}
	p.draw(on, side, f.y)
	f.y += p.high
}

// front sets the title of the paper at the head of its first page.
func (l *layout) front(p Paper) {
	add := func(high, caps geom.Nm, ink scene.Colour, s string) {
		for _, row := range l.set.Wrapped(s, caps, column) {
			l.out = append(l.out, piece{high: high, tied: true, draw: func(on *scene.Group, x, y geom.Nm) {
				l.words(on, x, y+(high+caps)/2, caps, ink, row)
			}})
		}
	}
	add(6*geom.Millimetre, sectionCaps, grey, p.Kind)
	add(12*geom.Millimetre, titleCaps, black, p.Name)
	add(textStep, textCaps, grey, strings.Join(told("revision ", p.Revision, "", p.Date, "made by Lampblack ", p.Version), ", "))
	if p.Summary != "" {
		l.lines(p.Summary, "", 0, 2*geom.Millimetre)
	}
}

// told returns what is there of pairs, a name and a value.
func told(pairs ...string) []string {
	var out []string
	for i := 0; i < len(pairs); i += 2 {
		if pairs[i+1] != "" {
			out = append(out, pairs[i]+pairs[i+1])
		}
	}
	return out
}

// edges writes head and foot of page i. The first has the title, and no head.
func (f *filling) edges(l *layout, p Paper, i int) {
	on := &f.pages[i].Body
	number := fmt.Sprintf("page %d of %d", i+1, len(f.pages))
	if i > 0 {
		l.words(on, side, headLine, smallCaps, grey, l.set.Shortened(p.Title(), smallCaps, column-50*geom.Millimetre))
		if rev := strings.Join(told("revision ", p.Revision, "", p.Date), ", "); rev != "" {
			l.words(on, side+column-l.set.Wide(rev, smallCaps), headLine, smallCaps, grey, rev)
		}
		line(on, finePen, rule, side, headLine+2*geom.Millimetre, side+column, headLine+2*geom.Millimetre)
	}
	l.words(on, side+column-l.set.Wide(number, smallCaps), footLine, smallCaps, grey, number)
	if i == 0 {
		return
	}
	l.words(on, side, footLine, smallCaps, grey, l.set.Shortened(strings.Join(told("", p.Kind, "Lampblack ", p.Version), ", "), smallCaps, column-40*geom.Millimetre))
}
