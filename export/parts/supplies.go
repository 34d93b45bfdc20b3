package parts

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"lampblack/export/table"
	"lampblack/export/wires"
	"lampblack/led"
	"lampblack/led/part"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
)

// Sheet is acrylic to buy: whole sheets of stock, or where none is told a piece for each panel.
type Sheet struct {
	Kind      string // as the project's stock and price list have it: "face", "led_sheet"
	Words     string // "LED sheet"
	Material  string // "clear acrylic"
	W, H      geom.Nm
	Thickness geom.Nm
	Count     int    // for all consoles
	Panel     string // empty: it is stock
}

// Fuse is what lies between the supply and a chain.
type Fuse struct {
	Rated    part.Amp
	Count    int  // in one console
	Switched bool // a switch lies before it
}

// Fuses returns the fuses of a circuit.
func Fuses(c led.Circuit) []Fuse {
	var all []Fuse
	for _, t := range c.Chains {
		if t.From != "" || t.Guard.Fuse <= 0 {
			continue
		}
		n := 1
		if t.BothEnds {
			n = 2 // one in each of its feeds
		}
		all = append(all, Fuse{t.Guard.Fuse, n, t.Guard.SwitchOhms > 0})
	}
	return all
}

// Idle returns the connectors of a board that no wire leads to.
func Idle(w led.Wiring, cuts []wires.Cut) []string {
	var refs []string
	for _, k := range w.Connectors {
		at := wires.At(w.Panel, k)
		if !slices.ContainsFunc(cuts, func(c wires.Cut) bool { return c.From.At == at || c.To.At == at }) {
			refs = append(refs, k.Ref)
		}
	}
	return refs
}

// spareFuses are bought beside each, as one blows while a fault is looked for (common practice).
const spareFuses = 2

// Supplies lists what is bought beside the boards' own parts and the screws, in columns of Parts: fuses, wire, what its ends bear, and
// acrylic.
func Supplies(fuses []Fuse, cuts []wires.Cut, sheets []Sheet, copies int) table.Table {
	copies = max(1, copies)
	t := table.New("Fuses, wires and sheets", append(columns(), table.Number(Beyond, ""))...)
	add := func(count any, name, value, rating, body, panel, note string, spares any) {
		t.Add(count, name, value, rating, body, "", panel, note, spares)
	}
	of := map[part.Amp]int{} // looked up only
	var ratings []part.Amp
	holders, switches := 0, 0
	for _, f := range fuses {
		if of[f.Rated] == 0 {
			ratings = append(ratings, f.Rated)
		}
		of[f.Rated] += f.Count * copies
		holders += f.Count * copies
		if f.Switched {
			switches += copies
		}
	}
	slices.Sort(ratings)
	for _, a := range ratings {
		add(of[a], "fuse", a.String(), "time-lag, IEC 60127", "5 x 20 mm", "", "between supply and feed", of[a]*spareFuses)
	}
	if holders > 0 {
		add(holders, "fuse holder", "", "at least "+ratings[len(ratings)-1].String(), "for 5 x 20 mm", "", "with its cap, for a wire or for the case", "")
	}
	if switches > 0 {
		add(switches, "switch", "one pole", "direct current, at least "+ratings[len(ratings)-1].String(), "", "", "before the fuse", "")
	}
	for _, p := range plugs(cuts) {
		add(p.count*copies, "plug", fmt.Sprintf("%d pins", p.pins), "", "for "+p.body, "", "goes onto the header; with its contacts below", "")
	}
	for _, e := range wires.Borne(cuts) {
		n := e.Count * copies
		add(n, e.Words, "for "+e.Size, "", "", "", "on the ends of the wires", spareEnds(n))
	}
	for _, r := range wires.Reels(cuts) {
		metres := math.Ceil(float64(r.Length)*float64(copies)/float64(100*geom.Millimetre)) / 10
		add(table.Fixed(metres, 1), wire, r.Size+", "+r.Colour, "", "stranded", "", fmt.Sprintf("metres, for %d of wires.csv", r.Cuts*copies), table.Fixed(math.Ceil(metres)/10, 1))
	}
	sheets = slices.Clone(sheets)
	slices.SortStableFunc(sheets, func(a, b Sheet) int { return cmp.Compare(b.Thickness, a.Thickness) })
	for _, s := range sheets {
		note := s.Material + "; sheet of stock, as nested"
		if s.Panel != "" {
			note = s.Material + "; outer size: not nested on stock"
		}
		add(s.Count, "acrylic, "+s.Words, size(s.W, s.H), part.Trimmed(s.Thickness.MM(), 2)+" mm thick", "sheet", s.Panel, note, "")
	}
	return t
}

// wire is the part whose quantity is in metres.
const wire = "wire"

// spareEnds is how many ferrules or contacts to buy beyond those that are used, as some are crimped amiss: a tenth, five at least
// (common practice).
func spareEnds(n int) int { return max(5, (n+9)/10) }

func size(w, h geom.Nm) string {
	return part.Trimmed(w.MM(), 1) + " x " + part.Trimmed(h.MM(), 1) + " mm"
}

type plug struct {
	body        string
	pins, count int
}

// plugs are the counterparts of headers that wires lead to: as many pins as wires end there.
func plugs(cuts []wires.Cut) []plug {
	pins := map[string]int{}
	var ends []wires.End
	for _, c := range cuts {
		for _, e := range []wires.End{c.From, c.To} {
			if !strings.HasPrefix(e.Package, "header") {
				continue
			}
			if pins[e.At] == 0 {
				ends = append(ends, e)
			}
			pins[e.At]++
		}
	}
	var all []plug
	for _, e := range ends {
		i := slices.IndexFunc(all, func(p plug) bool { return p.body == e.Package && p.pins == pins[e.At] })
		if i < 0 {
			i = len(all)
			all = append(all, plug{body: e.Package, pins: pins[e.At]})
		}
		all[i].count++
	}
	return all
}

// Own is what the user says of a part to buy.
type Own struct {
	Part   string  // its value, its package, or what it is and its value: "red-3mm", "r-1206", "resistor 4k7"
	Number string  // as the user orders it
	Price  float64 // of one; 0: not told
	Note   string
}

// names are what a row goes by, the more general first.
func names(t table.Table, row []string) []string {
	cell := func(column string) string {
		return row[slices.IndexFunc(t.Columns, func(c table.Column) bool { return c.Name == column })]
	}
	name := cell("part")
	var all []string
	for _, s := range []string{name, cell("package"), cell("value"), strings.TrimSpace(name + " " + cell("value"))} {
		if s != "" && !slices.Contains(all, s) {
			all = append(all, s)
		}
	}
	return all
}

// WithOwn returns the list with columns for the user's own numbers and prices, filled as own says, and their notes; what names the part most
// closely holds.
func WithOwn(t table.Table, own []Own) table.Table {
	out := table.Table{Title: t.Title, Reading: t.Reading, Columns: append(slices.Clone(t.Columns), table.Text("number"), table.Number("price", ""))}
	note := slices.IndexFunc(t.Columns, func(c table.Column) bool { return c.Name == "note" })
	for _, r := range t.Rows {
		row := append(slices.Clone(r), "", "")
		for _, name := range names(t, r) {
			for _, o := range own {
				if !strings.EqualFold(o.Part, name) {
					continue
				}
				n := len(r)
				row[n], row[n+1] = cmp.Or(o.Number, row[n]), cmp.Or(priced(o.Price), row[n+1])
				if o.Note != "" {
					row[note] = strings.TrimPrefix(r[note]+"; "+o.Note, "; ")
				}
			}
		}
		out.Rows = append(out.Rows, row)
	}
	return out
}

func priced(v float64) string {
	if v == 0 {
		return ""
	}
	return strconv.FormatFloat(v, 'f', -1, 64)
}

// JudgeOwn tells what the user says of parts that are not in the list.
func JudgeOwn(t table.Table, own []Own) diag.List {
	var l diag.List
	var known []string
	for _, r := range t.Rows {
		for _, n := range names(t, r) {
			if !slices.Contains(known, n) {
				known = append(known, n)
			}
		}
	}
	for _, o := range own {
		if slices.ContainsFunc(known, func(n string) bool { return strings.EqualFold(n, o.Part) }) {
			continue
		}
		f := l.Add(diag.Warning, "parts-unknown", "no part of the console goes by %s", strconv.Quote(o.Part)).About("parts."+o.Part, "parts")
		if near, ok := diag.Nearest(o.Part, known); ok {
			f.Fix("did you mean %s?", near)
		} else {
			f.Fix("write a value, a package or both a part and its value as parts.csv has them, as red-3mm or resistor 4k7; or take it out")
		}
	}
	return l
}

// idleNote is told of connectors that no wire leads to.
const (
	idleNote    = "no wire leads to it: leave it out"
	idleInArray = "no wire leads to it: it need not be fitted"
)
