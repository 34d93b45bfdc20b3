package flow

import (
	"context"
	"fmt"

	"lampblack/board"
	"lampblack/board/route"
	"lampblack/export/bundle"
	"lampblack/export/picture"
	"lampblack/led"
	"lampblack/panel/geom"
)

// OpenNets is the name of the picture of a board's open nets.
func OpenNets(board string) string { return board + "-open-nets.svg" }

type stuckIn struct {
	Name  string
	Board board.Board
	Open  []route.Open
}

// sticking draws a board whose nets stay open.
var sticking = stage[stuckIn, filesOut]{"open nets", func(ctx context.Context, in stuckIn) (out filesOut) {
	var open []picture.Missing
	for _, o := range in.Open {
		m := picture.Missing{From: o.From, To: o.To, Of: o.Of, With: o.With, At: o.At, Why: o.Why, Taken: o.Taken,
			Reach: o.Width/2 + in.Board.Rules.Clearance + geom.Millimetre}
		if o.Net > led.NoNet && int(o.Net) < len(in.Board.Nets) {
			m.Net = in.Board.Nets[o.Net].Name
		}
		open = append(open, m)
	}
	out.Files = []bundle.File{{Path: OpenNets(in.Name), Data: picture.OpenNets(ctx, in.Board, open)}}
	return out
}}

// stuck draws a board that was refused for open nets, as far as it came, and has its findings name the picture. A board that is no
// board has no place in the output folder: the picture goes beside that.
func (w *way) stuck(m *Made) {
	if w.stopped != routing.name || len(m.Routed.Open) == 0 || !w.s.set.Pack {
		return
	}
	drawn, fault, ok := sticking.run(w.s, m.Name(), stuckIn{m.Name(), m.Board, m.Routed.Open})
	if fault != nil {
		w.found = append(w.found, *fault)
	}
	if !ok {
		return
	}
	m.stuck = drawn.Value.Files
	for i := range w.found {
		if f := &w.found[i]; f.Code == "route-open-net" {
			f.Fix("%s", fmt.Sprintf("%s; %s, beside the output folder, shows where", f.Advice, m.stuck[0].Path))
		}
	}
}
