package legend

import (
	"lampblack/board"
	"lampblack/panel/geom"
)

// Heights of capitals. Silkscreen is legible from 1 mm on (common practice); what is taller than asked is our taste.
const (
	smallest   = geom.Millimetre       // the least of a word
	signSize   = 900 * geom.Micrometre // a sign that stands alone is known by its shape
	smallSign  = signSize * 3 / 4      // where a sign finds no room
	belowTitle = 2 * geom.Millimetre   // the most of what stands below a title's first line
	mostRows   = 600 * geom.Micrometre // the widest line of a title
	titleShare = 12                    // so often the name's height goes into the board's smaller side
)

// Distances.
const (
	nearPin   = 8 * geom.Millimetre   // from a pin's middle to its name at most: beyond the body of a large terminal block
	clearPin  = geom.Millimetre / 5   // nearer to its own pin than to any other by this, or it could be the other's
	fromTitle = 3 * geom.Millimetre   // from the title to a hint, lest the two be read as one line
	leastBit  = 250 * geom.Micrometre // shorter bits of a line that was cut mean nothing
	wellApart = 500 * geom.Micrometre // from a word's ends to other ink: twice the gap between two letters of 1 mm
)

// leastShape is the share of a mark's line that must be printed for it still to be what it is: a bit cut clear of a pad leaves a
// circle a circle.
const leastShape = 0.8

// nearby are the gaps at which text is tried beside its part, from beside it to as far as it is still taken for its own. The
// negative ones are for corners, where a round body leaves room in its box.
var nearby = [...]geom.Nm{400_000, 600_000, 900_000, 1_400_000, 2_000_000, 2_800_000, -500_000, -1_000_000, -1_500_000}

const (
	closest = 2 // so many of them are near enough to take a side before a corner
	inRow   = 5 // so many keep a row of names with its connector
)

// roleSizes are the heights in which IN and OUT are tried: what one looks for first is larger than a reference, by half or so.
func roleSizes(r board.Rules) []geom.Nm {
	h := r.LegendText
	return []geom.Nm{h * 5 / 3, h * 4 / 3, h, smallest}
}

// refSizes are those of references, which are many.
func refSizes(r board.Rules) []geom.Nm {
	h := r.LegendText
	return []geom.Nm{h, max(smallest, h*11/12), smallest}
}

// pinSizes are those of the names in a connector's row.
func pinSizes(r board.Rules) []geom.Nm {
	h := r.LegendText
	return []geom.Nm{h * 5 / 4, h, smallest}
}

// hintSize is the most of a hint.
func hintSize(r board.Rules) geom.Nm { return r.LegendText * 4 / 3 }

// blocks are the sizes in which a title is tried, each with how far it stands from other ink: by a third of its height where it
// can, since a title is no neighbour of the small texts.
var blocks = [...]struct{ high, apart geom.Nm }{
	{6_000_000, 2_000_000}, {5_000_000, 1_700_000}, {4_000_000, 1_400_000}, {3_500_000, 1_200_000}, {3_000_000, 1_000_000},
	{2_500_000, 1_000_000}, {2_200_000, 1_000_000}, {2_000_000, 1_000_000}, {1_800_000, 800_000}, {1_600_000, 800_000},
	{1_400_000, 800_000}, {1_200_000, 800_000}, {1_000_000, 800_000}, {1_200_000, 500_000}, {1_000_000, 500_000}, {1_000_000, 300_000},
}
