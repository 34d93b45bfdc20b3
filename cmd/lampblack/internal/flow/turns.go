package flow

import (
	"context"
	"strings"

	"lampblack/board"
	"lampblack/board/place"
	"lampblack/panel/diag"
)

// placedAsWished places a board's parts. That all LEDs stand one way must cost no board: where there is no place so, each is turned
// as it suits.
func placedAsWished(ctx context.Context, in placeIn) placeOut {
	b, f, l := place.Place(ctx, in.Shaped.Value.Board, in.Panel, in.Wiring, in.Wish)
	if l.HasErrors() && in.Wish.KeepTurn && ctx.Err() == nil {
		free := in.Wish
		free.KeepTurn = false
		if b, f, m := place.Place(ctx, in.Shaped.Value.Board, in.Panel, in.Wiring, free); !m.HasErrors() {
			return placeOut{says{m}, b, f}
		}
	}
	return placeOut{says{l}, b, f}
}

// turned tells which LEDs of a board stand another way round than most, although all were to stand one way.
func turned(in placeIn, b board.Board) diag.List {
	var l diag.List
	odd, mixed := b.Odd()
	if !in.Wish.KeepTurn || len(odd) == 0 && !mixed {
		return l
	}
	keys := []string{diag.PanelKey(in.Panel.Name, "keep_turn"), "defaults.keep_turn"}
	if mixed {
		l.Add(diag.Note, "place-turned", "the LEDs found no room all one way round: they stand as their tracks want it").About(keys...).
			Fix("look at the plus beside each when they are put in, or give them more room")
		return l
	}
	verb := "stands"
	if len(odd) > 1 {
		verb = "stand"
	}
	at := b.Parts[odd[0]].At
	l.Add(diag.Note, "place-turned", "%s %s another way round than the other LEDs, for want of room", strings.Join(b.OddRefs(), ", "), verb).About(keys...).
		At(at.X.MM(), at.Y.MM()).Fix("mind the flat side when putting in, or give more room; board and assembly sheet mark them with %s", board.OddMark)
	return l
}
