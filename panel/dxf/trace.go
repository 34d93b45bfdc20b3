package dxf

import "math"

// traces tell of each entity of a drawing where in the file it comes from, in the drawing's order.
type traces []trace

type trace struct {
	group int        // number of the group that its entity starts with, in the section of entities or in a block
	in    *blockCopy // nil: it lies in no block
	plane plane      // in which the file has it
}

// blockCopy is one copy of a block that an INSERT shows.
type blockCopy struct {
	ins   *item      // the INSERT
	m     affine     // from the block's own frame to the drawing's, its unit included
	base  XY         // of the block
	layer string     // of the INSERT, as it is seen
	in    *blockCopy // that the INSERT itself lies in
}

// alone reports whether the INSERT shows the block in a form that an INSERT by itself can show too, and returns that, in the
// drawing's frame: scales along the block's own axes, and its turn.
func (c *blockCopy) alone(perUnit float64) (sx, sy, turn float64, ok bool) {
	u, v := XY{X: c.m.a, Y: c.m.b}.Times(1/perUnit), XY{X: c.m.c, Y: c.m.d}.Times(1/perUnit)
	sx, sy = u.Len(), v.Len()
	if !(sx > 0) || !(sy > 0) || math.Abs(u.Dot(v)) > 1e-9*sx*sy || len(c.ins.ins.attribs) > 0 {
		return 0, 0, 0, false
	}
	if c.m.det() < 0 {
		sy = -sy
	}
	return sx, sy, math.Atan2(u.Y, u.X), true
}

// within returns the outermost of the copies that c lies in, itself included, for which is holds; nil if there is none.
func (c *blockCopy) within(is func(*blockCopy) bool) *blockCopy {
	var found *blockCopy
	for ; c != nil; c = c.in {
		if is(c) {
			found = c
		}
	}
	return found
}
