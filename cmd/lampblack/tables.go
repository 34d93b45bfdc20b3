package main

import (
	"fmt"
	"io"
	"strconv"
	"strings"

	"lampblack/cmd/lampblack/internal/flow"
	"lampblack/cmd/lampblack/internal/term"
	"lampblack/export/result"
	"lampblack/led"
	"lampblack/led/part"
)

// consoleTables are the panels as drawn, the chain and the supply.
func consoleTables(w io.Writer, o flow.Outcome) {
	t := term.Table{Title: "Panels", Head: []string{"<panel", "<drawing", "width mm", "height mm", "LEDs", "mounts", "openings", "bodies", "words"}}
	for _, p := range o.Result.Panels {
		t.Add(p.Name, p.Drawing, mm(p.BBox[2]-p.BBox[0], 2), mm(p.BBox[3]-p.BBox[1], 2),
			len(p.Holes.LED), len(p.Holes.Mount), len(p.Openings), len(p.Bodies), len(p.Lettering))
	}
	t.Write(w)
	for i, c := range o.Circuit.Chains {
		chainTable(w, o, i, c)
	}
	if r := o.Result.Supply; r != nil {
		t := term.Table{Title: "Supply", Head: []string{"volts", "rated A", "boards A", "boards at worst A", "others A", "all at worst A", "<verdict"}}
		t.Add(volts(*r), number(r.RatedA), fixed(r.TypicalA, 3), fixed(r.WorstA, 3), fixed(r.OtherA, 3), fixed(r.DemandA, 3), r.Verdict)
		t.Write(w)
		if b := r.Battery; b != nil {
			t := term.Table{Title: "Battery", Head: []string{"<chemistry", "cells", "Ah", "light full %", "on the charger %", "empty %", "hours to plan with", "hours by its label"}}
			t.Add(b.Chemistry, b.Cells, number(b.CapacityAh), fixed(100*b.LightFull, 0), fixed(100*b.LightCharging, 0), fixed(100*b.LightEmpty, 0), fixed(b.PlanHours, 1), fixed(b.Hours, 1))
			t.Write(w)
		}
	}
}

// chainTable is one chain, piece of feed by piece.
func chainTable(w io.Writer, o flow.Outcome, i int, c led.Chain) {
	title := "Chain, from the supply on"
	if len(o.Circuit.Chains) > 1 {
		title = fmt.Sprintf("Chain %d, from the supply on", i+1)
	}
	if c.From != "" {
		title = fmt.Sprintf("Chain %d, from panel %s on", i+1, c.From)
	}
	if c.BothEnds {
		title += ", fed at both ends"
	}
	t := term.Table{Title: title, Head: []string{"<panel", "<wire", "feed mm", "feed A", "at worst A", "wire stands A", "volts at board", "LED current % of asked"}}
	for _, k := range c.Links {
		t.Add(k.Panel, k.Feed.Wire, mm(k.Feed.Length.MM(), 0), amps(k.Segment), amps(k.SegmentWorst), number(float64(k.Feed.Rated)),
			fixed(float64(k.Volts), 3), fixed(100*k.OfAsked, 0))
	}
	if c.BothEnds {
		t.Add("(back to the start)", c.Back.Wire, mm(c.Back.Length.MM(), 0), amps(c.BackAmps), amps(c.BackWorst), number(float64(c.Back.Rated)), "", "")
	}
	t.Write(w)
}

// volts is the supply's voltage, or its window.
func volts(r result.Supply) string {
	if r.Volts.Min != r.Volts.Max {
		return number(r.Volts.Min) + " .. " + number(r.Volts.Max)
	}
	return number(r.Volts.Nominal)
}

// boardTables are the finished boards.
func boardTables(w io.Writer, o flow.Outcome) {
	t := term.Table{Title: "Boards", Head: []string{"<panel", "width mm", "height mm", "strings", "nets", "joints", "open", "track mm", "hops/least", "vias", "least gap mm", "+ mohm", "0 V mohm", "light min/mean", "<state"}}
	for i, p := range o.Result.Panels {
		b := p.Board
		if b == nil {
			t.Add(p.Name, "", "", len(p.Strings), "", "", "", "", "", "", "", "", "", "", "stopped: "+p.Stopped)
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
		hops, plus, minus := "", "", ""
		if b.Hops.Ratio > 0 {
			hops = fixed(b.Hops.Ratio, 2)
		}
		if c := b.Through; c != nil {
			plus, minus = fixed(1e3*c.PlusOhms, 1), fixed(1e3*c.MinusOhms, 1)
		}
		gap := mm(b.MinClearance, 2)
		if o.Built[i].Figures.MinClearance == 0 {
			gap = ""
		}
		t.Add(p.Name, mm(b.Width, 2), mm(b.Height, 2), len(p.Strings), b.Nets, b.Connections, b.Unrouted, mm(b.TrackMM, 0), hops, b.Vias, gap, plus, minus, light, state)
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
