package picture

import (
	"fmt"
	"slices"
	"strings"

	"lampblack/export/scene"
	"lampblack/led"
	"lampblack/led/part"
	"lampblack/panel/geom"
)

// Measures of the wiring diagram, on paper. It shows what is wired to what, not where. It is as wide as the text of an A4
// sheet upright with margins of 12 mm, which is what the report prints on, so that it is printed at true size there and alone;
// a console of forty boards is no higher than such a sheet, and rows of a larger one do not lie across the edge of two.
const (
	wiringWide   = 186 * geom.Millimetre
	wiringHigh   = 273 * geom.Millimetre
	wiringMargin = 2 * geom.Millimetre
	wiringText   = 2500 * geom.Micrometre // capitals: what ISO 3098-1 has as the usual small lettering
	wiringTitle  = 4 * geom.Millimetre
	lanePitch    = 5500 * geom.Micrometre // of the wires that run down at the left
	stubRoom     = 15 * geom.Millimetre   // before the first box of a row, for a fuse
	turnRoom     = 5 * geom.Millimetre    // after the last box of a row, where its wires turn
	boxGap       = 6 * geom.Millimetre    // between boxes of a row
	boxInset     = geom.Millimetre        // of the text in a box
	leastBox     = 31 * geom.Millimetre   // in width
	mostColumns  = 4
	poleGap      = 1800 * geom.Micrometre // between the supply conductor and 0 V
	fuseWide     = 7 * geom.Millimetre
	descent      = 700 * geom.Micrometre // of letters, below the baseline
)

// airy and tight are how far apart lines and rows stand; tight is for consoles that fill the sheet.
type spread struct{ step, pad, air geom.Nm }

func airy() spread {
	return spread{3700 * geom.Micrometre, 1600 * geom.Micrometre, 2 * geom.Millimetre}
}
func tight() spread {
	return spread{3450 * geom.Micrometre, 1100 * geom.Micrometre, 1100 * geom.Micrometre}
}

// Wiring returns the diagram of a console's feed as SVG: the supply, what else it feeds, and the boards in rows in the order
// of the wires, with fuses, branches and the ways back; in each box how long its wires are and what they carry, usually and at
// worst.
func Wiring(c led.Circuit, console string) []byte {
	d := &drawing{page: wiringPage(c, console)}
	return d.encoded()
}

// wiringPage sets the diagram, closer where it would not fit an A4 sheet.
func wiringPage(c led.Circuit, console string) scene.Page {
	w := newWiring(c, console, airy())
	if w.high > wiringHigh {
		w = newWiring(c, console, tight())
	}
	w.draw()
	return w.d.page
}

// wiring is a diagram in the making.
type wiring struct {
	spread
	d      *drawing
	c      led.Circuit
	tables led.Tables
	title  []string // in lines
	says   []string // how to read it
	notes  []string // what does not fit into the picture

	supply  wireBox
	loads   []wireBox
	boxes   []wireBox
	rows    []wireRow
	at      map[string]int // the box of each board
	lane    map[string]int // of the panels that branches start from; the supply's is 0
	lanes   int
	downs   []lane // what the lanes are once all is placed: the supply's first
	columns int
	first   geom.Nm // left edge of the first column
	boxWide geom.Nm
	high    geom.Nm // of the page
}

// wireBox is the supply, a load or a board.
type wireBox struct {
	lines []string
	name  int // how many of the lines are the name
	box   geom.Box
	row   int
}

// wireRow is boxes side by side, and the wires that run below them.
type wireRow struct {
	chain  int
	boxes  []int
	starts bool // with its chain's first board
	below  []run
}

// run is a pair of conductors below a row: from a box leftward.
type run struct {
	kind  runKind
	box   int
	y     geom.Nm // middle between the conductors
	lines []string
}

type runKind uint8

const (
	branchRun runKind = iota // from a board to the lane of its branches
	onRun                    // from the last box of a row to the first of the next
	backRun                  // from the last board of a chain to where the chain starts
)

func newWiring(c led.Circuit, console string, s spread) *wiring {
	w := &wiring{spread: s, c: c, tables: c.Tables(), lanes: 1}
	title := strings.TrimSpace(console + ": wiring")
	w.d = newDrawing(nil, wiringWide, wiringHigh, title)
	for { // more lanes leave less room for boxes, hence more rows, hence perhaps more lanes
		w.set()
		if n := w.share(); n > w.lanes {
			w.lanes = n
			continue
		}
		break
	}
	w.stack(console)
	return w
}

// set gives every board a box in a row of its chain.
func (w *wiring) set() {
	w.boxes, w.rows, w.at = nil, nil, map[string]int{}
	w.first = wiringMargin + geom.Nm(w.lanes)*lanePitch + stubRoom
	room := max(wiringWide-wiringMargin-turnRoom-w.first, leastBox)
	w.columns = max(1, min(mostColumns, int((room+boxGap)/(leastBox+boxGap))))
	w.boxWide = (room+boxGap)/geom.Nm(w.columns) - boxGap
	for i, chain := range w.c.Chains {
		for j, k := range chain.Links {
			if j%w.columns == 0 {
				w.rows = append(w.rows, wireRow{chain: i, starts: j == 0})
			}
			r := &w.rows[len(w.rows)-1]
			r.boxes = append(r.boxes, len(w.boxes))
			w.at[k.Panel] = len(w.boxes)
			b := w.board(k, w.tables.Chains[i].Segments[j])
			b.row = len(w.rows) - 1
			w.boxes = append(w.boxes, b)
		}
	}
}

// board returns what is told of a board and the wires that lead to it.
func (w *wiring) board(k led.Link, s led.SegmentRow) wireBox {
	room := w.boxWide - 2*boxInset
	b := wireBox{lines: w.d.Wrapped(k.Panel, wiringText, room)}
	b.name = len(b.lines)
	for _, pair := range [][]string{{s.Wire, s.Length.String()}, {carried(s)}, {volts(s.Volts), amps(s.BoardAmps)},
		{fmt.Sprintf("LEDs at %.0f %%", 100*k.OfAsked)}} {
		if one := strings.Join(pair, ", "); w.d.Wide(one, wiringText) <= room {
			pair = []string{one}
		}
		for _, text := range pair {
			b.lines = append(b.lines, w.d.Wrapped(text, wiringText, room)...)
		}
	}
	return b
}

// share gives each panel that branches start from a lane at the left, the same one to several where they do not meet, and
// returns how many lanes there are.
func (w *wiring) share() int {
	type span struct {
		from   string
		lo, hi int // rows
	}
	var spans []span
	for i, r := range w.rows {
		from := w.start(r.chain)
		if from == "" {
			continue
		}
		own := w.boxes[w.at[from]].row
		j := slices.IndexFunc(spans, func(s span) bool { return s.from == from })
		if j < 0 {
			j = len(spans)
			spans = append(spans, span{from, own, own})
		}
		spans[j].lo, spans[j].hi = min(spans[j].lo, i), max(spans[j].hi, i)
	}
	w.lane = map[string]int{}
	lanes := 1
	for i, s := range spans {
		n := 1
		for j := 0; j < i; j++ {
			if o := spans[j]; w.lane[o.from] == n && o.lo <= s.hi && s.lo <= o.hi {
				n, j = n+1, -1 // taken: try the next against all
			}
		}
		w.lane[s.from] = n
		lanes = max(lanes, n+1)
	}
	return lanes
}

// start returns the panel that a chain starts from; empty: the supply.
func (w *wiring) start(chain int) string {
	from := w.c.Chains[chain].From
	if _, ok := w.at[from]; !ok {
		return ""
	}
	return from
}

// stack puts everything below one another, and so tells how high the page is.
func (w *wiring) stack(console string) {
	d := w.d
	d.page.W = max(wiringWide, w.first+geom.Nm(w.columns)*(w.boxWide+boxGap)-boxGap+turnRoom+wiringMargin)
	text := d.page.W - 2*wiringMargin
	y := wiringMargin
	w.title = d.Wrapped(strings.TrimSpace(console+" — wiring"), wiringTitle, text)
	y += geom.Nm(len(w.title)) * (wiringTitle + 2*geom.Millimetre)
	w.says = d.Wrapped(w.reading(), wiringText, text)
	y += w.step*geom.Nm(1+len(w.says)) + w.pad
	y = w.top(y) + 2*w.air
	for i := range w.rows {
		next := w.row(i, y)
		if edge := (y/wiringHigh + 1) * wiringHigh; next > edge && y+wiringHigh > next { // begin a row on the next sheet rather than cut it
			next = w.row(i, edge+wiringMargin)
		}
		y = next
	}
	for _, s := range w.remarks() {
		w.notes = append(w.notes, d.Wrapped(s, wiringText, text)...)
	}
	y += w.air
	w.high = y + geom.Nm(len(w.notes))*w.step + wiringMargin
	d.page.H = w.high
}

// top places the supply and what else it feeds, and returns where they end.
func (w *wiring) top(y geom.Nm) geom.Nm {
	const wide, between = 62 * geom.Millimetre, 16 * geom.Millimetre
	s := w.c.Source
	window := part.Window{Min: s.Min, Nominal: s.Nominal, Max: s.Max}
	name := "supply"
	if s.Battery.Any() {
		name = fmt.Sprintf("battery, %d cells", s.Battery.Cells)
	}
	x := wiringMargin
	low := y
	put := func(at, room geom.Nm, texts ...string) wireBox {
		var b wireBox
		for i, t := range texts {
			b.lines = append(b.lines, w.d.Wrapped(t, wiringText, room-2*boxInset)...)
			if i == 0 {
				b.name = len(b.lines)
			}
		}
		b.box = geom.Box{Min: geom.Pt{X: x, Y: at}, Max: geom.Pt{X: x + room, Y: at + w.tall(len(b.lines))}}
		return b
	}
	w.supply = put(y, wide, name, window.String(), "gives "+amps(s.Rated)+", asked for "+amps(s.Demand))
	bottom := w.supply.box.Max.Y
	x += wide + between
	for _, l := range s.Others {
		b := put(low, w.d.page.W-wiringMargin-x, l.Name+": "+amps(l.At(s.Volts)))
		w.loads = append(w.loads, b)
		low = b.box.Max.Y + w.air
		bottom = max(bottom, b.box.Max.Y)
	}
	w.supply.box.Max.Y = bottom
	return bottom
}

// tall returns how high a box of so many lines is.
func (w *wiring) tall(lines int) geom.Nm {
	return 2*w.pad + wiringText + geom.Nm(max(0, lines-1))*w.step + descent/2
}

// row places the boxes of a row and the wires below it, and returns where these end.
func (w *wiring) row(i int, y geom.Nm) geom.Nm {
	r := &w.rows[i]
	r.below = nil
	lines := 0
	for _, b := range r.boxes {
		lines = max(lines, len(w.boxes[b].lines))
	}
	for j, b := range r.boxes {
		x := w.first + geom.Nm(j)*(w.boxWide+boxGap)
		w.boxes[b].box = geom.Box{Min: geom.Pt{X: x, Y: y}, Max: geom.Pt{X: x + w.boxWide, Y: y + w.tall(lines)}}
	}
	y += w.tall(lines)
	for _, b := range r.boxes {
		for _, from := range w.sources() {
			if w.at[from] == b {
				r.below = append(r.below, run{kind: branchRun, box: b})
			}
		}
	}
	last := r.boxes[len(r.boxes)-1]
	if back := w.tables.Chains[r.chain].Back; i+1 < len(w.rows) && w.rows[i+1].chain == r.chain {
		r.below = append(r.below, run{kind: onRun, box: last})
	} else if back != nil {
		text := w.way(r.chain, *back)
		r.below = append(r.below, run{kind: backRun, box: last, lines: w.d.Wrapped(text, wiringText, w.d.page.W-wiringMargin-w.first+stubRoom-2*geom.Millimetre)})
	}
	for j := range r.below {
		q := &r.below[j]
		q.y = y + w.air + poleGap/2
		y += w.air + poleGap
		if n := len(q.lines); n > 0 {
			y += backText + geom.Nm(n-1)*w.step + descent
		}
	}
	return y + w.air
}

// sources returns the panels that branches start from, in the order of their lanes' chains.
func (w *wiring) sources() []string {
	var out []string
	for i := range w.c.Chains {
		if from := w.start(i); from != "" && len(w.c.Chains[i].Links) > 0 && !slices.Contains(out, from) {
			out = append(out, from)
		}
	}
	return out
}

// fuse returns the fuse of a chain, which stands at the supply; 0: none.
func (w *wiring) fuse(chain int) part.Amp {
	if w.c.Chains[chain].From != "" {
		return 0
	}
	return w.tables.Chains[chain].Fuse
}

// way tells of the wires by which a chain goes back to where it starts.
func (w *wiring) way(chain int, s led.SegmentRow) string {
	to := "the supply"
	if from := w.start(chain); from != "" {
		to = from
	}
	text := fmt.Sprintf("way back to %s: %s, %s, %s", to, s.Wire, s.Length, carried(s))
	if f := w.fuse(chain); f > 0 {
		text = "fuse " + f.String() + " here too; " + text
	}
	return text
}

// carried is what a feed carries, usually and at worst.
func carried(s led.SegmentRow) string {
	if s.Amps < 0 {
		return fmt.Sprintf("%s from behind (%s)", amps(-s.Amps), amps(s.Worst))
	}
	return fmt.Sprintf("%s (%s)", amps(s.Amps), amps(s.Worst))
}

// amps and volts are told in as many digits as matter to who wires: three of a current, four of a voltage.
func amps(i part.Amp) string   { return i.Rounded().String() }
func volts(v part.Volt) string { return v.Rounded().String() }

// reading tells how to read the diagram.
func (w *wiring) reading() string {
	s := "In each box: the board; the wires that lead to it, one way; what they carry as usual (at worst); the volts that arrive and what " +
		"the board draws; the LEDs' share of the current asked for."
	if len(w.sources()) > 0 {
		s += " Wires that leave a box below are joined at its OUT."
	}
	return s
}

// remarks are what does not fit into the picture: groups, and the verdict.
func (w *wiring) remarks() []string {
	var out []string
	var told [][]led.Group
	for _, b := range w.c.Boards {
		if len(b.Groups) < 2 || slices.ContainsFunc(told, func(g []led.Group) bool { return slices.Equal(g, b.Groups) }) {
			continue
		}
		told = append(told, b.Groups)
		pins := "Pins of " + b.Panel + " and all boards of its feed: "
		for i, g := range b.Groups {
			pins += fmt.Sprintf("%d %s, ", i+1, led.Sign(g.NetName()))
		}
		out = append(out, pins+fmt.Sprintf("%d - (0 V); a red line stands for all of +.", len(b.Groups)+1))
	}
	return append(out, w.tables.Verdict)
}
