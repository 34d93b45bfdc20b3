// Package fasten chooses the screw, the spacers and the nut of each mount from the thicknesses of what it holds together.
//
// A screw goes in from the front, with its head on the face, through face, diffuser, a spacer as long as the gap, the LED sheet,
// where there is one the plate that carries the controls, and, where the board reaches so far, a second spacer and the board; behind it
// come washer and nut. The second spacer is so long that the tallest LED, which stands on the board, has its tip where the stack wants
// it, within slack; spacers are sold in whole millimetres (common practice), and an LED with leads that is then too deep is soldered as
// much higher.
//
// Sheets are not as thick as they are called. A screw is long enough for the thickest that all of them together may come out; Adjust tells
// what to do about LEDs' tips once the LED sheet is there.
package fasten

import (
	"math"
	"slices"

	"lampblack/board"
	"lampblack/panel"
	"lampblack/panel/geom"
	"lampblack/panel/material"
)

// Stack is what lies on a screw, from the front; thicknesses and distances.
type Stack struct {
	Face, Diffuser, Gap, Sheet geom.Nm
	Sunk                       geom.Nm // the LEDs' tips below the LED sheet's front; negative: they stand out
	Told                       geom.Nm // from LED sheet to board, as the builder has it; 0: as the LEDs want it
	Plate                      geom.Nm // right behind the LED sheet, where there is one: within Told
	Drilled                    bool    // a spacer sheet keeps the board so far off, in place of spacers
	Framed                     bool    // a frame fills the gap at each mount, in place of spacers there

	Thick material.Sheets // how thick the sheets may come out; those that are not told are as above
}

// Mount is a hole of the panel and what goes into it. Lengths are 0 where there is none.
type Mount struct {
	At     geom.Pt
	D      geom.Nm // of the hole; of a slot its width
	Board  string  // that it holds; empty: the sheets alone
	Thread string  // empty: no screw fits, and nothing else is told

	Front geom.Nm // spacer between diffuser and LED sheet
	Rear  geom.Nm // spacer between LED sheet and board
	Above geom.Nm // of the tallest LEDs with leads over the board: Rise
	Screw geom.Nm // under its head; 0: longer than any
	Rod   bool    // longer than pan head screws are: ISO 7045
	Slot  geom.Nm // length of the longest slot that a sheet has for it; 0: all have round holes, or what is drawn
	Out   geom.Nm // how far it stands out behind what it holds, with all sheets as they are called

	// How far it stands out with all sheets as thick and as thin as they may be; Likely: with deviations by the root of their squares.
	OutWorst, OutLikely material.Range
}

// slack is by how much LEDs of one kind differ in height at least: 3 mm lamps are 5.3 to 6.1 high by their data sheets.
const slack = 250 * geom.Micrometre

// joint is what solder and ends of leads take in front of the board, at most (common practice).
const joint = 1500 * geom.Micrometre

// Rise tells how a board stands behind the LED sheet, and how its LEDs come to where the stack has their tips.
type Rise struct {
	Distance geom.Nm // of the board from the LED sheet
	Above    geom.Nm // of the tallest LEDs with leads over the board: they are soldered so much higher than flush
	Proud    geom.Nm // the tallest LEDs' tips stand so much farther forward than the stack has them
	Deep     geom.Nm // the tops of the lowest LEDs without leads lie so much deeper
}

// RiseOf returns how the board stands.
func RiseOf(b board.Board, s Stack) Rise {
	var tall, leaded, low geom.Nm
	for _, p := range b.Parts {
		switch {
		case p.Kind != board.LED:
			continue
		case p.Pads[0].Through:
			leaded = max(leaded, p.Height)
		case low == 0 || p.Height < low:
			low = p.Height
		}
		tall = max(tall, p.Height)
	}
	tip := s.Sheet - s.Sunk // in front of the sheet's back
	r := Rise{Distance: s.Told}
	if r.Distance == 0 {
		least := max(0, tall-tip-slack)
		if s.Plate > 0 {
			least = max(least, s.Plate+joint)
		}
		r.Distance = s.Plate + (least-s.Plate+geom.Millimetre-1)/geom.Millimetre*geom.Millimetre // spacers are whole
	}
	tip += r.Distance
	r.Proud = max(0, tall-tip)
	if leaded > 0 {
		r.Above = max(0, tip-leaded)
	}
	if low > 0 {
		r.Deep = max(0, tip-low)
	}
	return r
}

// Mounts returns what goes into the panel's mounts, then into its mounting slots.
func Mounts(p panel.Panel, boards []board.Board, s Stack) []Mount {
	var out []Mount
	for _, h := range p.Mounts {
		out = append(out, mountAt(h.At, h.D, s, boards, func(b board.Board) bool {
			return slices.ContainsFunc(b.Holes, func(o board.Hole) bool { return o.What == board.MountHole && o.At == h.At })
		}))
	}
	for _, o := range p.Openings {
		if at := o.Box().Centre(); o.Mount {
			out = append(out, mountAt(at, slotWidth(o.Contour), s, boards, func(b board.Board) bool {
				return b.Outline.Ring(geom.FlattenTolerance).Locate(at) == geom.Inside
			}))
		}
	}
	return out
}

// mountAt is the mount at a place; holds tells which board has it.
func mountAt(at geom.Pt, d geom.Nm, s Stack, boards []board.Board, holds func(board.Board) bool) Mount {
	m := Mount{At: at, D: d}
	t, ok := ThreadFor(d)
	if !ok {
		return m
	}
	m.Thread = t.Name
	if !s.Framed {
		m.Front = s.Gap
	}
	held := []material.Range{s.face(), s.diffuser(), spacer(s.Gap), s.sheet(), s.plate()}
	if i := slices.IndexFunc(boards, holds); i >= 0 {
		b := boards[i]
		rise := RiseOf(b, s)
		if m.Board, m.Above = b.Name, rise.Above; !s.Drilled {
			m.Rear = max(0, rise.Distance-s.Plate)
		}
		held = append(held, s.rear(rise), laminate(b.Laminate.Thickness))
	}
	worst, likely := material.Total(held...)
	// Two turns of the thread show behind the nut (common practice), and where all sheets are as thick as they may be it is full of thread.
	m.Screw, ok = screwFor(t.Washer + t.Nut + max(worst.Nominal+2*t.Pitch, worst.Most))
	if ok {
		m.Out = m.Screw - worst.Nominal
		m.OutWorst, m.OutLikely = out(m.Screw, worst), out(m.Screw, likely)
	}
	m.Rod = !ok || m.Screw > t.Longest
	return m
}

// slotWidth is the width of a slot with round ends, by its area A and perimeter P: with the straight length a, A = w a + π w²/4
// and P = 2 a + π w, hence w = (P/2 - √(P²/4 - π A)) 2/π. Of any other shape it is less than its width.
func slotWidth(c geom.Contour) geom.Nm {
	a, p := c.Area(), c.Perimeter()
	root := math.Sqrt(max(0, float64(p*p)/4-float64(math.Pi*a)))
	return geom.MM((p/2 - root) * 2 / math.Pi)
}
