package report

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"lampblack/board"
	"lampblack/export"
	"lampblack/led"
	"lampblack/led/part"
	"lampblack/panel/geom"
)

// Pack is what README.txt of a fabrication pack tells beyond its artwork.
type Pack struct {
	Console  string
	Revision string   // "1" when empty
	Version  string   // of Lampblack
	Date     string   // as it shall stand there; empty: none
	Quantity string   // boards to order; "1" when empty
	Mask     string   // colour of the soldermask; "white" when empty
	Finish   string   // "lead-free HAL" when empty
	Stencil  geom.Nm  // how thick one for the paste is
	Extra    []string // more file names in the pack, with a tab and what they are

	// Board is the finished board, whose silkscreen is told as it came out; unused for an array.
	Board board.Board

	// Of the board's circuit. Currents are told as Shown rounds them.
	LEDs, Strings    int
	Kinds            []Kind      // of LEDs, where there are several
	Draws, DrawsMost part.Amp    // by the board's own LEDs, all full on: nominal, at worst
	Through          part.Amp    // its IN connector, at worst
	Groups           []Group     // the supply conductors, where LEDs are dimmed in groups
	Supply           part.Window // 0: not told
	Rated            part.Amp    // of the supply
	All              part.Amp    // that the supply is asked for at worst, other loads included
	FuseAmps         part.Amp    // advised fuse of the feed; 0: none advised

	Array   string         // an array: which boards, "2 x dome, 4 x focus"
	Parting string         // an array: how its boards are parted
	Hung    []Hung         // an array's boards, in the order of their numbers
	Scored  []geom.Segment // an array: the lines that are scored
	Bare    geom.Nm        // an array: from a board's edge to where its copper may begin, the least of all boards
}

// Hung is a board of an array and the tabs that it hangs on.
type Hung struct {
	Board string
	Box   geom.Box // in the array's frame
	Turn  int      // degrees counter-clockwise
	Tabs  []Tab
}

// Tab is where a tab meets a board's edge, in the array's frame.
type Tab struct {
	At    geom.Pt
	Other int // number of the board at its other end; 0: the frame
}

// Kind is a kind of LEDs and which of the board's it is.
type Kind struct{ Name, LEDs string }

// Group is a supply conductor of the board with the LEDs that hang on it.
type Group struct {
	Name             string   // empty: the LEDs of no group
	LEDs             int      // on this board
	Draws, DrawsMost part.Amp // as of the board
	Through          part.Amp // its pin of the IN connector, at worst
}

// Cautions returns what the builder must mind, one short sentence each.
func Cautions() []string {
	return []string{
		"Fuse the supply close to its positive terminal, above the load and no more than the wires carry.",
		"Power up for the first time from a current-limited source, and look at every LED.",
		"Batteries and mains: follow the local code and have licensed people do it.",
		"Acrylic fumes are harmful and acrylic burns: extract them and never leave the laser alone.",
		"Never laser PVC or vinyl: it gives off chlorine, which harms lungs and machine.",
		"LEDs are bright: do not stare into them, least of all without the panel in front.",
	}
}

// dark reports whether the soldermask is none of white, on which the silkscreen is black.
func (p Pack) dark() bool { return p.Mask != "" && p.Mask != "white" }

func (p Pack) ink() string {
	if p.dark() {
		return "white"
	}
	return "black"
}

// ReadMe returns README.txt of a fabrication pack: printable ASCII, lines of at most 78 columns.
func ReadMe(a export.Artwork, p Pack) []byte {
	t := &page{}
	size := fmt.Sprintf("%.2f x %.2f mm", a.Size.W().MM(), a.Size.H().MM())

	if a.Array {
		t.heading("Lighting boards on one panel: " + a.Name)
	} else {
		t.heading("Lighting board " + a.Name)
	}
	t.row("Console", p.Console)
	t.row("Revision", orElse(p.Revision, "1"))
	t.row("Date", p.Date)
	t.row("Made by", strings.TrimSpace("Lampblack "+p.Version))

	t.heading("To the board house")
	t.row("Size", size+", edge and inner cut-outs as drawn in the profile")
	t.row("Layers", "2, copper on both sides")
	t.row("Material", fmt.Sprintf("FR-4, %s thick", short(a.Laminate.Thickness)))
	t.row("Copper", copperWords(a.Laminate.Copper)+" finished, both sides")
	t.row("Finish", orElse(p.Finish, "lead-free HAL")+", or ENIG")
	t.row("Soldermask", strings.ToUpper(orElse(p.Mask, "white"))+", both sides")
	t.row("Silkscreen", inked(a, p.ink()))
	if side := pasted(a); side != "" && p.Stencil > 0 {
		t.row("Stencil", fmt.Sprintf("%s thick, %s, if one is made: from the paste layer as it is", short(p.Stencil), side))
	}
	if n := fiducials(a); n[0]+n[1] > 0 && !a.Array {
		t.row("Fiducials", fmt.Sprintf("of 1 mm in 2 mm of open mask: %d on the top, %d on the bottom", n[0], n[1]))
	}
	t.row("Quantity", orElse(p.Quantity, "1"))
	if a.Array {
		t.row("Panel", "an array made by us: please deliver it whole, and add no frame or tabs of your own")
		t.row("Boards", p.Array)
		t.row("Parting", p.Parting)
		t.breaks(p)
		t.row("Frame", "tooling holes of 3 mm, fiducials of 1 mm on both sides")
	}
	t.limits(a)
	if p.dark() {
		t.text("The project asks for this colour of soldermask. A white one would reflect light that it swallows, and the lettering " +
			"would get brighter and more even.")
	} else {
		t.text("White soldermask is wanted because the board lies behind a lit panel: white reflects light that a dark " +
			"mask would swallow, and the lettering gets brighter and more even. Any other colour works, but dimmer.")
	}
	covered := ""
	if drillsVias(a) {
		covered = "Vias may be covered by the mask. "
	}
	t.text("Every layer is seen from the top, none is mirrored, and all share one zero. " + covered +
		"No impedance control, no plated edge, no plugged holes. Upload the zip as it is.")

	t.heading("Files")
	t.files(a, p)
	t.text("The Gerber files keep to The Gerber Layer Format Specification with its attributes (X2), the drill files to " +
		"XNC, the netlist to IPC-D-356A. " + zero(a))
	if a.Array {
		t.text("In the netlist and in the attributes, the number of the board on the panel stands before its nets and " +
			"parts: 2.V+ is V+ of board 2, and 2D7 its D7. So it does in the lists of parts and of their places; these give the middle of " +
			"each part in mm from the array's lower left corner. " + export.Orientation)
		t.parting(p)
		return t.bytes()
	}

	t.heading("To the builder")
	t.builder(p)
	t.text("The top faces the viewer and carries the LEDs; everything else sits on the bottom.")
	t.printed(p.Board)
	t.text("placement.csv, which lies beside the pack, gives the middle of each part in mm from the panel's lower left corner. " + export.Orientation)

	t.heading("Mind")
	for _, c := range Cautions() {
		t.item(c)
	}
	return t.bytes()
}

// inked says which sides have silkscreen.
func inked(a export.Artwork, ink string) string {
	var sides []string
	for _, l := range a.Layers {
		if l.Function.Silkscreen() && len(l.Objects) > 0 {
			sides = append(sides, l.Function.Side().String())
		}
	}
	switch len(sides) {
	case 0:
		return "none"
	case 1:
		return ink + ", " + sides[0] + " only"
	}
	return ink + ", both sides"
}

// pasted says which sides get solder paste; empty: none.
func pasted(a export.Artwork) string {
	var sides []string
	for _, l := range a.Layers {
		if (l.Function == export.PasteTop || l.Function == export.PasteBottom) && len(l.Objects) > 0 {
			sides = append(sides, l.Function.Side().String())
		}
	}
	return strings.Join(sides, " and ")
}

// fiducials counts those of each side.
func fiducials(a export.Artwork) (n [2]int) {
	for _, l := range a.Layers {
		if !l.Function.Copper() {
			continue
		}
		for _, o := range l.Objects {
			if o.Op == export.Flash && l.Apertures[o.Aperture].Fiducial() {
				n[l.Function.Side()]++
			}
		}
	}
	return n
}

// drillsVias reports whether there is a plated hole that carries no part.
func drillsVias(a export.Artwork) bool {
	for _, d := range a.Drills {
		for _, t := range d.Tools {
			if t.Function == "ViaDrill" {
				return true
			}
		}
	}
	return false
}

// zero says where coordinates begin.
func zero(a export.Artwork) string {
	if a.Array {
		return "The zero of all coordinates is the array's lower left corner."
	}
	return "The zero of all coordinates is the lower left corner of the panel's outline; the board lies a margin inside it."
}

// limits tells the finest things on the board, so that a board house can choose its class.
func (t *page) limits(a export.Artwork) {
	var track, hole geom.Nm
	holes := 0
	for _, l := range a.Layers {
		for _, o := range l.Objects {
			if l.Function.Copper() && o.Op == export.Draw {
				if w := l.Apertures[o.Aperture].W; track == 0 || w < track {
					track = w
				}
			}
		}
	}
	for _, d := range a.Drills {
		holes += len(d.Hits) + len(d.Slots)
		for _, tool := range d.Tools {
			if hole == 0 || tool.D < hole {
				hole = tool.D
			}
		}
	}
	if track > 0 {
		t.row("Tracks", "at least "+short(track)+" wide")
	}
	if hole > 0 {
		t.row("Holes", fmt.Sprintf("%d, the smallest %s finished", holes, short(hole)))
	}
}

// files lists the pack: name, then what it is.
func (t *page) files(a export.Artwork, p Pack) {
	type entry struct{ name, what string }
	var list []entry
	for _, l := range a.Layers {
		list = append(list, entry{export.FileName(a.Name, l.Function), export.Meaning(l.Function)})
	}
	for _, d := range a.Drills {
		list = append(list, entry{export.DrillFileName(a.Name, d.Plated), export.DrillMeaning(d.Plated)})
	}
	list = append(list,
		entry{export.JobFileName(a.Name), export.JobMeaning},
		entry{export.NetlistFileName(a.Name), export.NetlistMeaning})
	for _, e := range p.Extra {
		name, what, _ := strings.Cut(e, "\t")
		list = append(list, entry{name, what})
	}
	wide, what := 0, 0
	for _, e := range list {
		wide, what = max(wide, len(export.ASCII(e.name))), max(what, len(export.ASCII(e.what)))
	}
	for _, e := range list {
		if 2+wide+2+what <= width {
			t.line(fmt.Sprintf("  %-*s  %s", wide, export.ASCII(e.name), e.what))
		} else {
			t.line("  " + e.name)
			t.line("      " + e.what)
		}
	}
	t.line("")
}

// builder tells current and supply.
func (t *page) builder(p Pack) {
	if p.Strings > 0 {
		t.row("LEDs", fmt.Sprintf("%d in %s with its own resistor", p.LEDs, count(p.Strings, "string", "strings, each")))
		for _, k := range p.Kinds {
			t.row("", k.Name+": "+k.LEDs)
		}
		t.row("Board draws", fmt.Sprintf("%s, at most %s", amps(p.Draws), amps(p.DrawsMost)))
	}
	together := ", the boards fed through OUT included"
	if len(p.Groups) > 1 {
		together = " in all, the boards fed through OUT included; so does its pin -, which is common to all groups"
	}
	if p.Through > 0 {
		for _, g := range p.Groups {
			own := "none of its LEDs on this board"
			if g.LEDs > 0 {
				own = fmt.Sprintf("%s: %s, at most %s", count(g.LEDs, "LED", "LEDs"), amps(g.Draws), amps(g.DrawsMost))
			}
			t.row(led.Group{Name: g.Name}.Sign(), fmt.Sprintf("%s; its pin of IN carries at most %s", own, amps(g.Through)))
		}
		t.row("IN carries", "at most "+amps(p.Through)+together)
	}
	if p.Supply.Nominal > 0 {
		volts := fmt.Sprintf("%g V", p.Supply.Nominal)
		if p.Supply.Min != p.Supply.Max {
			volts += fmt.Sprintf(" (%g to %g V)", p.Supply.Min, p.Supply.Max)
		}
		volts += " DC"
		if p.Rated > 0 {
			volts += ", rated " + p.Rated.String()
		}
		if p.All > 0 {
			volts += "; asked for at most " + amps(p.All) + ", by the whole console and what else it feeds"
		}
		t.row("Supply", volts)
	}
	if p.FuseAmps > 0 {
		t.row("Fuse", p.FuseAmps.String()+", close to the supply")
	}
}

// Shown rounds a current to what README.txt shows of it: whole milliamperes.
func Shown(a part.Amp) part.Amp { return part.Amp(math.Round(float64(a*1000))) / 1000 }

// amps returns a current to the milliampere, as the tables of a build have it.
func amps(a part.Amp) string {
	if a = Shown(a); a < 1 {
		return fmt.Sprintf("%.0f mA", float64(a)*1000)
	}
	return fmt.Sprintf("%.3f A", float64(a))
}

func count(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

// copperWords returns a thickness of copper as a board house knows it: "35 um (1 oz/sq ft)".
func copperWords(v geom.Nm) string {
	um := strconv.FormatFloat(float64(v)/float64(geom.Micrometre), 'f', -1, 64) + " um"
	if 2*v%board.Ounce != 0 {
		return um // no weight in the trade
	}
	return fmt.Sprintf("%s (%g oz/sq ft)", um, float64(v)/float64(board.Ounce))
}

// short returns a length as people say it.
func short(v geom.Nm) string { return v.String() }

func orElse(s, other string) string {
	if s == "" {
		return other
	}
	return s
}
