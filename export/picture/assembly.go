package picture

import "lampblack/board"

// Assembly returns the drawing to solder by.
func Assembly(b board.Board) []byte { return nil }
