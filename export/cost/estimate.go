package cost

import (
	"cmp"
	"fmt"
	"math/big"
	"slices"
	"strconv"
	"strings"

	"lampblack/panel/geom"
)

// Counts is what so many consoles take.
type Counts struct {
	Consoles int
	Work     Work
	Laser    []Lasered
	Boards   []Board
	Holes    int // drilled in the boards
	Parts    []Part
	Sheets   []Sheet
}

// Work is what hands do.
type Work struct {
	ThroughParts, ThroughJoints int // of parts with leads
	SurfaceParts, SurfaceJoints int
	Wires, Ends                 int
	Screws                      int
	Boards                      int // to test
	Laid                        int // sheets on the laser
}

// Lasered is what the laser does to the sheets of one kind.
type Lasered struct {
	Kind     string
	Cut      []float64 // mm, along all cuts of each sheet
	Engraved []float64 // mm²
	Times    int       // that each of these is made
}

// Board is a pack that is ordered so many times.
type Board struct {
	Name     string // "board dome", "array order-spares"
	W, H     geom.Nm
	Quantity int
}

// Part is a thing to buy.
type Part struct {
	Names    []string // that it goes by, the closest last
	Number   string   // the user's own, one for each thing that a shop sells; empty: the names tell what is one
	What     string
	Quantity string // as a decimal
	Spares   string // bought beside them; empty: none
	Unit     string // "m"; empty: pieces
	Own      string // price of one that the project tells, as a decimal; empty: none
}

// Sheet is acrylic to buy: sheets of stock, or pieces of a panel's size.
type Sheet struct {
	Kind     string
	Words    string // "LED sheet"
	W, H     geom.Nm
	Quantity int
	Stock    bool
}

// Kind is what a line is about.
type Kind uint8

// Kinds, in the order in which they are told.
const (
	Parts Kind = iota
	Boards
	Sheets
	Laser
	Labour
	kinds
)

func (k Kind) String() string {
	return [...]string{"parts", "boards", "sheets", "laser", "work by hand"}[k]
}

// Kinds returns all of them.
func Kinds() []Kind {
	all := make([]Kind, kinds)
	for i := range all {
		all[i] = Kind(i)
	}
	return all
}

// Line is one thing that is counted, and what is known of it.
type Line struct {
	Kind     Kind
	What     string
	Quantity *big.Rat
	Unit     string   // of the quantity; empty: pieces
	Each     *big.Rat // seconds that one takes; nil: it takes no time of its own
	Seconds  *big.Rat // of all
	Price    *big.Rat // nil: none is told
	Per      string   // what the price is of
	Cost     *big.Rat // nil: not known
	Bought   *big.Rat // more than is needed, as that costs less; nil: what is needed
	In       string   // what Bought is counted in; empty: pieces
	Counted  bool     // it has no price, and needs none
}

// Estimate is what so many consoles take and cost.
type Estimate struct {
	Consoles int
	Lines    []Line
	Priced   bool // by a price list
	Currency string
	Decimals int
}

// exact returns a number as the fraction that its shortest decimal is.
func exact(v float64) *big.Rat {
	r, _ := new(big.Rat).SetString(strconv.FormatFloat(v, 'f', -1, 64))
	return r
}

func whole(n int) *big.Rat { return new(big.Rat).SetInt64(int64(n)) }

func product(a *big.Rat, more ...*big.Rat) *big.Rat {
	out := new(big.Rat).Set(a)
	for _, b := range more {
		out.Mul(out, b)
	}
	return out
}

// dm2 is the area of a rectangle.
func dm2(w, h geom.Nm) *big.Rat {
	const perDM = 100 * int64(geom.Millimetre)
	return product(big.NewRat(int64(w), perDM), big.NewRat(int64(h), perDM))
}

// Of returns the estimate for what was counted.
func Of(c Counts, t Times, p Prices) Estimate {
	e := Estimate{Consoles: c.Consoles, Priced: p.File != "", Currency: p.Currency, Decimals: p.Decimals}
	e.parts(c.Parts, p)
	e.boards(c, p)
	e.sheets(c.Sheets, p)
	for _, l := range c.Laser {
		e.lasered(l, t, p)
	}
	e.work(c.Work, t, p)
	return e
}

func (e *Estimate) add(l Line) { e.Lines = append(e.Lines, l) }

// priced is a line whose every piece costs the same.
func priced(l Line, each *big.Rat) Line {
	if each != nil {
		l.Price, l.Cost = each, product(each, l.Quantity)
	}
	return l
}

// parts adds a line for each part. Breaks go by what a shop counts together: all lines of one thing.
func (e *Estimate) parts(all []Part, p Prices) {
	type thing struct {
		is, own string // own: the price that the project tells
		entry   int    // of the price list: things of one number may have several
	}
	prices := map[thing]Breaks{}     // looked up only
	groups := map[thing][]purchase{} // likewise
	var order []thing
	for _, q := range all {
		n, ok := new(big.Rat).SetString(q.Quantity)
		if !ok {
			continue
		}
		if more, ok := new(big.Rat).SetString(q.Spares); ok {
			n = new(big.Rat).Add(n, more)
		}
		if n.Sign() == 0 {
			continue
		}
		l := Line{Kind: Parts, What: q.What, Quantity: n, Unit: q.Unit, Per: "piece", In: q.Unit}
		if q.Unit != "" {
			l.Per = q.Unit
		}
		of := thing{strings.ToLower(cmp.Or(q.Number, strings.Join(q.Names, "\n"))), q.Own, p.part(q.Names)}
		if of.entry >= 0 {
			prices[of] = p.Parts[of.entry].Price
		} else if price, ok := new(big.Rat).SetString(q.Own); ok {
			prices[of] = Breaks{{1, price}}
		}
		if groups[of] == nil {
			order = append(order, of)
		}
		groups[of] = append(groups[of], purchase{len(e.Lines), n})
		e.add(l)
	}
	for _, of := range order {
		e.together(groups[of], prices[of])
	}
}

// purchase is a line, and how much of a thing it takes.
type purchase struct {
	line   int
	amount *big.Rat
}

// together prices lines of one thing by how much all of them take. What is bought beyond that is told of the line that takes most.
func (e *Estimate) together(lines []purchase, price Breaks) {
	all, most := new(big.Rat), 0
	for i, q := range lines {
		if all.Add(all, q.amount); q.amount.Cmp(lines[most].amount) > 0 {
			most = i
		}
	}
	got, ok := price.Buy(all)
	if !ok {
		return
	}
	for i, q := range lines {
		l, amount := &e.Lines[q.line], q.amount
		if more := new(big.Rat).Sub(got.Quantity, all); i == most && more.Sign() > 0 {
			amount = new(big.Rat).Add(amount, more)
			l.Bought = amount
		}
		l.Price, l.Cost = got.Price, product(got.Price, amount)
	}
}

// mm is a length to a hundredth, with no more decimals than it needs.
func mm(v geom.Nm) string {
	s := strings.TrimRight(strconv.FormatFloat(v.MM(), 'f', 2, 64), "0")
	return strings.TrimSuffix(s, ".")
}

// board is a line of so many boards, whose price is of a dm² and whose breaks go by how many of this board there are.
func board(b Board, price Breaks) Line {
	l := Line{Kind: Boards, What: fmt.Sprintf("%s, %s × %s mm", b.Name, mm(b.W), mm(b.H)), Quantity: whole(b.Quantity), Per: "dm²"}
	if got, ok := price.Buy(l.Quantity); ok {
		l.Price, l.Cost = got.Price, product(dm2(b.W, b.H), got.Cost())
		if got.Quantity.Cmp(l.Quantity) > 0 {
			l.Bought = got.Quantity
		}
	}
	return l
}

func (e *Estimate) boards(c Counts, p Prices) {
	if len(c.Boards) == 0 {
		return
	}
	area := new(big.Rat)
	for _, b := range c.Boards {
		e.add(board(b, p.Area))
		area.Add(area, product(dm2(b.W, b.H), whole(b.Quantity)))
	}
	e.add(priced(Line{Kind: Boards, What: "packs ordered", Quantity: whole(len(c.Boards)), Per: "pack"}, p.Order))
	e.add(Line{Kind: Boards, What: "area of all boards", Quantity: area, Unit: "dm²", Counted: true})
	e.add(Line{Kind: Boards, What: "holes drilled in them", Quantity: whole(c.Holes), Counted: true})
}

// sheets adds a line for each kind and size. Pieces of one kind are bought together, by their area.
func (e *Estimate) sheets(all []Sheet, p Prices) {
	area := new(big.Rat)
	var kinds []string
	pieces := map[string][]purchase{} // looked up only
	for _, s := range all {
		price := p.sheet(s.Kind)
		l := Line{Kind: Sheets, What: fmt.Sprintf("%s, %s × %s mm", s.Words, mm(s.W), mm(s.H)), Quantity: whole(s.Quantity), Per: "sheet"}
		if s.Stock {
			l.What += " of stock"
		}
		total := product(dm2(s.W, s.H), l.Quantity)
		area.Add(area, total)
		if s.Stock && len(price.Sheet) > 0 {
			e.add(l)
			e.together([]purchase{{len(e.Lines) - 1, l.Quantity}}, price.Sheet)
			continue
		}
		if pieces[s.Kind] == nil {
			kinds = append(kinds, s.Kind)
		}
		pieces[s.Kind] = append(pieces[s.Kind], purchase{len(e.Lines), total})
		l.Per, l.In = "dm²", "dm²"
		e.add(l)
	}
	for _, k := range kinds {
		e.together(pieces[k], p.sheet(k).Area)
	}
	if len(all) > 0 {
		e.add(Line{Kind: Sheets, What: "area of all sheets", Quantity: area, Unit: "dm²", Counted: true})
	}
}

// sum adds what each of several equal sheets takes.
func sum(all []float64, times int) *big.Rat {
	out := new(big.Rat)
	for _, v := range all {
		out.Add(out, exact(v))
	}
	return out.Mul(out, whole(times))
}

func (e *Estimate) lasered(q Lasered, t Times, p Prices) {
	minute := big.NewRat(60, 1)
	add := func(l Line) {
		if l.Quantity.Sign() == 0 {
			return
		}
		l.Kind, l.Per = Laser, "minute"
		if p.Laser != nil {
			l.Price, l.Cost = p.Laser, product(p.Laser, new(big.Rat).Quo(l.Seconds, minute))
		}
		e.add(l)
	}
	cut, engraved := sum(q.Cut, q.Times), sum(q.Engraved, q.Times)
	add(Line{What: fmt.Sprintf("%s: cut at %s mm/s", q.Kind, tenths(exact(float64(t.Cut)))), Quantity: product(cut, big.NewRat(1, 1000)), Unit: "m", Seconds: new(big.Rat).Quo(cut, exact(float64(t.Cut)))})
	cm2 := product(engraved, big.NewRat(1, 100))
	add(Line{What: fmt.Sprintf("%s: engrave at %s cm²/min", q.Kind, tenths(exact(float64(t.Engrave)))), Quantity: cm2, Unit: "cm²", Seconds: product(new(big.Rat).Quo(cm2, exact(float64(t.Engrave))), minute)})
}

func (e *Estimate) work(w Work, t Times, p Prices) {
	for _, one := range []struct {
		what string
		n    int
		each Seconds
	}{
		{"parts with leads: bend, insert, cut", w.ThroughParts, t.ThroughPart},
		{"joints of parts with leads", w.ThroughJoints, t.Joint},
		{"parts without leads: place, hold", w.SurfaceParts, t.SurfacePart},
		{"joints of parts without leads", w.SurfaceJoints, t.Joint},
		{"wires: cut, mark", w.Wires, t.Wire},
		{"ends of wires: strip, crimp or tin", w.Ends, t.WireEnd},
		{"screws, with what belongs to them", w.Screws, t.Screw},
		{"boards: test", w.Boards, t.BoardTest},
		{"sheets: lay on the laser, take off", w.Laid, t.Sheet},
	} {
		if one.n == 0 {
			continue
		}
		each := exact(float64(one.each))
		l := Line{Kind: Labour, What: one.what, Quantity: whole(one.n), Each: each, Seconds: product(each, whole(one.n)), Per: "hour"}
		if p.Labour != nil {
			l.Price, l.Cost = p.Labour, product(p.Labour, l.Seconds, big.NewRat(1, 3600))
		}
		e.add(l)
	}
}

// Sum is what lines come to, and what they leave out.
type Sum struct {
	Cost     *big.Rat // of what has a price
	Seconds  *big.Rat
	Priced   int      // lines that have a price
	Unpriced []string // lines that have none
}

// Each is what one of so many consoles costs.
func (s Sum) Each(consoles int) *big.Rat { return product(s.Cost, big.NewRat(1, int64(consoles))) }

// Of returns the sum of some kinds; of all, where none is named.
func (e Estimate) Of(some ...Kind) Sum {
	s := Sum{Cost: new(big.Rat), Seconds: new(big.Rat)}
	for _, l := range e.Lines {
		if len(some) > 0 && !slices.Contains(some, l.Kind) {
			continue
		}
		if l.Seconds != nil {
			s.Seconds.Add(s.Seconds, l.Seconds)
		}
		switch {
		case l.Cost != nil:
			s.Priced++
			s.Cost.Add(s.Cost, l.Cost)
		case !l.Counted:
			s.Unpriced = append(s.Unpriced, l.What)
		}
	}
	return s
}

// Written returns an amount of money with the decimals of the estimate; half is rounded away from nought.
func (e Estimate) Written(v *big.Rat) string { return v.FloatString(e.Decimals) }

// Exactly returns a price as it was told: with no more decimals than it has.
func Exactly(v *big.Rat) string {
	n, ok := v.FloatPrec()
	if !ok {
		n += 6
	}
	return v.FloatString(n)
}
