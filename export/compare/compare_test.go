package compare

import (
	"encoding/json"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/export/result"
)

// desk is a console of one panel with one board.
func desk() result.Console {
	hole := func(x, y, d float64) result.Hole { return result.Hole{X: x, Y: y, D: d} }
	return result.Console{
		Lampblack: "0.1.0", Console: "Desk", Revision: "A",
		Supply: &result.Supply{Volts: result.Window{Min: 11.4, Nominal: 12, Max: 12.6}, RatedA: 2, TypicalA: 0.008, PeakA: 0.008, WorstA: 0.009, Verdict: "ok"},
		Bright: &result.Bright{Full: 5, Dimmers: []result.Dimmer{{Group: "night", Most: 1, Has: 12, Night: 0.01}}},
		Chains: []result.Chain{{FuseA: 0.5, Links: []result.Link{{Panel: "dome", FeedMM: 300, Wire: "0.5 mm²"}}}},
		Panels: []result.Panel{{
			Name: "dome", BBox: [4]float64{0, 0, 100, 60}, OutlineArea: 6000, Outline: "0 0, 100 0, 100 60, 0 60",
			Holes: result.Holes{
				LED:   []result.Hole{hole(20, 30, 3), hole(50, 30, 3), hole(80, 30, 3)},
				Mount: []result.Hole{hole(6, 6, 3.2), hole(94, 54, 3.2)},
			},
			Openings:  []result.Loop{{Area: 100, BBox: [4]float64{40, 40, 50, 50}}},
			Controls:  []result.Control{{Kind: "toggle-m6", Words: "toggle switch", X: 45, Y: 45, Clamps: "face", Behind: 20}},
			Screws:    []result.Screw{{X: 6, Y: 6, D: 3.2, Board: "dome", Thread: "M3", Length: 30, Front: 8, Rear: 3}, {X: 94, Y: 54, D: 3.2, Board: "dome", Thread: "M3", Length: 30, Front: 8, Rear: 3}},
			Fit:       []result.Fit{{Board: "dome", Tips: result.Span{Least: 7, Nominal: 8, Most: 9}}},
			Depth:     &result.Depth{Behind: 38, Deepest: "toggle-m6", Boards: []result.Standing{{Board: "dome", Front: 20, Back: 21.6, Room: 3}}},
			Lettering: []result.Text{{Text: "DOME", X: 20, Y: 20, Height: 4}},
			Sheets:    []result.Sheet{{Name: "face", Of: "dome", Material: "black", Thickness: 3, Width: 100, Height: 60, Cut: 320, Holes: 3}},
			Light:     &result.Light{Lit: result.Lit{Mean: 100, MinToMean: 0.7}},
			Strings:   []result.String{{LEDs: []string{"D1", "D2", "D3"}, Resistor: "R1", Ohms: 680, RatedW: 0.25}},
			Groups:    []result.Group{{Pin: 1, Sign: "+", Net: "V+"}},
			Board: &result.Board{Width: 98, Height: 58, Area: 5600, TrackMM: 200, MinClearance: 0.25, Outline: "1 1, 99 1, 99 59, 1 59",
				Connectors: []result.Connector{{Ref: "J1", Role: "IN", X: 10, Y: 30, Side: "top"}, {Ref: "J2", Role: "OUT", X: 90, Y: 30, Side: "top"}}},
			Files: []string{"dome/fab/dome-job.gbrjob", "dome/sheet-face.dxf", "dome/service.svg"},
		}},
		Digests: map[string]string{"dome/fab/dome-job.gbrjob": "a", "dome/sheet-face.dxf": "b", "dome/service.svg": "c"},
	}
}

// Each change made by hand is named, and nothing beside it; so is whether the old board fits.
func TestNamesExactlyTheChange(t *testing.T) {
	for _, c := range []struct {
		name  string
		do    func(*result.Console, *result.Panel)
		codes string
		text  string // of one of the changes
		fits  bool
	}{
		{"nothing", func(c *result.Console, p *result.Panel) {}, "", "", true},
		{"LEDs in another order", func(c *result.Console, p *result.Panel) { slices.Reverse(p.Holes.LED) }, "", "", true},
		{"LED moved", func(c *result.Console, p *result.Panel) { p.Holes.LED[1].X += 2 }, "led-moved", "LED at (50, 30) moved by 2 mm, to (52, 30)", false},
		{"LED moved by less than holes let", func(c *result.Console, p *result.Panel) { p.Holes.LED[1].X += 0.05 }, "led-moved", "0.05 mm", true},
		{"LED deleted", func(c *result.Console, p *result.Panel) { p.Holes.LED = p.Holes.LED[1:] }, "led-gone", "(20, 30) is gone", false},
		{"LED added", func(c *result.Console, p *result.Panel) {
			p.Holes.LED = append([]result.Hole{{X: 35, Y: 15, D: 3}}, p.Holes.LED...)
		}, "led-added", "(35, 15)", false},
		{"LED put far away", func(c *result.Console, p *result.Panel) { p.Holes.LED[0].Y = 10 }, "led-gone led-added", "(20, 10)", false},
		{"another LED", func(c *result.Console, p *result.Panel) { p.Holes.LED[0].D = 5 }, "led-hole", "LED at (20, 30): 3 mm, now 5 mm", false},
		{"screw moved", func(c *result.Console, p *result.Panel) { p.Holes.Mount[0].Y += 1 }, "screw-moved", "screw hole at (6, 6) moved by 1 mm", false},
		{"drawn elsewhere", func(c *result.Console, p *result.Panel) {
			p.BBox = [4]float64{500, -20, 600, 40}
			for _, all := range [2][]result.Hole{p.Holes.LED, p.Holes.Mount} {
				for i := range all {
					all[i].X, all[i].Y = all[i].X+500, all[i].Y-20
				}
			}
			p.Openings[0].BBox = [4]float64{540, 20, 550, 30}
			p.Lettering[0].X, p.Lettering[0].Y = 520, 0
			p.Controls[0].X, p.Controls[0].Y = 545, 25
			for i := range p.Screws {
				p.Screws[i].X, p.Screws[i].Y = p.Screws[i].X+500, p.Screws[i].Y-20
			}
			p.Outline = "500 -20, 600 -20, 600 40, 500 40"
			p.Board.Outline = "501 -19, 599 -19, 599 39, 501 39"
			for i := range p.Board.Connectors {
				p.Board.Connectors[i].X, p.Board.Connectors[i].Y = p.Board.Connectors[i].X+500, p.Board.Connectors[i].Y-20
			}
		}, "", "", true},
		{"opening enlarged", func(c *result.Console, p *result.Panel) {
			p.Openings[0] = result.Loop{Area: 144, BBox: [4]float64{39, 39, 51, 51}}
		}, "opening", "opening at (45, 45) is 12 x 12 mm, it was of 10 x 10 mm", false},
		{"more room behind", func(c *result.Console, p *result.Panel) {
			p.Room = append(p.Room, result.Room{Loop: result.Loop{Area: 100, BBox: [4]float64{10, 10, 20, 20}}})
		}, "room-added", "10 x 10 mm", false},
		{"other controls", func(c *result.Console, p *result.Panel) {
			p.Controls[0].Kind, p.Controls[0].Words = "pot-7mm", "potentiometer"
		}, "control", "in the opening at (45, 45): potentiometer (pot-7mm), before toggle switch (toggle-m6)", false},
		{"other screws", func(c *result.Console, p *result.Panel) { p.Screws[0].Length = 25 }, "screws", "screw at (6, 6): M3 x 30 mm, now M3 x 25 mm", true},
		{"screws", func(c *result.Console, p *result.Panel) { p.Screws[0].Length, p.Screws[1].Length = 25, 25 }, "screws", "2 screws: M3 x 30 mm, now M3 x 25 mm", true},
		{"spacers", func(c *result.Console, p *result.Panel) { p.Screws[1].Rear = 4 }, "screws", "screw at (94, 54): spacer before the board: 3 mm, now 4 mm", true},
		{"gap", func(c *result.Console, p *result.Panel) { p.Screws[0].Front, p.Screws[1].Front = 10, 10 }, "gap | screws", "from diffuser to LED sheet 8 mm, now 10 mm", true},
		{"LEDs higher", func(c *result.Console, p *result.Panel) { p.Screws[0].Above = 2 }, "screws", "soldered above the board by: none, now 2 mm", false},
		{"a screw less", func(c *result.Console, p *result.Panel) { p.Screws = p.Screws[:1] }, "screws", "screws: 2, now 1", true},
		{"control of another place", func(c *result.Console, p *result.Panel) { p.Controls[0].X += 1 }, "control-moved", "sits at (46, 45) now", true},
		{"control that clamps otherwise", func(c *result.Console, p *result.Panel) { p.Controls[0].Clamps = "face and diffuser" }, "control-seat", "it clamps face and diffuser, before face", true},
		{"control gone", func(c *result.Console, p *result.Panel) { p.Controls = nil }, "control-gone", "(45, 45): nothing that is told, before toggle switch (toggle-m6)", true},
		{"deeper", func(c *result.Console, p *result.Panel) { p.Depth.Behind = 41 }, "depth", "deep behind the face's front 38, now 41 mm", true},
		{"board farther behind", func(c *result.Console, p *result.Panel) {
			p.Depth.Boards[0].Front, p.Depth.Boards[0].Back = 22, 23.6
		}, "depth", "board's front behind the face's 20, now 22 mm", true},
		{"tips", func(c *result.Console, p *result.Panel) { p.Fit[0].Tips.Nominal = 6 }, "fit", "to the diffuser 8, now 6 mm", true},
		{"opening moved", func(c *result.Console, p *result.Panel) {
			p.Openings[0].BBox, p.Openings[0].Path = [4]float64{42, 40, 52, 50}, ""
			p.Controls[0].X += 2
		}, "opening-moved | control-moved", "opening of 10 x 10 mm at (45, 45) moved by 2 mm, to (47, 45)", false},
		{"seen", func(c *result.Console, p *result.Panel) { p.Seen = []result.Seen{{LED: "D1", Through: "rim"}} }, "seen", "none, now D1 through rim", true},
		{"window", func(c *result.Console, p *result.Panel) {
			p.Windows = []result.LitWindow{{What: "round window of 5 mm", X: 10, Y: 50, Area: 19.6}}
		}, "window-added", "round window of 5 mm at (10, 50)", true},
		{"face as measured", func(c *result.Console, p *result.Panel) { p.Sheets[0].Least, p.Sheets[0].Measured = 2.8, true }, "sheet", "somebody measured it", true},
		{"lettering larger", func(c *result.Console, p *result.Panel) { p.Lettering[0].Height = 5 }, "lettering", "4 mm high, is 5 mm high now", true},
		{"lettering moved", func(c *result.Console, p *result.Panel) { p.Lettering[0].X = 23 }, "lettering", "moved by 3 mm, to (23, 20)", true},
		{"brightness", func(c *result.Console, p *result.Panel) { c.Bright.Full = 10 }, "bright", "full 5 cd/m², now 10 cd/m²", true},
		{"bits of a group's dimmer", func(c *result.Console, p *result.Panel) { c.Bright.Dimmers[0].Has = 10 }, "bright", "group night: dimmer's bits 12, now 10", true},
		{"what the dimmer does", func(c *result.Console, p *result.Panel) { c.Bright.Dimmers[0].Night = 0.02 }, "dimmer", "group night: at its least for 1, now 2 %", true},
		{"another load", func(c *result.Console, p *result.Panel) {
			c.Supply.Switching = []result.Switching{{Load: "pump", Light: 0.97}}
		}, "loads", "pump is new", true},
		{"class", func(c *result.Console, p *result.Panel) { c.FabClass = "fine" }, "class", "fine", true},
		{"dimming", func(c *result.Console, p *result.Panel) { p.Groups[0].Duty = 0.5 }, "dimming", "is on 0, now 50 % of the time", true},
		{"fuse", func(c *result.Console, p *result.Panel) { c.Chains[0].FuseA = 1 }, "fuse", "0.5 A, now 1 A", true},
		{"wire", func(c *result.Console, p *result.Panel) { c.Chains[0].Links[0].Wire = "1 mm²" }, "feed", "wire of the feed to dome: 0.5 mm², now 1 mm²", true},
		{"nest", func(c *result.Console, p *result.Panel) {
			c.Nests = []result.Nest{{Sheet: "led_sheet", Width: 600, Height: 400, Sheets: 2}}
		}, "nest", "LED sheets on 600 x 400 mm of stock: new, 2 of them", true},
		{"more current, other copper", func(c *result.Console, p *result.Panel) {
			c.Chains[0].Links[0].SegmentWorstA = 0.9
			p.Board.TrackMM = 190
		}, "copper", "tracks 200, now 190 mm", false},
		{"body so near that cuts may meet", func(c *result.Console, p *result.Panel) {
			p.Board.Outline = "2 2, 98 2, 98 58, 2 58"
			p.Bodies = append(p.Bodies, result.Loop{Area: 4, BBox: [4]float64{99.1, 20, 100, 30}, Path: "99.1 20, 100 20, 100 30, 99.1 30"})
		}, "body-added | board-size", "", false},
		{"panel with a corner off", func(c *result.Console, p *result.Panel) { p.Outline = "0 0, 97 0, 100 3, 100 60, 0 60" }, "panel-size", "runs otherwise", false},
		{"narrower panel", func(c *result.Console, p *result.Panel) { p.OutlineArea -= 500 }, "panel-size", "within the outline 6000, now 5500 mm²", false},
		{"resistor", func(c *result.Console, p *result.Panel) { p.Strings[0].Ohms = 560 }, "string", "1 string of 3 LEDs: resistors of 560 ohm, 0.25 W, before 680 ohm, 0.25 W", false},
		{"its rating", func(c *result.Console, p *result.Panel) { p.Strings[0].RatedW = 0.5 }, "string", "0.5 W", false},
		{"other numbers", func(c *result.Console, p *result.Panel) { p.Strings[0].LEDs[0], p.Strings[0].LEDs[1] = "D2", "D1" }, "references", "other numbers", true},
		{"another supply, the same resistors", func(c *result.Console, p *result.Panel) { c.Supply.Volts.Nominal = 12.2 }, "supply", "12.2 V", true},
		{"another supply, other resistors", func(c *result.Console, p *result.Panel) {
			c.Supply.Volts.Nominal = 24
			p.Strings[0].Ohms = 2200
		}, "supply | string", "24 V", false},
		{"a stronger supply", func(c *result.Console, p *result.Panel) { c.Supply.RatedA = 3 }, "supply", "3 A", true},
		{"verdict", func(c *result.Console, p *result.Panel) { c.Supply.Verdict = "tight" }, "supply-verdict", "is tight", true},
		{"currents", func(c *result.Console, p *result.Panel) { c.Supply.WorstA = 0.01 }, "currents", "10 mA", true},
		{"feed", func(c *result.Console, p *result.Panel) { c.Chains[0].Links[0].FeedMM = 900 }, "feed-length", "the feed from the supply to dome was 300 mm long, it is 900 mm", true},
		{"pins", func(c *result.Console, p *result.Panel) { p.Groups[0].Pin = 2 }, "pins", "other pins: 1 the rest, now 2 the rest", false},
		{"sheet", func(c *result.Console, p *result.Panel) { p.Sheets[0].Thickness = 4 }, "sheet", "thickness 3, now 4 mm", false},
		{"lettering", func(c *result.Console, p *result.Panel) { p.Lettering[0].Text = "ROOF" }, "lettering", "\"DOME\" at (20, 20), 4 mm high, says \"ROOF\" now", true},
		{"light by less than a hundredth", func(c *result.Console, p *result.Panel) { p.Light.MinToMean = 0.7004 }, "light", "over mean 70, now 70.04 %", true},
		{"light by less than anybody reads", func(c *result.Console, p *result.Panel) { p.Light.Mean += 1e-7 }, "light", "lit as it was", true},
		{"contrast", func(c *result.Console, p *result.Panel) { p.Light.Contrast = 12 }, "light", "other figures", true},
		{"currents by less than anybody reads", func(c *result.Console, p *result.Panel) { c.Supply.WorstA += 1e-12 }, "", "", true},
		{"connector", func(c *result.Console, p *result.Panel) { p.Board.Connectors[1].X -= 12 }, "connector-moved", "OUT (J2) moved by 12 mm, from (90, 30) to (78, 30)", false},
		{"connector by a hair", func(c *result.Console, p *result.Panel) { p.Board.Connectors[0].Y += 1 }, "connector-moved", "moved by 1 mm", true},
		{"connector turned", func(c *result.Console, p *result.Panel) { p.Board.Connectors[0].Turn = 90 }, "connector-moved", "0 degrees on the top, now 90", true},
		{"connector gone", func(c *result.Console, p *result.Panel) { p.Board.Connectors = p.Board.Connectors[:1] }, "connector-moved", "OUT is gone", true},
		{"opening beside the board", func(c *result.Console, p *result.Panel) {
			p.Openings = append(p.Openings, result.Loop{Area: 0.25, BBox: [4]float64{0.2, 30, 0.7, 30.5}, Path: "0.2 30, 0.7 30, 0.7 30.5, 0.2 30.5"})
		}, "opening-added", "0.5 x 0.5", true},
		{"opening behind which the board is", func(c *result.Console, p *result.Panel) {
			p.Openings = append(p.Openings, result.Loop{Area: 100, BBox: [4]float64{60, 40, 70, 50}, Path: "60 40, 70 40, 70 50, 60 50"})
		}, "opening-added", "10 x 10", false},
		{"board within the old edge", func(c *result.Console, p *result.Panel) {
			p.Board.Outline, p.Board.Width = "1 1, 90 1, 90 59, 1 59", 89
		}, "board-size", "width 98, now 89", false},
		{"board beyond the old edge", func(c *result.Console, p *result.Panel) {
			p.Board.Outline, p.Board.Width = "0.5 1, 99 1, 99 59, 0.5 59", 98.5
		}, "board-size", "98.5", true},
		{"round corner", func(c *result.Console, p *result.Panel) { p.Board.Outline = "1 1, 99 1, 99 55 0.4142, 95 59, 1 59" }, "board-size", "edge runs otherwise", false},
		{"light", func(c *result.Console, p *result.Panel) { p.Light.MinToMean = 0.5 }, "light", "over mean 70, now 50 %", true},
		{"board", func(c *result.Console, p *result.Panel) {
			p.Board.Width, p.Board.Outline = 97, "1 1, 98 1, 98 59, 1 59"
		}, "board-size", "width 98, now 97 mm", false},
		{"copper", func(c *result.Console, p *result.Panel) { p.Board.Vias = 2 }, "copper", "copper runs otherwise: vias 0, now 2", true},
		{"finding", func(c *result.Console, p *result.Panel) {
			c.Findings = []result.Finding{{Code: "led-hot", Panel: "dome", Severity: "warning", Text: "hot"}}
		}, "finding-new", "led-hot", true},
		{"a board that could not be made", func(c *result.Console, p *result.Panel) {
			p.Openings = append(p.Openings, result.Loop{Area: 100, BBox: [4]float64{60, 40, 70, 50}, Path: "60 40, 70 40, 70 50, 60 50"})
			p.Board, p.Sheets, p.Stopped = nil, nil, "shape"
		}, "opening-added | board-stopped", "10 x 10 mm", false},
		{"connector at another edge", func(c *result.Console, p *result.Panel) {
			p.Board.Connectors[0].Y, p.Board.Connectors[0].Turn = 5, 90
		}, "connector-moved", "moved by 25 mm, from (10, 30) to (10, 5), and is turned: 0 degrees on the top, now 90", false},
		{"copies", func(c *result.Console, p *result.Panel) { c.Copies = 3 }, "copies", "now 3", true},
		{"something in a sheet's file", func(c *result.Console, p *result.Panel) { c.Digests["dome/sheet-face.dxf"] = "x" }, "sheet-cuts", "run otherwise: sheet-face.dxf", true},
		{"the same beside another change", func(c *result.Console, p *result.Panel) {
			c.Digests["dome/sheet-face.dxf"] = "x"
			c.Supply.WorstA = 0.01
			p.Strings[0].Ohms = 700
		}, "string sheet-cuts | currents", "sheet-face.dxf", false},
		{"a sheet's file that follows", func(c *result.Console, p *result.Panel) {
			c.Digests["dome/sheet-face.dxf"] = "x"
			p.Holes.Mount[0].D = 4.3
		}, "screw-hole | sheet-cuts", "screw hole at (6, 6): 3.2 mm, now 4.3 mm", false},
		{"another day", func(c *result.Console, p *result.Panel) { c.Date = "2026-11-25" }, "", "", true},
		{"a picture of the console's currents", func(c *result.Console, p *result.Panel) { c.Digests["dome/service.svg"] = "x" }, "", "", true},
		{"panel of another name", func(c *result.Console, p *result.Panel) { p.Name = "roof" }, "panel-renamed", "the panel is called roof now", true},
	} {
		t.Run(c.name, func(t *testing.T) {
			is := desk()
			c.do(&is, &is.Panels[0])
			d := Consoles(desk(), is)
			var text []string
			for _, g := range d.Changes {
				text = append(text, g.Text)
				require.Contains(t, knownCodes(), g.Code)
			}
			require.Equal(t, c.codes, told(d), text)
			require.Contains(t, strings.Join(text, "\n"), c.text)
			require.Equal(t, c.codes == "", d.Same)
			require.Len(t, d.Boards, 1)
			require.Equal(t, c.fits, d.Boards[0].Fits, d.Boards[0].Why)
			require.Equal(t, c.fits, len(d.Boards[0].Why) == 0)
		})
	}
}

// Many holes that change alike are told together.
func TestManyAtOnce(t *testing.T) {
	row := func(n int, x, d float64) (out []result.Hole) {
		for i := range n {
			out = append(out, result.Hole{X: x + 10*float64(i), Y: 30, D: d})
		}
		return out
	}
	for _, c := range []struct {
		was, is []result.Hole
		code    string
		text    string
		why     string
	}{
		{row(8, 10, 3), row(8, 12, 3), "led-moved", "8 LEDs moved by 2 mm, all the same way: that at (10, 30) is at (12, 30) now", "8 LEDs moved by up to 2 mm"},
		{row(8, 10, 3), append(row(7, 12, 3), result.Hole{X: 80, Y: 35, D: 3}), "led-moved", "8 LEDs moved by up to 5 mm: that", "8 LEDs moved by up to 5 mm"},
		{row(8, 10, 3), row(8, 10, 5), "led-hole", "8 LEDs: 3 mm, now 5 mm: at (10, 30), (20, 30) and 6 more", "8 LEDs have another size"},
		{row(8, 10, 3), row(2, 10, 3), "led-gone", "6 LEDs are gone: at (30, 30), (40, 30) and 4 more", "6 LEDs are gone"},
		{row(2, 10, 3), row(8, 10, 3), "led-added", "6 LEDs are new: at (30, 30)", "6 LEDs that are new"},
	} {
		was, is := desk(), desk()
		was.Panels[0].Holes.LED, is.Panels[0].Holes.LED = c.was, c.is
		d := Consoles(was, is)
		require.Equal(t, c.code, told(d))
		require.Contains(t, d.Changes[0].Text, c.text)
		require.False(t, d.Boards[0].Fits)
		require.Contains(t, strings.Join(d.Boards[0].Why, "\n"), c.why)
	}
}

func knownCodes() []string { return codes }

// told lists kinds of change, and behind a bar those that follow from others.
func told(d Difference) string {
	var out []string
	bar := false
	for _, c := range d.Changes {
		if c.Follows && !bar {
			out, bar = append(out, "|"), true
		}
		out = append(out, c.Code)
	}
	return strings.Join(out, " ")
}

// Nothing follows from itself, over however many others: causes rank before what follows from them.
func TestRootsRankFirst(t *testing.T) {
	rank := func(code string) int { return slices.Index(codes, code) }
	for _, all := range kinds {
		for word := range strings.FieldsSeq(all) {
			require.True(t, rank(word) >= 0 || kinds[word] != "", word)
		}
	}
	for code, list := range roots {
		require.GreaterOrEqual(t, rank(code), 0, code)
		for word := range strings.FieldsSeq(list) {
			require.True(t, rank(word) >= 0 || kinds[word] != "", word)
		}
		for _, cause := range codes {
			if among(cause, list) && cause != code {
				require.Less(t, rank(cause), rank(code), "%s from %s", code, cause)
			}
		}
	}
}

// Nothing is called the same that could not be compared.
func TestNeverTheSameUnread(t *testing.T) {
	for name, do := range map[string]func(*result.Console){
		"version": func(c *result.Console) { c.Lampblack, c.Digests["dome/sheet-face.dxf"] = "0.2.0", "x" },
		"no list": func(c *result.Console) { c.Digests = nil },
		"stopped": func(c *result.Console) { c.Panels[0].Stopped = "route" },
	} {
		is := desk()
		do(&is)
		d := Consoles(desk(), is)
		require.Empty(t, d.Changes, name)
		require.NotEmpty(t, d.Unknown, name)
		require.False(t, d.Same, name)
	}
}

// Whatever a result.json of anybody's holds is compared without a crash, and with itself is no change. Use -fuzzminimizetime 10x: inputs of this
// size are minimized for a minute otherwise, during which nothing is tried.
func FuzzConsoles(f *testing.F) {
	b := desk().JSON()
	f.Add(b, b)
	f.Add(b, []byte(`{"panels":[{"name":"a","drawing":"x","holes":{"led":[{"x":1,"y":1,"d":3}]}}],"chains":[{"from":"a","links":[{"panel":"a"},{"panel":"b"}]}],"nests":[{"sheet":"face"},{"sheet":"face"}]}`))
	f.Add(b, []byte(`{"panels":[{"name":"dome","boards":[{"name":"a"},{"name":"b"}]}],"chains":[{"both_ends":true,"back":{}}]}`))
	f.Fuzz(func(t *testing.T, a, b []byte) {
		var was, is result.Console
		if json.Unmarshal(a, &was) != nil || json.Unmarshal(b, &is) != nil || len(a)+len(b) > 1<<16 {
			return
		}
		for _, c := range [2]result.Console{was, is} {
			require.Empty(t, Consoles(c, c).Changes)
		}
		for _, d := range [2]Difference{Consoles(was, is), Consoles(is, was)} {
			for _, b := range d.Boards {
				require.Equal(t, b.Fits, len(b.Why) == 0)
			}
		}
	})
}

// What packs tell is added but for what follows from changes already told.
func TestPacked(t *testing.T) {
	made := func(codes ...string) Difference {
		d := Difference{Boards: []Board{{Panel: "dome", Board: "dome", Why: []string{"its holes are others"}}}}
		for _, c := range codes {
			d.tell(c, "dome", "", "%s", c)
		}
		return d
	}
	for _, c := range []struct{ told, made, want string }{
		{"", "laminate print copper vias", "laminate copper vias print"},
		{"led-moved", "part-moved hole copper print mask", "led-moved copper mask print"},
		{"copper", "copper vias print", "copper print"},
		{"string", "part nets part-gone", "string"},
		{"light", "part-turned hole-gone", "part-turned hole-gone light"},
	} {
		d := Difference{Boards: []Board{{Panel: "dome", Board: "dome", Fits: true}}}
		if c.told != "" {
			d.tell(c.told, "dome", "", "%s", c.told)
		}
		d.Packed("dome", "dome", made(strings.Fields(c.made)...))
		var got []string
		for _, g := range Sorted(d, "dome").Changes {
			got = append(got, g.Code)
		}
		require.Equal(t, c.want, strings.Join(got, " "))
		require.False(t, d.Boards[0].Fits)
		require.NotEmpty(t, d.Boards[0].Why)
	}
}

// Lists of parts are compared by what is bought, also with the column heads of an earlier version.
func TestParts(t *testing.T) {
	const was = "references,quantity,kind,value,rating,package,note\nD1-D3,3,LED,red-3mm,,radial-3mm,\nR1,1,resistor,680R,1/4 W,r-1206,\n"
	const is = "quantity,part,value,rating,package,designators\n3,LED,red-3mm,,radial-3mm,D1-D3\n1,resistor,560R,1/4 W,r-1206,R1\n"
	changes, ok := Parts([]byte(was), []byte(is), 1)
	require.True(t, ok)
	require.Equal(t, []Change{
		{Code: "parts", Text: "to buy: resistor, 560R, 1/4 W, r-1206: none, now 1"}, {Code: "parts", Text: "to buy: resistor, 680R, 1/4 W, r-1206: 1, now none"},
	}, changes)
	changes, ok = Parts([]byte(is), []byte(strings.Replace(is, "3,LED", "4,LED", 1)), 1)
	require.True(t, ok)
	require.Equal(t, "to buy: LED, red-3mm, radial-3mm: 3, now 4", changes[0].Text)
	_, ok = Parts(nil, []byte(is), 1)
	require.False(t, ok)
}

// The schema of what is printed has what is printed, and nothing else.
func TestSchemaTellsWhatIsPrinted(t *testing.T) {
	var schema struct {
		Defs map[string]struct {
			Properties map[string]any
			Required   []string
		} `json:"$defs"`
	}
	require.NoError(t, json.Unmarshal(Schema(), &schema))
	change := schema.Defs["Change"]
	require.ElementsMatch(t, []string{"code", "text"}, change.Required)
	require.Len(t, change.Properties, 5)
	src, err := json.Marshal(Change{Code: "led-moved", Panel: "dome", Board: "dome", Text: "moved", Follows: true, slight: true})
	require.NoError(t, err)
	var printed map[string]any
	require.NoError(t, json.Unmarshal(src, &printed))
	for k := range printed {
		require.Contains(t, change.Properties, k)
	}
	require.Len(t, printed, 5)
}
