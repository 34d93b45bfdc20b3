package check

import (
	"lampblack/board"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
)

// Mountable judges whether the parts of a board are on the sides that they are for: on the LED side is nothing but LEDs, where the sheets
// are. How high things are is package height's matter; parts over the edge, over bodies or in openings are Audit's.
func Mountable(b board.Board) diag.List {
	var l diag.List
	for _, p := range b.Parts {
		x, y := p.At.X.MM(), p.At.Y.MM()
		if p.On == geom.Top && p.Kind != board.LED {
			l.Add(diag.Error, "check-part-on-top", "%s is on the LED side, where the sheets are", p.Ref).
				OfPart(p.Ref).At(x, y).Fix("put it on the bottom")
		}
		if p.On == geom.Bottom && p.Kind == board.LED {
			l.Add(diag.Error, "check-led-below", "%s is on the bottom and shines away from the panel", p.Ref).
				OfPart(p.Ref).At(x, y).Fix("put it on the top")
		}
	}
	return l.Sorted().Capped(most)
}
