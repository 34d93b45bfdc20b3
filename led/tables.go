package led

import (
	"fmt"

	"lampblack/led/part"
	"lampblack/panel/geom"
)

// Tables are what a person wants to see of a circuit, as plain data in the order it is printed.
type Tables struct {
	Verdict string // one sentence about the supply
	Chains  []ChainTable
	Boards  []BoardTable
}

// ChainTable is one chain, the board nearest the supply first.
type ChainTable struct {
	From     string   // the panel that feeds it; empty: the supply
	Fuse     part.Amp // for the positive wire at the supply; 0 when none fits or nothing is drawn
	Segments []SegmentRow
	Back     *SegmentRow // the further feed to the last board, of a chain fed at both ends
}

// SegmentRow is one board of a chain and the feed that leads to it.
type SegmentRow struct {
	Panel          string
	Wire           string
	Length         geom.Nm
	Amps, Worst    part.Amp  // in the feed segment
	Rated          part.Amp  // of its wire
	Volts, Lost    part.Volt // across the board; lost since the supply
	RelativeLight  float64
	Strings, LEDs  int
	BoardAmps      part.Amp // drawn by the board itself
	ResistorsWatts part.Watt
}

// BoardTable is the strings of one board.
type BoardTable struct {
	Panel   string
	Strings []StringRow
}

// StringRow is one string.
type StringRow struct {
	Name              string // "S3"
	Kind              string
	LEDs              string // "D7-D10"
	Count             int
	Resistor          string // "R3"
	Ohms              part.Ohm
	Tolerance         float64
	Rated, Worst      part.Watt
	Nominal, Min, Max part.Amp
}

// Tables returns the circuit as tables.
func (c Circuit) Tables() Tables {
	t := Tables{Verdict: c.Source.Sentence()}
	at := map[string]int{}
	for i, w := range c.Boards {
		if _, ok := at[w.Panel]; !ok {
			at[w.Panel] = i
		}
		t.Boards = append(t.Boards, w.table())
	}
	for _, chain := range c.Chains {
		ct := ChainTable{From: chain.From, Fuse: chain.Guard.Fuse}
		for _, k := range chain.Links {
			w := c.Boards[at[k.Panel]]
			row := SegmentRow{
				Panel: k.Panel, Wire: k.Feed.Wire, Length: k.Feed.Length, Amps: k.Segment, Worst: k.SegmentWorst, Rated: k.Feed.Rated,
				Volts: k.Volts, Lost: c.Source.Nominal - k.Volts, RelativeLight: k.RelativeLight,
				Strings: len(w.Strings), LEDs: len(w.LEDs),
			}
			for _, s := range w.Strings {
				row.BoardAmps += s.Nominal
				row.ResistorsWatts += w.Resistors[s.Resistor].Ohms.Heat(s.Nominal)
			}
			ct.Segments = append(ct.Segments, row)
		}
		if n := len(ct.Segments); chain.BothEnds && n > 0 {
			last := ct.Segments[n-1]
			ct.Back = &SegmentRow{
				Panel: last.Panel, Wire: chain.Back.Wire, Length: chain.Back.Length, Amps: chain.BackAmps, Worst: chain.BackWorst,
				Rated: chain.Back.Rated, Volts: last.Volts, Lost: last.Lost, RelativeLight: last.RelativeLight,
			}
		}
		t.Chains = append(t.Chains, ct)
	}
	return t
}

func (w Wiring) table() BoardTable {
	t := BoardTable{Panel: w.Panel}
	for i, s := range w.Strings {
		r := w.Resistors[s.Resistor]
		first, last := w.LEDs[s.LEDs[0]], w.LEDs[s.LEDs[len(s.LEDs)-1]]
		leds := first.Ref
		if last.Ref != first.Ref {
			leds += "-" + last.Ref
		}
		t.Strings = append(t.Strings, StringRow{
			Name: fmt.Sprintf("S%d", i+1), Kind: first.Kind.Name, LEDs: leds, Count: len(s.LEDs), Resistor: r.Ref, Ohms: r.Ohms,
			Tolerance: r.Tol, Rated: r.Rated, Worst: s.Worst, Nominal: s.Nominal, Min: s.Min, Max: s.Max,
		})
	}
	return t
}
