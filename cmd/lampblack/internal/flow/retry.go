package flow

import (
	"context"

	"lampblack/board/place"
	"lampblack/board/route"
	"lampblack/led"
	"lampblack/panel/diag"
)

// attempt is another way to lay out a board.
type attempt struct {
	what   string // in a builder's words
	wiring led.Wiring
	wish   place.Options

	reversed bool // wiring's strings run the other way round
}

// attempts returns the other ways worth trying when tracks find no room, the least odd first.
func attempts(w led.Wiring, wish place.Options) []attempt {
	turned, upright, swapped := wish, wish, wish
	turned.KeepTurn = !wish.KeepTurn
	upright.In, upright.Out = place.Bottom, place.Top
	swapped.In, swapped.Out = place.Right, place.Left
	what := "all LEDs turned one way"
	if wish.KeepTurn {
		what = "each LED turned as its tracks want it, not all one way"
	}
	out := []attempt{
		{what, w, turned, false},
		{"the strings run the other way round", w.Reversed(), wish, true},
	}
	if wish.ToldIn.Set() && wish.ToldOut.Set() {
		return out // connectors stay where they are told
	}
	return append(out,
		attempt{"IN at the bottom edge and OUT at the top", w, upright, false},
		attempt{"IN at the right edge and OUT at the left", w, swapped, false})
}

// tryOthers lays the board out in other ways until one is complete, and tells which; failed is what the first way came
// to, and stands when none is.
//
// No further way is begun once all together have done as much work as the board's size allows one, with less room than at first
// half of that: such a board is hopeless, and whoever waits for it should be told so soon.
func tryOthers(ctx context.Context, in routeIn, failed routeOut) routeOut {
	pins := 0
	failed.Board.Pads(func(int, int) bool { pins++; return true })
	left := route.Budget(pins)
	if in.Again {
		left /= 2
	}
	if !in.Wish.KeepTurn { // that all LEDs stand one way must cost no board: it takes nothing from the other ways
		left -= failed.Routed.Work
	}
	for _, a := range attempts(in.Wiring, in.Wish) {
		if left <= 0 {
			break
		}
		placed, figures, l := place.Place(ctx, in.Shaped.Value.Board, in.Panel, a.wiring, a.wish)
		if l.HasErrors() {
			continue
		}
		routed, tracks, more := route.Route(ctx, placed, route.Options{})
		left -= tracks.Work
		if l = append(l, more...); l.HasErrors() {
			continue
		}
		l.Add(diag.Note, "route-second-try", "the tracks only found room with %s", a.what).
			Of(in.Panel.Name).Fix("look at the board whether you like it so; more room round the LEDs leaves more choice")
		return routeOut{says{l}, routed, figures, tracks, a.reversed, true}
	}
	return failed
}
