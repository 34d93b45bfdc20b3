package main

import (
	"fmt"
	"io"
	"strings"

	"lampblack/cmd/lampblack/internal/flow"
	"lampblack/cmd/lampblack/internal/term"
	"lampblack/export/result"
)

// limitTable shows how much of the board house's limits each board uses, and which of them it comes nearest to.
func limitTable(w io.Writer, o flow.Outcome) {
	t := term.Table{Title: "Finest on each board (limits of class " + o.Result.FabClass + ")",
		Head: []string{"<panel", "gap mm", "track mm", "ring mm", "hole mm", "to edge mm", "<tightest", "found mm", "limit mm"}}
	for _, p := range o.Result.Panels {
		if b := p.Board; b != nil && b.Tightest != nil {
			t.Add(p.Name, fixed(b.MinClearance, 2), fixed(b.MinTrack, 2), fixed(b.MinRing, 2), fixed(b.MinHole, 2), fixed(b.MinEdge, 2),
				b.Tightest.Limit, fixed(b.Tightest.Found, 2), fixed(b.Tightest.Required, 2))
		}
	}
	t.Write(w)
}

// orderTable shows the arrays of several boards.
func orderTable(w io.Writer, o flow.Outcome) {
	t := term.Table{Title: "Orders: several boards on one panel", Head: []string{"<order", "<boards", "width mm", "height mm", "boards %", "tabs", "<parted by", "drill way m", "unsorted m"}}
	for _, r := range o.Result.Orders {
		short, plain := "", ""
		if r.Travel != nil {
			short, plain = fixed(r.Travel.Written/1000, 2), fixed(r.Travel.Plain/1000, 2)
		}
		t.Add(r.Name, boards(r), fixed(r.Width, 2), fixed(r.Height, 2), fixed(100*r.Utilisation, 0), r.Tabs, r.Cut, short, plain)
	}
	t.Write(w)
}

// boards lists what an order holds: "2 dome, 4 focus".
func boards(r result.Order) string {
	var out []string
	for i := 0; i < len(r.Boards); {
		n := 1
		for i+n < len(r.Boards) && r.Boards[i+n].Panel == r.Boards[i].Panel {
			n++
		}
		out = append(out, fmt.Sprintf("%d %s", n, r.Boards[i].Panel))
		i += n
	}
	return strings.Join(out, ", ")
}
