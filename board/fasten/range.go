package fasten

import (
	"lampblack/board"
	"lampblack/panel/geom"
	"lampblack/panel/material"
)

// Turned spacers are within a tenth of their length as it is called, laminates within a tenth of their thickness: common practice.
const turned = 100 * geom.Micrometre

func spacer(d geom.Nm) material.Range {
	if d <= 0 {
		return material.Range{}
	}
	return material.Within(d, turned)
}

func laminate(d geom.Nm) material.Range { return material.Within(d, d/10) }

// out is how far a screw stands out behind what it holds.
func out(screw geom.Nm, grip material.Range) material.Range {
	return material.Range{Least: screw - grip.Most, Nominal: screw - grip.Nominal, Most: screw - grip.Least}
}

// as returns what a sheet comes out as; one that nobody told of is as thick as it is called.
func as(s material.Sheet, called geom.Nm) material.Range {
	if s.Sold == 0 {
		return material.Exactly(called)
	}
	return s.Range
}

func (s Stack) face() material.Range     { return as(s.Thick.Face, s.Face) }
func (s Stack) diffuser() material.Range { return as(s.Thick.Diffuser, s.Diffuser) }
func (s Stack) sheet() material.Range    { return as(s.Thick.LED, s.Sheet) }
func (s Stack) plate() material.Range    { return as(s.Thick.Plate, s.Plate) }

// rear is the range of what keeps a board off the LED sheet, or off the plate: a spacer, or a sheet, which is cast for all that is
// known.
func (s Stack) rear(r Rise) material.Range {
	d := max(0, r.Distance-s.Plate)
	if s.Drilled {
		return material.Cast.Thickness(d)
	}
	return spacer(d)
}

// Adjustment is what to do about a board's LEDs once the LED sheet is there and measured.
type Adjustment struct {
	Board   string
	Tips    material.Range // of its tallest LEDs below the LED sheet's front, while all are soldered equally high
	Washer  geom.Nm        // thickness of the washers below
	Thread  string         // that they are for
	Washers []Step         // between the LED sheet, or the plate, and what keeps the board off it
	Leaded  bool           // LEDs have leads: for a thick sheet they are soldered higher
}

// Step is so many washers for an LED sheet that is thinner than Below.
type Step struct {
	Below geom.Nm
	Count int
}

// Adjust tells how a board's LEDs come to where the stack has them, over the whole range of what they stand in. The board is held by
// screws of the thread.
func Adjust(b board.Board, s Stack, t Thread) Adjustment {
	r := RiseOf(b, s)
	thick, _ := material.Total(s.sheet(), s.plate(), s.rear(r))
	a := Adjustment{Board: b.Name, Washer: t.Washer, Thread: t.Name}
	at := s.Sunk - r.Proud
	a.Tips = material.Range{Least: at - thick.Thin(), Nominal: at, Most: at + thick.Thick()}
	for _, p := range b.Parts {
		a.Leaded = a.Leaded || p.Kind == board.LED && len(p.Pads) > 0 && p.Pads[0].Through
	}
	if t.Washer == 0 {
		return a
	}
	// LEDs that stand above the board can come as much nearer to it, and by less than they differ nothing need be done.
	sheet := s.sheet()
	for below := sheet.Nominal - r.Above + r.Proud - slack; below > sheet.Least; below -= t.Washer {
		a.Washers = append(a.Washers, Step{below, len(a.Washers) + 1})
	}
	return a
}

// ThreadOf returns the thread that holds a board, the zero Thread where nothing does.
func ThreadOf(b string, mounts []Mount) Thread {
	for _, m := range mounts {
		for _, t := range Threads() {
			if m.Board == b && t.Name == m.Thread {
				return t
			}
		}
	}
	return Thread{}
}

// Part is something between the face's front and a board's back: how thick it may be, and what sheet it is of whose thickness somebody could
// measure and did not.
type Part struct {
	material.Range
	Unmeasured string // its name; empty: it is none, or it was measured
}

// Parts are what lies before a board, from the front, and the board.
func (s Stack) Parts(r Rise, board geom.Nm) []Part {
	of := func(g material.Range, name string, one material.Sheet) Part {
		if one.Sold == 0 || one.Measured {
			name = ""
		}
		return Part{g, name}
	}
	t := s.Thick
	return []Part{
		of(s.face(), "face", t.Face), of(s.diffuser(), "diffuser", t.Diffuser), {Range: spacer(s.Gap)}, of(s.sheet(), "LED sheet", t.LED), of(s.plate(), "plate", t.Plate),
		{Range: s.rear(r)}, {Range: laminate(board)},
	}
}

// Room returns how much is free in front of a board, up to the LED sheet or the plate, and beyond the plate up to the LED sheet. Spacers
// count as exact: parts differ by more.
func (s Stack) Room(r Rise) (room, beyond material.Range) {
	room = material.Exactly(max(0, r.Distance-s.Plate))
	if s.Drilled {
		room = s.rear(r)
	}
	_, beyond = material.Total(room, s.plate())
	return room, beyond
}
