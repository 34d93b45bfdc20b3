// Package route joins the pads of each net with copper on two layers.
//
// Route takes a placed board and returns a new one with its tracks and vias (what it had before is replaced); parts
// never move. Lengths are geom.Nm in the panel frame, seen from the front. Tracks run at multiples of 45 degrees and
// end exactly at pad centres, vias, or points of other tracks of their net.
//
// Method: searches on a two-sided lattice whose room comes from exact distances (grid.go, search.go), nets that grow
// as trees (tree.go) and settle their quarrels by negotiation (negotiate.go), then a clean-up on exact geometry in
// which every move keeps every clearance (run.go, tidy.go), and a last proof (finish.go). The run from IN to OUT
// carries the chain's current and gets its width from IPC-2221; where room is short tracks get narrower, never below
// what their current or the rules need.
//
// A net that cannot be joined stays open and is the error route-open-net. Route never returns a short. It can be stopped
// within milliseconds.
package route

// For maintainers. The lattice is only where ways are found: everything that counts (clearance, angles, lengths) is
// settled afterwards in whole nanometres, so a coarser lattice costs quality in tight places, not correctness.
// Widths are handled without a lattice for each: a node stores how much room it has (cell), and for each width in use
// how many nets' copper a track of that width would touch there (router.occ). All prices are whole micrometres, so
// that no rounding differs between machines.

import (
	"context"

	"lampblack/board"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
	"lampblack/panel/work"
)

// Options tunes Route. The zero value is what a build uses.
type Options struct {
	Pitch      geom.Nm // of the search lattice; 0 chooses it by the board's size
	Iterations int     // most rounds of negotiation; 0 is usualRounds
}

// Figures are the router's figures of merit.
type Figures struct {
	Nets        int // with two pins or more
	Connections int // pins less nets: how many joints the nets need
	Unrouted    int // of these, how many are still missing

	TrackMM       float64 // all tracks
	SignalMM      float64 // tracks within the strings
	SupplyMM      float64 // tracks of supply and 0 V
	BoundMM       float64 // Euclidean minimum spanning trees of all nets, summed
	SignalBoundMM float64 // the same over the nets within the strings
	Ratio         float64 // TrackMM / BoundMM, 0 without nets
	SignalRatio   float64 // SignalMM / SignalBoundMM

	Vias       int
	SignalVias int     // vias within the strings
	Share45    float64 // share of the track length that runs at a multiple of 45 degrees
	Iterations int     // rounds of negotiation
	Pitch      geom.Nm // of the lattice used
	Open       []Open  // the joints that are missing, as findings tell them
	Work       int     // lattice nodes visited, and painted ones by what they cost beside
}

// Route joins the pads of every net of b. When ctx is done it returns at once, and what it returns means nothing.
func Route(ctx context.Context, b board.Board, opt Options) (board.Board, Figures, diag.List) {
	var f Figures
	var l diag.List
	b.Tracks, b.Vias = nil, nil
	if len(b.Outline) < 2 || b.Outline.Area() == 0 {
		l.Add(diag.Error, "route-no-board", "there is no board to route on").
			Of(b.Name).Fix("draw the outline of the panel, or a board on layer BOARD")
		return b, f, l
	}
	if b.Laminate.Copper <= 0 {
		panic("board/route: tracks of no thickness carry nothing")
	}
	if opt.Iterations <= 0 {
		opt.Iterations = usualRounds
	}
	work.Until(ctx, func(w *work.Watch) {
		r := newRouter(w, b, opt)
		r.negotiate(opt.Iterations)
		whole := r.open() == 0 // what is open now stays so: its copper is not worth making better
		if whole {
			r.refine()
			r.spare()
			r.refine()
		}
		lay := r.layOut()
		if whole {
			lay.tidy(3)
			lay.widen()
		}
		lay.prove()
		w.Look()
		f.Iterations, f.Pitch, f.Work = r.rounds, r.g.pitch, r.steps()
		lay.write(&b, &f, r.nets)
		w.Look()
		l = r.report(lay, &f)
	})
	return b, f, l
}
