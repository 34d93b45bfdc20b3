package main

import (
	"fmt"
	"io"
	"strconv"
	"strings"

	"lampblack/cmd/lampblack/internal/flow"
	"lampblack/cmd/lampblack/internal/term"
	"lampblack/led/part"
)

// consoleTables are the panels as drawn, the chain and the supply.
func consoleTables(w io.Writer, o flow.Outcome) {
	t := term.Table{Title: "Panels", Head: []string{"<panel", "<drawing", "width mm", "height mm", "LEDs", "mounts", "openings", "bodies", "words"}}
	for _, p := range o.Result.Panels {
		t.Add(p.Name, p.Drawing, mm(p.BBox[2]-p.BBox[0], 1), mm(p.BBox[3]-p.BBox[1], 1),
			len(p.Holes.LED), len(p.Holes.Mount), len(p.Openings), len(p.Bodies), len(p.Lettering))
	}
	t.Write(w)
	for i, c := range o.Circuit.Chains {
		title := "Chain, from the supply on"
		if len(o.Circuit.Chains) > 1 {
			title = fmt.Sprintf("Chain %d, from the supply on", i+1)
		}
		t := term.Table{Title: title, Head: []string{"<panel", "<wire", "feed mm", "feed A", "at worst A", "volts at board", "light %"}}
		for _, k := range c.Links {
			t.Add(k.Panel, k.Feed.Wire, mm(k.Feed.Length.MM(), 0), amps(k.Segment), amps(k.SegmentWorst),
				strconv.FormatFloat(float64(k.Volts), 'f', 3, 64), strconv.FormatFloat(100*k.RelativeLight, 'f', 0, 64))
		}
		t.Write(w)
	}
	if r := o.Result.Supply; r != nil {
		t := term.Table{Title: "Supply", Head: []string{"volts", "rated A", "boards A", "boards at worst A", "others A", "<verdict"}}
		volts := number(r.Volts.Nominal)
		if r.Volts.Min != r.Volts.Max {
			volts = number(r.Volts.Min) + " .. " + number(r.Volts.Max)
		}
		t.Add(volts, number(r.RatedA), fixed(r.TypicalA, 3), fixed(r.WorstA, 3), fixed(r.OtherA, 3), r.Verdict)
		t.Write(w)
	}
}

// boardTables are the finished boards.
func boardTables(w io.Writer, o flow.Outcome) {
	t := term.Table{Title: "Boards", Head: []string{"<panel", "width mm", "height mm", "strings", "nets", "joints", "open", "track mm", "vias", "least gap mm", "light min/mean", "<state"}}
	for i, p := range o.Result.Panels {
		b := p.Board
		if b == nil {
			t.Add(p.Name, "", "", len(p.Strings), "", "", "", "", "", "", "", "stopped: "+p.Stopped)
			continue
		}
		state := "proven"
		if p.Stopped != "" {
			state = "stopped: " + p.Stopped
		}
		light := ""
		if p.Light != nil {
			light = fixed(p.Light.MinToMean, 2)
		}
		gap := mm(b.MinClearance, 2)
		if o.Built[i].Figures.MinClearance == 0 {
			gap = ""
		}
		t.Add(p.Name, mm(b.Width, 1), mm(b.Height, 1), len(p.Strings), b.Nets, b.Connections, b.Unrouted, mm(b.TrackMM, 0), b.Vias, gap, light, state)
	}
	t.Write(w)
}

// stringTables are each board's strings.
func stringTables(w io.Writer, o flow.Outcome) {
	for _, p := range o.Result.Panels {
		t := term.Table{Title: "Strings of " + p.Name, Head: []string{"<resistor", "ohm", "rated W", "at worst W", "LEDs", "current mA", "least mA", "most mA", "<which"}}
		for _, s := range p.Strings {
			t.Add(s.Resistor, number(s.Ohms), number(s.RatedW), fixed(s.WorstW, 3), len(s.LEDs), fixed(1e3*s.TypicalA, 2), fixed(1e3*s.MinA, 2), fixed(1e3*s.MaxA, 2), strings.Join(s.LEDs, " "))
		}
		t.Write(w)
	}
}

func mm(v float64, k int) string { return fixed(v, k) }

func fixed(v float64, k int) string { return strconv.FormatFloat(v, 'f', k, 64) }

func number(v float64) string { return strconv.FormatFloat(v, 'g', 6, 64) }

func amps(i part.Amp) string { return fixed(float64(i), 3) }
