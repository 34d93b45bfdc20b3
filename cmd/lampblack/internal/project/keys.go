package project

import (
	"strings"
	"time"

	"github.com/goccy/go-yaml/ast"

	"lampblack/board"
	"lampblack/board/height"
	"lampblack/export/cost"
	"lampblack/export/parts"
	"lampblack/export/sheet"
	"lampblack/led"
	"lampblack/led/bright"
	"lampblack/led/light"
	"lampblack/led/part"
	"lampblack/led/stray"
	"lampblack/panel/geom"
	"lampblack/panel/lettering"
)

// Bounds of what a console's values may be. They catch slips of the pen (12 kV, 300 m), not bad taste.
const (
	mostVolt   = 60  // above that a supply is no extra-low voltage any more and wants other rules
	mostAmp    = 100 // of a supply
	mostLED    = 2   // A, of one LED
	mostOhm    = 100 // of a supply's inside, a contact
	mostFeed   = 100 * 1000 * geom.Millimetre
	mostPanels = 1000
)

// MostCopies is how many consoles may be made.
const MostCopies = 1000

// draft is a console as its file has it: what is left out, and what keys say of each other, is settled afterwards.
type draft struct {
	Project
	chain  []string
	chains []Run
	lamps  []lamp

	controls []controlKind
	limits   board.Rules // those told under rules
	margin   geom.Nm
	sheets   sheets
}

// fileKeys are the keys of a project file: the one description from which come the reader, the JSON Schema, README's
// tables, advice, and what may be tried.
func fileKeys() mapping[draft] {
	return mapping[draft]{keys: []key[draft]{
		{name: "console", is: bind(line(), func(d *draft) *string { return &d.Console }),
			help: "name of the whole", usual: "`Console`", eg: []string{"Ridge observatory desk"}},
		{name: "supply", is: bind(supplyKeys(), func(d *draft) *Supply { return &d.Supply }),
			help: "the power supply", usual: "as below"},
		{name: "feed", is: bind(feedKeys(), func(d *draft) *Feed { return &d.Feed }),
			help: "the pair of wires that leads from the supply from board to board", usual: "as below"},
		{name: "chain", is: bind(names(""), func(d *draft) *[]string { return &d.chain }),
			help: "list of panels along the feed, from the supply on; a panel with several boards stands for all of them, or each stands by its name, as `long-a`", usual: "all, in the order of `panels`", eg: []string{"[dome, mount]"}},
		{name: "chains", is: bind(list[Run]{of: runs{runKeys()}, word: "chain", fresh: func() Run { return Run{BackLength: -1} }}, func(d *draft) *[]Run { return &d.chains }),
			help: "in place of `chain`, several: each a list of panels, or keys", usual: "none", eg: []string{"[[dome, mount], [focus]]"}},
		{name: "groups", is: bind(list[Group]{of: groupKeys(), word: "group", most: mostGroups, fresh: func() Group { return Group{Duty: 1} }}, func(d *draft) *[]Group { return &d.Groups }),
			help: "list of LEDs that are dimmed apart, on a supply wire of their own", usual: "none", eg: []string{"[{name: night, leds: [red-3mm], duty: 30 %}]"}},
		{name: "defaults", is: bind(defaultKeys(), func(d *draft) *Defaults { return &d.Defaults }),
			help: "what holds for every panel that does not say otherwise", usual: "as below"},
		{name: "leds", is: bind(list[lamp]{of: lampKeys(), word: "LED kind", fresh: newLamp}, func(d *draft) *[]lamp { return &d.lamps }),
			help: "list of kinds of LED of your own, from their data sheets; one takes the place of ours of the same name", usual: "none",
			eg: []string{"[{name: night-red, colour: red, forward: 1.9 V, max_current: 25 mA}]"}},
		{name: "control_kinds", is: bind(list[controlKind]{of: controlKindKeys(), word: "control kind"}, func(d *draft) *[]controlKind { return &d.controls }),
			help: "list of kinds of controls of your own, from their data sheets; one takes the place of ours of the same name", usual: "none",
			eg: []string{"[{name: dimmer, use: knob, bush: 8 mm, thread: 9 mm, nut: 11 mm, nut_thickness: 2 mm, body: 20 mm, depth: 12 mm}]"}},
		{name: "panels", is: bind(list[Panel]{of: panelKeys(), word: "panel", most: mostPanels}, func(d *draft) *[]Panel { return &d.Panels }),
			need: true, later: true, help: "list of the console's panels", usual: "needed", eg: []string{"[{name: dome, drawing: dome.dxf}]"}},
		{name: "margin", is: bind(lengths(0, 100*geom.Millimetre), func(d *draft) *geom.Nm { return &d.margin }),
			help: "from the panel's edge to the board's", usual: "1 mm", eg: []string{"1 mm"}},
		{name: "kerf", is: bind(lengths(0, 2*geom.Millimetre), func(d *draft) *geom.Nm { return &d.Kerf }),
			help: "width that the laser burns away; the sheets allow for it", usual: "0.2 mm", eg: []string{"0.2 mm"}},
		{name: "laser", is: bind(laserKeys(), func(d *draft) *sheet.Laser { return &d.Laser }),
			help: "how the files of the sheets tell the laser's program what to do", usual: "as below"},
		{name: "stock", is: bind(stockKeys(), func(d *draft) *Stock { return &d.Stock }),
			help: "what the sheets of all panels, for all `copies`, are cut from: they are nested on as few sheets of it as can be, in true shape, small ones in the windows of large ones. A sheet of stock is its size, or keys: with `{size: 600 x 400 mm, turns: half}` pieces are turned by half turns alone, which keeps a grain, with `turns: none` not at all, and else by quarters (`any`)", usual: "no nests"},
		{name: "engraving", is: bind(engraving{engravingKeys()}, func(d *draft) *draft { return d }),
			help: "what the laser does to the face's paint, and so what is seen through it; or its finish alone, `engraving: clear`", usual: "as below", eg: []string{"{width: 0.3 mm, finish: frosted}", "clear"}},
		{name: "font", is: bind(face{}, func(d *draft) *string { return &d.Font }),
			help: "face of all lettering: `" + strings.Join(lettering.Names(), "`, `") + "`, or a TrueType or OpenType file beside the project", usual: "what the drawings' styles ask for, or `plain`", eg: []string{lettering.Condensed, "plate.ttf"}},
		{name: "fonts", is: bind(styles{}, func(d *draft) *[]StyleFont { return &d.Fonts }),
			help: "face of the texts of a style of the drawings, before `font`", usual: "none", eg: []string{"{TITLES: plate.ttf, SCALES: single-line}"}},
		{name: "fabrication", is: bind(fabricationKeys(), func(d *draft) *board.Laminate { return &d.Laminate }),
			help: "what the boards are made of", usual: "as below"},
		{name: "test_points", is: bind(yesNo{}, func(d *draft) *bool { return &d.TestPoints }),
			help: "`yes`: where there is room behind, boards have bare pads for a meter's tip, with their names beside them: `TP+` and `TP-` for the feed, `TP3` behind resistor `R3` for its string; groups have `TP+1`, `TP+2` in the order of their conductors", usual: "`yes`", eg: []string{"no"}},
		{name: "fiducials", is: bind(yesNo{}, func(d *draft) *bool { return &d.Fiducials }),
			help: "`yes`: each board has three fiducials of its own near its corners, on the sides with parts on the surface, for a machine that places them; an `order` has some in its frame anyway", usual: "`no`", eg: []string{"yes"}},
		{name: "stencil", is: bind(lengths(geom.MM(0.05), geom.MM(0.5)), func(d *draft) *geom.Nm { return &d.Stencil }),
			help: "how thick the stencil for solder paste is; of effect only where parts stand on the surface. It is told which openings would keep their paste (IPC-7525)", usual: "0.12 mm", eg: []string{"0.12 mm"}},
		{name: "rules", is: bind(ruleKeys(), func(d *draft) *draft { return d }),
			help: "class of fabrication and single limits of the board, all of them lengths", usual: "class `usual`"},
		{name: "copies", is: bind(counts(1, MostCopies), func(d *draft) *int { return &d.Copies }),
			help: "consoles to make, for which parts, wires, boards, arrays, sheets and nests are counted together; `build --copies 10` counts for another number", usual: "1", eg: []string{"3"}},
		{name: "parts", is: bind(ownParts{}, func(d *draft) *[]parts.Own { return &d.Own }),
			help: "what you say of parts to buy, by a value, a package, or a part and its value as `parts.csv` has them: `number`, as you order it, `price` of one, `note`. It stands in `parts.csv` and in the report after every build; the closest name holds", usual: "columns left empty", eg: []string{"{red-3mm: {number: bin 12, price: 0.08}, resistor 4k7: {number: bin 3}}"}},
		{name: "prices", is: bind(listFile(), func(d *draft) *string { return &d.Prices }),
			help: "your own price list, a file beside the project, by which `cost.csv` and the report tell what a console costs", usual: "nothing is priced, but work and material are counted", eg: []string{PriceList}},
		{name: "times", is: bind(timeKeys(), func(d *draft) *cost.Times { return &d.Times }),
			help: "how long work takes, for `cost.csv` and the report", usual: "as below"},
		{name: "order", is: bind(someOf[Order]{list[Order]{of: orderKeys(), word: "order", most: mostOrders, fresh: newOrder}}, func(d *draft) *[]Order { return &d.Orders }),
			help:  "several boards, also different ones, on one panel for the board house, with a frame, tooling holes and fiducials, as a pack of its own, split into several where one does not hold all; or a list of such",
			usual: "none", eg: []string{"{name: spares, boards: {focus: 4, dome: 2}}"}},
		{name: "stack", is: bind(sheetKeys(), func(d *draft) *sheets { return &d.sheets }),
			help: "the sheets in front of the LEDs", usual: "as below"},
		{name: "heights", is: bind(list[height.Kind]{of: heightKeys(), word: "height"}, func(d *draft) *[]height.Kind { return (*[]height.Kind)(&d.Heights) }),
			help: "list of parts on the boards whose heights a data sheet or a ruler tells; of all others typical ones count", usual: "none",
			eg: []string{"[{body: terminal-3.5, height: 10.5 mm, pins: 3.5 mm}]"}},
		{name: "eyes", is: bind(eyeKeys(), func(d *draft) *stray.Eyes { return &d.Eyes }),
			help: "the box of places from which each panel is looked at, from its middle; it is told which LEDs are seen from there through openings and gaps, and where the diffuser's cut edge glows", usual: "as below"},
		{name: "light", is: bind(lightKeys(), func(d *draft) *light.Limits { return &d.Light }),
			help: "when uneven light is worth a warning", usual: "as below"},
		{name: "bright", is: bind(brightness{}, func(d *draft) *bright.Levels { return &d.Bright }),
			help: "how bright the lettering is to be: a use (" + usesInWords() + "), or levels of your own. The LEDs of each panel and colour then get the current by which all words match, and what a dimmer must span is told", usual: "LEDs get `current`, and it is told which use that suits", eg: append(useNames(), "{night: 0.15, full: 5 cd/m2}"), try: useNames()[1]},
		{name: "revision", is: bind(revision(), func(d *draft) *string { return &d.Revision }),
			help: "printed on the boards, and told in every file that has a place for words", usual: "`A`", eg: []string{"A", "1.2"}},
		{name: "date", is: bind(dates(), func(d *draft) *time.Time { return &d.Date }),
			help: "a day; files carry a date only with this or `--date`", usual: "none", eg: []string{"2026-11-25"}},
		{name: "temperature", is: bind(temperatures(livable), func(d *draft) *led.Celsius { return &d.Ambient }),
			help: "where the console stands: `20 C`, or `-10 C .. 30 C`", usual: "25 C", eg: []string{"20 C", "-10 C .. 30 C"}, try: "-10..30"},
	}}
}

func supplyKeys() mapping[Supply] {
	return mapping[Supply]{keys: []key[Supply]{
		{name: "volts", is: bind(windows(), func(s *Supply) *part.Window { return &s.Volts }),
			help: "voltage: one value, a window, or `12 V +- 5 %`", usual: "12 V, with a warning", eg: []string{"12 V", "11.1 V .. 12.6 V"}, try: "24V"},
		{name: "amps", is: bind(currents(mostAmp, part.Ampere), func(s *Supply) *part.Amp { return &s.Amps }),
			help: "what the supply can deliver", usual: "2 A, with a warning", eg: []string{"2 A", "600 mA"}, try: "3A"},
		{name: "battery", is: bind(batteryKeys(), func(s *Supply) *Battery { return &s.Battery }),
			help: "in place of `volts`", usual: "none", eg: []string{"{chemistry: lead-acid, capacity: 7 Ah}"}},
		{name: "resistance", is: bind(ohms(0, mostOhm), func(s *Supply) *part.Ohm { return &s.Ohms }),
			help: "inside the supply", usual: "0", eg: []string{"50 mohm", "0.05 ohm"}},
		{name: "also_feeds", is: bind(list[Load]{of: loadKeys(), word: "load"}, func(s *Supply) *[]Load { return &s.AlsoFeeds }),
			help: "list of other loads on the supply; each tells one of `amps`, `watts` and `ohms`", usual: "none", eg: []string{"[{name: dew heater, amps: 600 mA}]"}},
	}, whole: func(r *reader, _ ast.Node, _ spot, s *Supply) {
		if c, ok := part.FindChemistry(s.Battery.Chemistry); ok {
			s.Volts = c.Window(s.Battery.Cells)
		}
	}}
}

func batteryKeys() mapping[Battery] {
	var chemistries []string
	for _, c := range part.Chemistries() {
		chemistries = append(chemistries, c.Name)
	}
	return mapping[Battery]{keys: []key[Battery]{
		{name: "chemistry", is: bind(choice{words: chemistries}, func(b *Battery) *string { return &b.Chemistry }), need: true,
			help: "`" + strings.Join(chemistries, "`, `") + "`", usual: "needed", eg: chemistries},
		{name: "cells", is: bind(counts(1, mostCells), func(b *Battery) *int { return &b.Cells }),
			help: "in series", usual: "those of 12 V", eg: []string{"6"}},
		{name: "capacity", is: bind(quantity[float64]{as: part.AmpereHours(), per: 1, most: mostHours, above: true, unit: "Ah", say: ampereHours},
			func(b *Battery) *float64 { return &b.AmpHours }), help: "tells how long it lasts", usual: "not told", eg: []string{"7 Ah", "2500 mAh"}},
	}, whole: func(r *reader, n ast.Node, at spot, b *Battery) {
		c, ok := part.FindChemistry(b.Chemistry)
		if !ok {
			*b = Battery{} // told
			return
		}
		if b.Cells == 0 {
			b.Cells = c.Cells
		}
		if w := c.Window(b.Cells); w.Max > mostVolt {
			r.add(n, "project-impossible-value", "%s: %d cells in series have up to %v, more than %d V", r.say(at.path), b.Cells, w.Max, mostVolt).
				Fix("use at most %d", int(mostVolt/float64(c.Most)))
			*b = Battery{}
		}
	}}
}

func loadKeys() mapping[Load] {
	return mapping[Load]{keys: []key[Load]{
		{name: "name", is: bind(line(), func(l *Load) *string { return &l.Name }), help: "for lists", usual: "none", eg: []string{"dew heater"}},
		{name: "amps", is: bind(currents(mostAmp, part.Ampere), func(l *Load) *part.Amp { return &l.Amps }),
			help: "what it draws, whatever the voltage", usual: "none", eg: []string{"2 A", "600 mA"}},
		{name: "watts", is: bind(quantity[part.Watt]{as: part.Watts(), per: 1, most: 5000, above: true, unit: "W", say: part.Watt.String},
			func(l *Load) *part.Watt { return &l.Watts }), help: "of a converter", usual: "none", eg: []string{"6 W"}},
		{name: "ohms", is: bind(shortless(), func(l *Load) *part.Ohm { return &l.Ohms }), help: "of a heater or a lamp", usual: "none", eg: []string{"24 ohm"}},
		{name: "inrush", is: bind(currents(mostAmp, part.Ampere), func(l *Load) *part.Amp { return &l.Inrush }),
			help: "what it draws for a moment when it is switched on", usual: "not told", eg: []string{"4 A"}},
	}, whole: func(r *reader, n ast.Node, at spot, l *Load) {
		given := 0
		for _, k := range []string{"amps", "watts", "ohms"} {
			if r.has(join(at.path, k)) {
				given++
			}
		}
		switch {
		case given == 0:
			r.add(n, "project-missing-key", "%s needs amps", r.say(at.path)).Fix("write amps: 600 mA, or in its place watts: 6 W, or ohms: 24 ohm")
		case given > 1:
			r.add(n, "project-impossible-value", "%s tells what it draws in more than one way", r.say(at.path)).
				Fix("keep one: amps for a fixed current, watts for a converter, ohms for a heater or a lamp")
		}
	}}
}

// shortless are resistances of a load.
func shortless() quantity[part.Ohm] {
	q := ohms(0.01, 1e9)
	plain := q.say
	q.say = func(v part.Ohm) string {
		if v == q.least {
			return plain(v) + ", a short circuit"
		}
		return plain(v)
	}
	return q
}

func feedKeys() mapping[Feed] {
	return mapping[Feed]{keys: []key[Feed]{
		{name: "wire", is: bind(wires(), func(f *Feed) *part.Wire { return &f.Wire }),
			help: "both conductors of the feed", usual: "0.5 mm2", eg: []string{"0.5 mm2", "24 AWG"}},
		{name: "connector", is: bind(currents(mostAmp, part.Ampere), func(f *Feed) *part.Amp { return &f.Connector }),
			help: "rating of one contact", usual: "3 A", eg: []string{"3 A"}},
		{name: "contact", is: bind(ohms(0, mostOhm), func(f *Feed) *part.Ohm { return &f.Contact }),
			help: "resistance of one contact", usual: "10 mohm", eg: []string{"10 mohm", "0.01 ohm"}},
		{name: "temperature", is: adding(temperatures(single), func(f *Feed, c led.Celsius) { f.Celsius = c.Nominal }),
			help: "of the wires, the highest", usual: "20 C", eg: []string{"40 C"}},
		{name: "fuse", is: bind(currents(mostAmp, part.Ampere), func(f *Feed) *part.Amp { return &f.Fuse }),
			help: "between the supply and each chain", usual: "the advised one", eg: []string{"1 A", "630 mA"}},
		{name: "fuse_resistance", is: bind(ohms(0, mostOhm), func(f *Feed) *part.Ohm { return &f.FuseOhms }),
			help: "of the fuse, cold; 0 counts none", usual: "typical of its rating", eg: []string{"200 mohm"}},
		{name: "fuse_holder", is: bind(ohms(0, mostOhm), func(f *Feed) *part.Ohm { return &f.Holder }),
			help: "resistance of both contacts of the fuse's holder", usual: "10 mohm", eg: []string{"10 mohm"}},
		{name: "switch", is: bind(ohms(0, mostOhm), func(f *Feed) *part.Ohm { return &f.Switch }),
			help: "resistance of the switch before each chain; 0 without one. New toggle switches have 10 to 20 mohm, sealed ones up to 50", usual: "20 mohm", eg: []string{"20 mohm"}},
	}}
}

// fabricationKeys are what the boards are made of. The bounds are what board houses keep on the shelf.
func fabricationKeys() mapping[board.Laminate] {
	copper := lengths(board.Ounce/2, 4*board.Ounce)
	copper.as, copper.unit = copper.as.Bare("um"), "um"
	copper.say = func(v geom.Nm) string { return micrometres(int64(v)) + " um" }
	return mapping[board.Laminate]{keys: []key[board.Laminate]{
		{name: "thickness", is: bind(lengths(geom.MM(0.4), geom.MM(3.2)), func(l *board.Laminate) *geom.Nm { return &l.Thickness }),
			help: "of the boards", usual: "1.6 mm", eg: []string{"1.6 mm"}},
		{name: "copper", is: bind(copper, func(l *board.Laminate) *geom.Nm { return &l.Copper }),
			help: "of each side, 17.5 um to 140 um; 35 um is 1 oz/ft². The thicker it is, the narrower a track may be that carries the supply", usual: "35 um", eg: []string{"35 um", "70 um"}},
	}}
}
