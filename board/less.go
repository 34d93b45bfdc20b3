package board

import "lampblack/panel/geom"

// Less is a place where a limit gave way: at an LED, whose pads come nearer to the board's edge than Rules.CopperToEdge, or at a
// mount hole, whose screw has less room than Rules.ScrewClear. Everywhere else, and for all other copper, Rules hold.
type Less struct {
	At    geom.Pt // the middle of the LED or of the mount hole
	Limit Yielding
	Left  geom.Nm
}

// Yielding is which limit gave way.
type Yielding uint8

const (
	EdgeGap   Yielding = iota // Rules.CopperToEdge
	ScrewRoom                 // Rules.ScrewClear
)

// left returns what is left of a limit at a place.
func (b Board) left(limit Yielding, at geom.Pt, usual geom.Nm) geom.Nm {
	for _, q := range b.Less {
		if q.Limit == limit && q.At == at {
			usual = min(usual, q.Left)
		}
	}
	return usual
}

// HoleClear returns how far copper stays from the edge of an unplated hole: of a mount hole as far as the screw's head needs. A
// head may need no room, the drill still does.
func (b Board) HoleClear(h Hole) geom.Nm {
	if h.What == MountHole {
		return max(b.Rules.CopperToHole, b.ScrewClear(h))
	}
	return b.Rules.CopperToHole
}

// ScrewClear returns the room round a mount hole for its screw.
func (b Board) ScrewClear(h Hole) geom.Nm { return b.left(ScrewRoom, h.At, b.Rules.ScrewClear) }

// EdgeClear returns how far a part's pads stay from the board's edge.
func (b Board) EdgeClear(p Part) geom.Nm {
	if p.Kind != LED {
		return b.Rules.CopperToEdge
	}
	return b.left(EdgeGap, p.At, b.Rules.CopperToEdge)
}

// NearestCopper returns how far all copper stays from the board's edge, at the least.
func (b Board) NearestCopper() geom.Nm {
	near := b.Rules.CopperToEdge
	for _, q := range b.Less {
		if q.Limit == EdgeGap {
			near = min(near, q.Left)
		}
	}
	return near
}
