package project

import (
	"errors"
	"strconv"
	"strings"

	"lampblack/led/part"
	"lampblack/panel/diag"
)

var errDate = errors.New("a date is written as year-month-day, 2026-11-25, and not before 1980")

// colour is a name for the light of an LED, and how pictures show it.
type colour struct {
	name string
	rgb  [3]uint8
}

func colours() []colour {
	return []colour{
		{"red", [3]uint8{255, 48, 32}},
		{"orange", [3]uint8{255, 120, 20}},
		{"amber", [3]uint8{255, 170, 20}},
		{"yellow", [3]uint8{255, 215, 40}},
		{"green", [3]uint8{70, 220, 90}},
		{"blue", [3]uint8{60, 110, 255}},
		{"white", [3]uint8{245, 248, 255}},
		{"warm-white", [3]uint8{255, 225, 180}},
		{"pink", [3]uint8{255, 130, 180}},
		{"violet", [3]uint8{160, 90, 255}},
	}
}

func colourNames() []string {
	var out []string
	for _, c := range colours() {
		out = append(out, c.name)
	}
	return out
}

func rgb(name string) [3]uint8 {
	for _, c := range colours() {
		if c.name == name {
			return c.rgb
		}
	}
	return [3]uint8{255, 255, 255}
}

// example says how the value of a key is written, for advice.
func example(path string) string {
	key := path[strings.LastIndexByte(path, '.')+1:]
	switch key {
	case "volts":
		return "write volts as 12 V, or as a window: 11.1 V .. 12.6 V"
	case "forward", "forward_min", "forward_max":
		return "write a voltage as 2.1 V"
	case "amps", "connector":
		return "write amperes as 2 A or 600 mA"
	case "capacity":
		return "write a capacity as 7 Ah or 2500 mAh"
	case "cells":
		return "write how many cells are in series: 6"
	case "chemistry":
		return "write chemistry: lead-acid, li-ion or lifepo4"
	case "resistance", "contact":
		return "write a small resistance as 50 mohm or 0.05 ohm"
	case "ohms":
		return "write a resistance as 24 ohm"
	case "watts":
		return "write a power as 6 W"
	case "temperature":
		return "write a temperature as 20 C, or a range: -10 C .. 30 C"
	case "duty", "derating", "change":
		return "write a share as 30 %"
	case "series":
		return "write how many LEDs are in series at most: 3"
	case "boards":
		return "list the panels along the feed: boards: [dome, mount]"
	case "current", "max_current", "at":
		return "write the current of an LED as 8 mA"
	case "wire":
		return "write a wire as 0.5 mm2 or 24 AWG"
	case "tolerance":
		return "write a tolerance as 5 %"
	case "rated":
		return "write a rating as 1/4 W or 0.25 W"
	case "intensity":
		return "write intensity as 800 mcd"
	case "half_angle":
		return "write half of the angle between the directions of half intensity, in degrees: 15"
	case "date":
		return "write a day as 2026-11-25"
	case "transmission":
		return "write the share of the light that the diffuser passes as 45 %"
	case "darkest_word":
		return "write how dark a word may be as a share of the lettering's mean: 33 %"
	case "uneven", "hot_spot":
		return "write how many times brighter a place may be: 2"
	case "beam":
		return "write pairs of degrees off the axis and the share of the light there: [[0, 1], [20, 0.8], [40, 0.2]]"
	case "stands_at":
		return "write where the panel's lower left corner stands in the console, to the right and up: [0 mm, 120 mm]"
	case "tip":
		return "write how far the LEDs' tips lie below the front of the LED sheet as 1 mm, or as -1 mm where they stand out"
	case "keep_turn":
		return "write keep_turn: yes, or leave it out"
	case "space_behind":
		return "write how much room is behind the board: 12 mm"
	case "revision":
		return "write a revision as A or 1.2"
	case "drawing":
		return "name the DXF file, relative to this one: drawing: dome.dxf"
	case "name":
		return "write a name as dome or dome-left"
	}
	return "write a length as 3 mm"
}

// Kind returns the LED kind of that name: the project's own, or the catalogue's.
func (p Project) Kind(name string) (part.LED, bool) {
	for _, k := range p.Kinds {
		if k.Name == name {
			return k, true
		}
	}
	return part.Find(name)
}

// kinds tells LED kinds that nobody describes, and currents above a kind's maximum.
func (r *reader) kinds(p *Project) {
	var known []string
	for _, k := range p.Kinds {
		known = append(known, k.Name)
	}
	for _, k := range part.Kinds() {
		known = append(known, k.Name)
	}
	check := func(key, name string) (part.LED, bool) {
		k, ok := p.Kind(name)
		if ok {
			return k, true
		}
		f := r.diags.Add(diag.Error, "project-unknown-led", "there is no LED kind %s", strconv.Quote(name))
		f.Place = p.Place(key)
		if s, ok := diag.Nearest(name, known); ok {
			f.Fix("did you mean %s? The kinds are: %s", s, strings.Join(known, ", "))
		} else {
			f.Fix("use one of %s, or describe it under leds", strings.Join(known, ", "))
		}
		return k, false
	}
	limit := func(key, panel string, k part.LED, i part.Amp) {
		if k.IMax > 0 && i > k.IMax {
			f := r.diags.Add(diag.Error, "project-current-high", "%.4g mA is above the %.4g mA that %s survives", float64(i)*1e3, float64(k.IMax)*1e3, k.Name).Of(panel)
			f.Place = p.Place(key)
			f.Fix("choose at most %.3g mA; half of the maximum is common for panels that are read in the dark", float64(k.IMax)*1e3)
		}
	}
	usual, ok := check("defaults.led", p.Defaults.LED)
	if ok {
		limit("defaults.current", "", usual, p.Defaults.Current)
	}
	for i, q := range p.Panels {
		key := "panels." + strconv.Itoa(i)
		k, good := usual, ok
		if q.LED != "" {
			k, good = check(key+".led", q.LED)
		}
		current := p.Defaults.Current
		if q.Current != 0 {
			current = q.Current
		}
		if good && (q.LED != "" || q.Current != 0) {
			at := key + ".current"
			if q.Current == 0 {
				at = key + ".led"
			}
			limit(at, q.Name, k, current)
		}
	}
}
