package main

import (
	"io"
	"slices"

	"lampblack/cmd/lampblack/internal/flow"
	"lampblack/cmd/lampblack/internal/term"
	"lampblack/export/cost"
	"lampblack/export/result/tables"
)

// consoleTables are the panels as drawn, the chain and the supply.
func consoleTables(w io.Writer, o flow.Outcome) {
	r := o.Result
	term.Table(w, tables.Panels(r))
	if r.Supply == nil {
		return
	}
	for _, t := range slices.Concat(tables.Chains(r), tables.Supply(*r.Supply), tables.Bright(r)) {
		term.Table(w, t)
	}
}

// boardTables are the finished boards, their limits, the arrays, and the sheets on stock.
func boardTables(w io.Writer, o flow.Outcome) {
	term.Table(w, tables.Windows(o.Result))
	term.Table(w, tables.Boards(o.Result))
	term.Table(w, tables.Limits(o.Result))
	term.Table(w, tables.Orders(o.Result))
	term.Table(w, tables.Nests(o.Result))
	term.Table(w, cost.Cents(o.Costs))
}

// stringTables are each board's strings.
func stringTables(w io.Writer, o flow.Outcome) {
	reading := true
	for _, p := range o.Result.Panels {
		for _, b := range p.Every() {
			t := tables.Strings(b)
			if !reading {
				t.Reading = "" // once for all
			}
			term.Table(w, t)
			reading = false
		}
	}
}
