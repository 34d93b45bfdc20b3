package shape

import (
	"math"

	"lampblack/board"
	"lampblack/panel/geom"
)

// mostMoves bounds for how many LEDs a move is looked for.
const mostMoves = 30

// way returns the shortest move after which the LED has its room on the area, at least missing long; ok is false where none
// of those that are tried will do.
func (s lamp) way(area geom.Region, at geom.Pt, need, missing float64) (board.Move, bool) {
	return board.Moves(geom.Nm(math.Ceil(missing)), func(m board.Move) bool {
		q := at.Add(geom.Vec(m))
		if area.Locate(q) != geom.Inside {
			return false
		}
		for _, turn := range board.Turns() {
			if s.room(area, q, turn) >= need {
				return true
			}
		}
		return false
	})
}

// moveOf returns the move of a vector in nanometres.
func moveOf(x, y float64) board.Move {
	return board.Move{X: geom.Nm(math.Round(x)), Y: geom.Nm(math.Round(y))}
}
