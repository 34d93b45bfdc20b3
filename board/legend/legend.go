package legend

import "lampblack/board"

// Options are the words on the board. Empty ones are left out.
type Options struct {
	Name     string // of the board
	Revision string // "A"
	Supply   string // "12 V DC"
	Date     string // as it is to be printed
}

// Draw returns the board with its silkscreen.
func Draw(b board.Board, opt Options) board.Board {
	return b
}
