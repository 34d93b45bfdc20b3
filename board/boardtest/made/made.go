// Package made gives tests a board as the stages make it, from the edge to the silkscreen.
//
// It stands apart from boardtest because the stages' own tests use boardtest, and this imports the stages.
package made

import (
	"context"

	"lampblack/board"
	"lampblack/board/bare"
	"lampblack/board/boardtest"
	"lampblack/board/fill"
	"lampblack/board/legend"
	"lampblack/board/place"
	"lampblack/board/route"
	"lampblack/board/shape"
	"lampblack/led"
	"lampblack/panel"
	"lampblack/panel/diag"
)

// Board returns the board of boardtest's panel of that seed with n LEDs. Where a stage refuses the panel, the findings have
// errors and the board is as that stage left it.
func Board(seed uint64, n int) (board.Board, led.Wiring, diag.List) {
	p := boardtest.Panel(seed, n)
	w := boardtest.Wiring(p)
	b, l := Of(p, w)
	return b, w, l
}

// Of returns the board of a panel with that wiring.
func Of(p panel.Panel, w led.Wiring) (board.Board, diag.List) {
	ctx := context.Background()
	b, l := shape.Derive(p, led.Wiring{}, board.UsualRules(), board.FloorsOf(board.UsualRules(), nil), board.UsualLaminate())
	if l.HasErrors() {
		return b, l
	}
	if b, _, l = place.Place(ctx, b, p, w, place.Options{}); l.HasErrors() {
		return b, l
	}
	if b, _, l = route.Route(ctx, b, route.Options{}); l.HasErrors() {
		return b, l
	}
	b = bare.TestPoints(ctx, b, w.Probes())
	b, _, l = fill.Fill(ctx, b, fill.Usual())
	b, _ = legend.Print(ctx, b, legend.Options{Name: p.Name, Revision: "A", Supply: "12 V DC"})
	return b, l
}
