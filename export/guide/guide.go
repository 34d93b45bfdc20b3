// Package guide says how a console is put together, from the parcel to the first light: board by board along the feed what to solder
// and what a meter must show, then the whole at its own supply, faults and what decides between them, and dimming.
//
// It takes figures from led/expect and pictures as scenes, and makes a paper.Paper of them. Times and temperatures of soldering are
// those of the cautious rule of references.md section 18; what is common practice says so.
package guide

import (
	"fmt"
	"slices"
	"strings"

	"lampblack/board"
	"lampblack/export/paper"
	"lampblack/export/scene"
	"lampblack/export/table"
	"lampblack/export/wires"
	"lampblack/led/expect"
	"lampblack/led/part"
	"lampblack/panel/geom"
)

// Console is what the guide tells of.
type Console struct {
	Name, Revision, Date, Version string
	Boards                        []Board // in the order of the feed
	Steps                         []expect.Step
	Unbuilt                       []string    // panels without files
	Lost                          []string    // boards on the feed that are not in Boards
	Unlit                         []string    // panels without LEDs
	Supply                        string      // "12 V, 2 A"
	Fuses                         []string    // of each chain; empty: none
	Feeds                         int         // that start at the supply
	Buy                           table.Table // what is bought, for all copies
	Cuts                          []wires.Cut
	Idle                          []string // connectors that no wire leads to
	Harness                       []scene.Page
	Others                        []string // other loads of the supply
	Dims                          []Dim
	Copies                        int // consoles to make
	Dimmers                       int // frequency from which on flicker is at low risk, Hz
}

// Board is one board.
type Board struct {
	Board       board.Board
	Panel       string // that it stands behind
	Lamps       []Lamp
	Room        geom.Nm // from the LED sheet or the plate to the board
	Sunk        geom.Nm // the LEDs' tips below the LED sheet's front; negative: they stand out
	Plated      bool    // a plate lies between them
	Sheeted     bool    // a spacer sheet takes the place of spacers
	Top, Bottom scene.Page
	Behind      scene.Page // where to touch it from behind
	Before      scene.Page // and from the front, where it has LEDs without leads
	Expect      expect.Board
	Known       bool     // Expect is
	Idle        []string // connectors that no wire leads to
}

// Lamp is a kind of LED of a board.
type Lamp struct {
	Kind    part.LED
	Count   int
	Leads   bool
	Above   geom.Nm
	Picture scene.Page
	Test    expect.Span // of a diode test
}

// Paper returns the guide.
func Paper(c Console) paper.Paper {
	leds := 0
	for _, b := range c.Boards {
		for _, l := range b.Lamps {
			leds += l.Count
		}
	}
	p := paper.Paper{Kind: "Building guide", Name: c.Name, Revision: c.Revision, Date: c.Date, Version: c.Version,
		Summary: fmt.Sprintf("%s with %s, from the parcel to the lit console. Figures are for parts as they should be, with the least and the most that good ones show.",
			count(len(c.Boards), "board"), count(leds, "LED"))}
	p.Blocks = slices.Concat(c.before(), c.buying(), c.polarity())
	for i, b := range c.Boards {
		p.Blocks = append(p.Blocks, b.blocks(i)...)
	}
	p.Blocks = slices.Concat(p.Blocks, c.wiring(), c.together(), c.faults(), c.dimming())
	return p
}

func count(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

// before is what to have and to mind.
func (c Console) before() []paper.Block {
	out := []paper.Block{
		paper.Chapter{Title: "Before you begin"},
		paper.Mind{
			"Lead, flux and fumes: air the room, wash your hands, wear glasses when you cut leads: the ends fly.",
			"The iron is hot beyond what skin stands, and so is a resistor in a short circuit. No power while you solder.",
			"The feed comes from an extra-low-voltage supply with a fuse at its plus. What lies before that supply, mains or vehicle wiring, is the work of people who are licensed for it.",
			"LEDs are bright: do not stare into them, least of all without the panel in front.",
		},
		paper.Section("Tools"),
		paper.Points{
			"Iron with a chisel tip of 1 to 2 mm, solder of 0.5 to 0.8 mm with flux, side cutters, tweezers, a clamp, isopropyl alcohol for boards (never for acrylic).",
			"A multimeter with diode test; a supply that limits its current, set to the volts and milliamperes that each board's tests name.",
			"Joints with leaded solder: tip about 320 °C; lead-free: about 350 °C; 1 to 3 s for a joint (common practice). LEDs stand less: published data sheets allow from 260 °C for 5 s, 3 mm from the body, to 350 °C for 5 s, 1.6 mm from it. So 3 s at most at an LED, and let it cool before its second joint; leads that must be bent are bent before soldering, 3 mm from the body.",
		},
	}
	if n := len(c.Unbuilt); n > 0 {
		out = append(out, paper.Mind{fmt.Sprintf("Not in this guide, since there are no files of it: %s. report.html says why. What is measured board by board leaves it out; supply, fuses, dimmers and wires are for the console with it.", strings.Join(c.Unbuilt, ", "))})
	}
	if n := len(c.Unlit); n > 0 {
		out = append(out, paper.Text("Without LEDs, and thus without a board: "+strings.Join(c.Unlit, ", ")+"."))
	}
	return out
}

func (c Console) fuses() string {
	var all []string
	for i, f := range c.Fuses {
		if f != "" {
			all = append(all, fmt.Sprintf("chain %d: %s", i+1, f))
		}
	}
	if len(all) == 0 {
		return ""
	}
	return " A fuse at the plus of each chain, " + strings.Join(all, ", ") + "."
}

// polarity shows each kind of LED once: in the hand, on the board, and how it stands.
func (c Console) polarity() []paper.Block {
	out := []paper.Block{paper.Chapter{Title: "Which way round an LED goes"},
		paper.Text("A diode test decides where a mark is in doubt: with red on the plus side and black on minus the LED glows, the other way round it stays dark. Try one of each bag before you solder any.")}
	// Kinds that look and stand alike share a picture.
	type look struct {
		body  string
		above geom.Nm
	}
	var looks []look
	kinds, first := map[look][]string{}, map[look]Lamp{} // looked up only
	for _, b := range c.Boards {
		for _, l := range b.Lamps {
			k := look{l.Kind.Package, l.Above}
			if !slices.Contains(looks, k) {
				looks = append(looks, k)
				first[k] = l
			}
			if !slices.Contains(kinds[k], l.Kind.Name) {
				kinds[k] = append(kinds[k], l.Kind.Name)
			}
		}
	}
	for _, k := range looks {
		names := strings.Join(kinds[k], ", ")
		caption := fmt.Sprintf("%s, %s: plus is the long lead and the round pad, minus the short lead, the flat side and the square pad.", names, stands(k.above))
		if !first[k].Leads {
			caption = names + ": no leads. Its mark is at minus on nearly all (common practice): look at its data sheet, or at a diode test. On the board the bracket is at minus."
		}
		out = append(out, paper.Figures{{Page: first[k].Picture, Caption: caption, Alt: "LED " + names + " in the hand, its pads, and how it stands over the board", Most: 1.15}})
	}
	return out
}

// stands says how high over the board the underside of an LED is.
func stands(above geom.Nm) string {
	if mm(above) == "0" {
		return "flat on the board"
	}
	return "the underside " + mm(above) + " mm above the board"
}

func mm(v geom.Nm) string { return scene.Decimal(v, 100*geom.Micrometre) }
