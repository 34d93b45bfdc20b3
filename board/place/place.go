package place

import (
	"lampblack/board"
	"lampblack/led"
	"lampblack/panel"
	"lampblack/panel/diag"
)

// Place puts all parts on the board.
func Place(b board.Board, p panel.Panel, w led.Wiring, opt Options) (board.Board, Figures, diag.List) {
	b.Nets = w.Nets
	return b, Figures{}, nil
}
