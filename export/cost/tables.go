package cost

import (
	"fmt"
	"math/big"
	"slices"
	"strings"

	"lampblack/export/table"
)

// tenths is a number with a decimal, or none where it is whole.
func tenths(v *big.Rat) string { return strings.TrimSuffix(v.FloatString(1), ".0") }

// lasting is a time as people say it: "3 h 20 min", and below ten minutes "6.5 min".
func lasting(seconds *big.Rat) string {
	if seconds == nil {
		return ""
	}
	minutes := new(big.Rat).Quo(seconds, big.NewRat(60, 1))
	if minutes.Cmp(big.NewRat(10, 1)) < 0 {
		return tenths(minutes) + " min"
	}
	n := new(big.Int)
	n.SetString(minutes.FloatString(0), 10)
	if n.Int64() < 60 {
		return fmt.Sprintf("%v min", n)
	}
	return fmt.Sprintf("%d h %02d min", n.Int64()/60, n.Int64()%60)
}

// quantity is how much a line has, as people read it.
func (l Line) quantity() string {
	if l.Unit == "" {
		return tenths(l.Quantity)
	}
	return tenths(l.Quantity) + " " + l.Unit
}

// many heads a column of several consoles.
func many(n int) string {
	if n == 1 {
		return "one console"
	}
	return fmt.Sprintf("%d consoles", n)
}

// note says what is to be minded of a line.
func (e Estimate) note(l Line) string {
	switch {
	case l.Bought != nil:
		return strings.TrimSpace("buy "+tenths(l.Bought)+" "+l.In) + ": that costs less, or is the least that is sold"
	case e.Priced && l.Cost == nil && !l.Counted:
		return "no price"
	}
	return ""
}

// Effort is what work and laser have to do, and how long that takes: of one console and of all that are made.
func Effort(all []Estimate) table.Table {
	columns := []table.Column{table.Text("what"), table.Number("each", "s")}
	for _, e := range all {
		columns = append(columns, table.Number("quantity, "+many(e.Consoles), ""), table.Number("time, "+many(e.Consoles), ""))
	}
	t := table.New("Work and material", columns...).
		Read("How long each takes is an assumption by common practice, stopwatches and a solder trainer's figure; your own stand under times in the project file. Hands and laser work side by side. Boards and sheets are counted by their outer size.")
	if len(all) == 0 {
		return t
	}
	for _, l := range all[len(all)-1].Lines {
		if l.Kind == Parts {
			continue
		}
		each := ""
		if l.Each != nil {
			each = tenths(l.Each)
		}
		row := []any{l.What, each}
		for _, e := range all {
			row = append(row, "", "")
			if k := e.like(l); k >= 0 {
				row[len(row)-2], row[len(row)-1] = e.Lines[k].quantity(), lasting(e.Lines[k].Seconds)
			}
		}
		t.Add(row...)
	}
	for _, k := range []Kind{Laser, Labour} {
		row := []any{"all " + k.String(), ""}
		for _, e := range all {
			row = append(row, "", lasting(e.Of(k).Seconds))
		}
		t.Add(row...)
	}
	return t
}

// like returns the index of the line that tells the same as another; -1: there is none.
func (e Estimate) like(l Line) int {
	return slices.IndexFunc(e.Lines, func(o Line) bool { return o.Kind == l.Kind && o.What == l.What })
}

// Cents is what it costs by kinds: of one console, and of all that are made; without rows where there are no prices.
func Cents(all []Estimate) table.Table {
	columns := []table.Column{table.Text("")}
	unit := ""
	if len(all) > 0 {
		unit = all[0].Currency
	}
	for _, e := range all {
		columns = append(columns, table.Number(many(e.Consoles), unit))
		if e.Consoles > 1 {
			columns = append(columns, table.Number("each of these", unit))
		}
	}
	t := table.New("Cost", columns...)
	if len(all) == 0 || !all[0].Priced {
		return t
	}
	cells := func(name string, some ...Kind) {
		row, counts := []any{name}, false
		for _, e := range all {
			s := e.Of(some...)
			counts = counts || s.Priced > 0 || len(s.Unpriced) > 0
			row = append(row, e.money(s, s.Cost))
			if e.Consoles > 1 {
				row = append(row, e.money(s, s.Each(e.Consoles)))
			}
		}
		if counts {
			t.Add(row...)
		}
	}
	for _, k := range Kinds() {
		cells(k.String(), k)
	}
	cells("together")
	t.Reading = "Sums are of exact amounts and rounded once, so they may differ in the last digit from sums of what is written here."
	if missing := all[len(all)-1].Missing(); len(missing) > 0 {
		t.Reading += " At least: what has no price is left out: " + strings.Join(missing, "; ") + "."
	}
	return t
}

// money is a sum, with a sign where something is left out of it; nothing where nothing has a price.
func (e Estimate) money(s Sum, v *big.Rat) string {
	switch {
	case s.Priced == 0:
		return "no price"
	case len(s.Unpriced) > 0:
		return "≥ " + e.Written(v)
	}
	return e.Written(v)
}

// Missing is what has no price, in words; labour and laser once.
func (e Estimate) Missing() []string {
	var all []string
	for _, l := range e.Lines {
		if !e.Priced || l.Cost != nil || l.Counted {
			continue
		}
		what := l.What
		switch l.Kind {
		case Laser:
			what = "a minute of the laser"
		case Labour:
			what = "an hour of work"
		case Boards:
			what = "boards by area"
			if l.Per == "pack" {
				what = "an order of boards"
			}
		}
		if !slices.Contains(all, what) {
			all = append(all, what)
		}
	}
	return all
}

// Details is every line of the estimates, for spreadsheets; the last line of each is the sum.
func Details(all []Estimate) table.Table {
	unit := ""
	if len(all) > 0 {
		unit = all[0].Currency
	}
	t := table.New("Cost in detail", table.Number("consoles", ""), table.Text("kind"), table.Long("what"), table.Number("quantity", ""), table.Text("unit"),
		table.Number("minutes", ""), table.Number("price", unit), table.Text("of one"), table.Number("cost", unit), table.Long("note"))
	minutes := func(seconds *big.Rat) string {
		if seconds == nil {
			return ""
		}
		return new(big.Rat).Quo(seconds, big.NewRat(60, 1)).FloatString(1)
	}
	for _, e := range all {
		for _, l := range e.Lines {
			price, per, cost := "", "", ""
			if l.Price != nil {
				price, per = Exactly(l.Price), l.Per
			}
			if l.Cost != nil {
				cost = e.Written(l.Cost)
			}
			t.Add(e.Consoles, l.Kind, l.What, tenths(l.Quantity), l.Unit, minutes(l.Seconds), price, per, cost, e.note(l))
		}
		s := e.Of()
		cost, note := "", ""
		if s.Priced > 0 {
			cost = e.Written(s.Cost)
		}
		if missing := e.Missing(); len(missing) > 0 {
			note = "at least: no price for " + strings.Join(missing, "; ")
		}
		t.Add(e.Consoles, "together", "", "", "", "", "", "", cost, note)
	}
	return t
}
