package height

import (
	"fmt"

	"lampblack/board/fasten"
	"lampblack/panel/geom"
)

// metal is what a screw of some thread looks like beside what fasten knows of it.
type metal struct {
	thread              string
	d, high, flats, rim geom.Nm // of its shank; of its head; of its nut; across its washer
}

// metals returns what screws look like: heads of ISO 7045, washers of ISO 7089 (the project's list of published check values, section
// 15), nuts of ISO 4032 from memory. Spacers are as wide as the nut: common practice.
func metals() []metal {
	um := func(n int) geom.Nm { return geom.Nm(n) * geom.Micrometre }
	return []metal{
		{"M1.6", um(1600), um(1300), um(3200), um(4000)},
		{"M2", um(2000), um(1600), um(4000), um(5000)},
		{"M2.5", um(2500), um(2100), um(5000), um(6000)},
		{"M3", um(3000), um(2400), um(5500), um(7000)},
		{"M4", um(4000), um(3100), um(7000), um(9000)},
		{"M5", um(5000), um(3700), um(8000), um(10000)},
		{"M6", um(6000), um(4600), um(10000), um(12000)},
		{"M8", um(8000), um(6000), um(13000), um(16000)},
	}
}

// hardware returns what is known of a thread.
func hardware(name string) (metal, fasten.Thread, bool) {
	for i, m := range metals() {
		if t := fasten.Threads(); m.thread == name && i < len(t) && t[i].Name == name {
			return m, t[i], true
		}
	}
	return metal{}, fasten.Thread{}, false
}

// OfMount returns what goes into a mount: a screw with its head on the face, spacers, washer and nut.
func (in In) OfMount(m fasten.Mount) []Piece {
	k, t, ok := hardware(m.Thread)
	if !ok {
		return nil
	}
	name := m.Thread + " rod"
	if m.Screw > 0 {
		name = fmt.Sprintf("%s x %d", m.Thread, m.Screw/geom.Millimetre)
	}
	var out []Piece
	round := func(what string, d, from, to geom.Nm) {
		if to > from {
			out = append(out, Piece{Screw, what, name, "", m.Board, geom.Circle(m.At, d), from, to})
		}
	}
	back := m.Screw - m.Out
	if m.Screw == 0 { // longer than any
		_, back = in.lastOf(m)
		m.Screw = back + t.Washer + t.Nut + 2*t.Pitch
	}
	s := in.Stack
	round(Head, t.Head, -k.high, 0)
	round(Shank, k.d, 0, m.Screw)
	round(Spacer, k.flats, s.Face+s.Diffuser, s.Face+s.Diffuser+m.Front)
	led := s.Face + s.Diffuser + s.Gap + s.Sheet + s.Plate
	round(Spacer, k.flats, led, led+m.Rear)
	round(Washer, k.rim, back, back+t.Washer)
	round(Nut, k.flats, back+t.Washer, back+t.Washer+t.Nut)
	return out
}

// lastOf returns the depths of the last thing that a mount holds.
func (in In) lastOf(m fasten.Mount) (front, back geom.Nm) {
	for _, b := range in.Boards {
		if b.Name == m.Board {
			return in.Span(b)
		}
	}
	s := in.Stack
	back = s.Face + s.Diffuser + s.Gap + s.Sheet + s.Plate
	return back, back
}
