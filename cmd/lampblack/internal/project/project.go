// Package project reads lampblack.yaml, the file that says what belongs to one console.
//
// In goes the file's text, out comes a Project with every quantity in SI (lengths in geom.Nm) and every default filled in,
// and the findings. Reading is strict: an unknown or misspelt key, a wrong unit, an impossible value, anchors, aliases and
// tags are errors that carry file, line, column and the line itself. All faults of a file are told at once. Read touches
// no disk; Missing does, to tell drawings that are not there.
package project

import (
	"path"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"time"

	"lampblack/board"
	"lampblack/board/height"
	"lampblack/export/cost"
	"lampblack/export/filename"
	"lampblack/export/parts"
	"lampblack/export/sheet"
	"lampblack/export/stencil"
	"lampblack/led"
	"lampblack/led/bright"
	"lampblack/led/light"
	"lampblack/led/part"
	"lampblack/led/stray"
	"lampblack/panel/control"
	"lampblack/panel/diag"
	"lampblack/panel/dxf"
	"lampblack/panel/geom"
	"lampblack/panel/lettering"
	"lampblack/panel/material"
	"lampblack/panel/read"
)

// FileName is the project file's name in a project's folder.
const FileName = "lampblack.yaml"

// Project is one console, as its builder describes it.
type Project struct {
	File     string // as the user named it; empty when the defaults stand in for one
	Console  string
	Supply   Supply
	Feed     Feed
	Ambient  led.Celsius // where the console stands
	Chains   []Run
	Groups   []Group
	Defaults Defaults
	Kinds    []part.LED // LED kinds of the user's own, before the catalogue's

	ControlKinds []control.Kind // of the user's own, before the catalogue's

	Panels     []Panel
	Class      string // of fabrication: board.Classes
	Laminate   board.Laminate
	Rules      board.Rules
	Stencil    geom.Nm      // how thick it is
	TestPoints bool         // boards have them where there is room
	Fiducials  bool         // single boards have them too
	Least      board.Floors // what of Rules gives way to before a board is refused
	Copies     int          // consoles to make
	Orders     []Order
	Own        []parts.Own     // what the builder says of parts to buy
	Prices     string          // the price list's file, as written; empty: there is none
	Times      cost.Times      // how long work takes
	Kerf       geom.Nm         // width that the laser burns away
	Laser      sheet.Laser     // how the sheets tell it what to do
	Stock      Stock           // what the sheets are cut from
	Stroke     geom.Nm         // width of engraved lines
	Font       string          // of the lettering: one of lettering.Names, or a file; empty: as the drawings ask
	Fonts      []StyleFont     // of the drawings' text styles, before Font
	Stack      light.Stack     // thicknesses as measured, or nominal
	Thick      material.Sheets // how thick its sheets, and the plate, may be
	Eyes       stray.Eyes      // from where each panel is looked at
	DarkEdges  bool            // the diffuser's cut edges are painted or covered
	Plate      geom.Nm         // thickness of the sheet behind the LED sheet that carries the controls; 0: there is none
	Depth      geom.Nm         // of the case, from the face's front; 0: not told
	Heights    height.Kinds    // of parts, as far as they are told
	Mask       string          // colour of the boards' soldermask; empty: white
	Light      light.Limits    // when it is worth a finding
	Bright     bright.Levels
	Revision   string
	Date       time.Time // zero when none is given

	places map[string]diag.Place // of keys, by their path: "supply.volts", "panels.2.drawing"
}

// Supply is the power supply.
type Supply struct {
	Volts     part.Window
	Ohms      part.Ohm // inside it
	Battery   Battery
	Amps      part.Amp
	AlsoFeeds []Load
}

// Load is something else that the supply feeds; one of Amps, Watts and Ohms is set.
type Load struct {
	Name  string
	Amps  part.Amp
	Watts part.Watt
	Ohms  part.Ohm

	Inrush part.Amp // for a moment when it is switched on; 0: not told
}

// Feed is the pair of conductors between the supply and the boards.
type Feed struct {
	Wire      part.Wire
	Connector part.Amp // rating of one contact of the feed's connectors
	Contact   part.Ohm // resistance of one contact
	Celsius   float64  // temperature of the wires

	Fuse     part.Amp // of each chain at the supply; 0: the advised one
	FuseOhms part.Ohm // negative: typical of its rating
	Holder   part.Ohm // both contacts of its holder
	Switch   part.Ohm // 0: there is none
}

// Defaults hold for every panel that does not say otherwise.
type Defaults struct {
	LED        string          // kind of LEDs that none of LEDs takes
	LEDs       []read.KindRule // where a panel has several kinds
	Current    part.Amp
	Resistor   Resistor
	Connector  string // names a footprint, of the feed connectors
	FeedLength geom.Nm
	InSeries   int     // LEDs in a string at most; 0: as many as is safe
	MaxChange  float64 // of a string's current between nominal and its corners
	Mounting
}

// Resistor says which series resistors to use.
type Resistor struct {
	Series  part.Series
	Tol     float64   // 0.05 is 5 %
	Package string    // names a footprint: "r-1206"
	Kept    bool      // no larger one takes its place
	Rated   part.Watt // 0: what its package is sold for
	Used    float64   // share of its rating that is used: derating
}

// Panel is one entry of panels.
type Panel struct {
	Name       string
	Drawing    string // as written
	FeedLength geom.Nm
	Layers     []Layer
	LED        string          // kind of LEDs that none of LEDs takes; empty: as in Defaults
	LEDs       []read.KindRule // where it has several kinds
	Current    part.Amp
	Wire       part.Wire   // of the feed that leads to it; zero: the feed's
	InSeries   int         // 0: as in Defaults
	Units      string      // "mm", "inch" ...; empty: the drawing's own
	Roles      []read.Rule // what things are by their shape, their layer or both
	Join       geom.Nm     // gaps between ends up to this are closed; 0: read.DefaultJoin
	Sheets     read.Sheets // whether outlines of one size are sheets of one panel
	Stands     Stand       // in the console, for its picture
	Section    Section     // for its side view
	At         *dxf.XY     // of several panels in the drawing, the one round this point of it, mm
	Mounting               // what it does not say is the defaults'
}

// Layer says which layer of the drawing has a role.
type Layer struct{ Role, Name string }

// Roles are the layers that lampblack looks for, by their names of ours.
func Roles() []string {
	return []string{"outline", "board", "led", "opening", "mount", "body", "lettering", "window", "print", "print-back"}
}

// Units are the drawing units that a panel may name.
func Units() []string { return []string{"mm", "cm", "m", "um", "inch", "mil", "ft"} }

// New returns a project of nothing but defaults: those of led.Usual (12 V, 2 A, red 3 mm LEDs at 8 mA) and
// board.UsualRules.
func New(console string) Project {
	u := led.Usual()
	return Project{
		Console: console,
		Supply:  Supply{Volts: u.Supply, Amps: u.Rated},
		Ambient: u.Ambient,
		Feed: Feed{Wire: u.Wire, Connector: u.ConnectorRated, Contact: u.ContactOhms, Celsius: u.WireCelsius,
			Fuse: u.Fuse, FuseOhms: u.FuseOhms, Holder: u.HolderOhms, Switch: u.SwitchOhms},
		Defaults: Defaults{
			LED:        u.Defaults.Kind.Name,
			Current:    u.Defaults.Current,
			Resistor:   Resistor{u.Defaults.Series, u.Defaults.Tolerance, u.Defaults.ResistorPackage, !u.Defaults.ResistorGrows, u.Defaults.ResistorRated, u.Derating},
			Connector:  u.Defaults.ConnectorPackage,
			FeedLength: u.Defaults.FeedLength,
			MaxChange:  u.MaxChange,
			Mounting:   Mounting{KeepTurn: true, Slots: true}, // a wrong LED among those that all stand one way is seen at once
		},
		Class:      board.UsualClass,
		Rules:      board.UsualRules(),
		Least:      board.FloorsOf(board.UsualRules(), func(string) bool { return false }),
		Laminate:   board.UsualLaminate(),
		Stencil:    stencil.Usual,
		TestPoints: true,
		Stack:      light.UsualStack(),
		Thick:      usualThickness(light.UsualStack()),
		Eyes:       stray.UsualEyes(),
		Light:      light.UsualLimits(),
		// A carbon dioxide laser burns about 0.2 mm of 3 mm acrylic away (common practice; measure your own).
		Kerf:     geom.MM(0.2),
		Laser:    sheet.UsualLaser(),
		Stock:    usualStock(),
		Stroke:   lettering.Stroke,
		Revision: "A",
		Copies:   1,
		Times:    cost.UsualTimes(),
		places:   map[string]diag.Place{},
	}
}

// Bare returns the project that stands in when drawings are built without one: each drawing a panel named after its
// file, in one chain.
func Bare(drawings []string) (Project, diag.List) {
	p := New("Console")
	var l diag.List
	var chain []string
	for _, d := range drawings {
		name := NameOf(d)
		p.Panels = append(p.Panels, Panel{Name: name, Drawing: d, FeedLength: p.Defaults.FeedLength, Mounting: p.Defaults.Mounting})
		for i, q := range p.Panels[:len(p.Panels)-1] {
			if strings.EqualFold(q.Name, name) {
				l.Add(diag.Error, "project-same-name", "two drawings give panels of one name, %q: %s and %s", name, p.Panels[i].Drawing, d).
					In(d, 0).Of(name).
					Fix("rename one of the files, or write a %s that names each panel", FileName)
				break
			}
		}
		chain = append(chain, name)
	}
	if len(drawings) == 1 {
		p.Console = p.Panels[0].Name
	}
	p.Chains = []Run{{Boards: chain}}
	return p, l
}

// NameOf returns the panel name that a drawing's file name gives: its base without ending, other characters than
// letters, digits, - and _ made -.
func NameOf(drawing string) string {
	base := path.Base(filepath.ToSlash(drawing))
	base = strings.TrimSuffix(base, path.Ext(base))
	return filename.Of(base, "panel")
}

// Path returns where the drawing of panel i lies: relative to the project file's folder, or as given without one.
func (p Project) Path(i int) string {
	d := p.Panels[i].Drawing
	if p.File == "" || filepath.IsAbs(d) {
		return d
	}
	return filepath.Join(filepath.Dir(p.File), filepath.FromSlash(d))
}

// Has reports whether a key is written in the project file.
func (p Project) Has(key string) bool {
	_, ok := p.places[key]
	return ok
}

// Where returns where the project file says what a finding is about, told by keys, the most particular first, panels and orders
// by name: the first that is written, else the nearest one round any of them, the most general first. entry returns the index
// of the entry that gives a panel.
func (p Project) Where(keys []string, entry func(panel string) (int, bool)) diag.Place {
	if at, ok := p.Written(keys, entry); ok {
		return at
	}
	for _, k := range slices.Backward(keys) {
		if at := p.Place(p.pathOf(k, entry)); at.Line > 0 {
			return at
		}
	}
	return diag.Place{File: p.File}
}

// Written returns the place of the first of such keys that is written in the project file.
func (p Project) Written(keys []string, entry func(panel string) (int, bool)) (diag.Place, bool) {
	for _, k := range keys {
		if at, ok := p.places[p.pathOf(k, entry)]; ok {
			return at, true
		}
	}
	return diag.Place{}, false
}

// pathOf returns a key's path in the file, where panels, groups and orders are numbered; a single order stands without a dash.
func (p Project) pathOf(key string, entry func(panel string) (int, bool)) string {
	list, rest, _ := strings.Cut(key, ".")
	name, rest, _ := strings.Cut(rest, ".")
	n, ok := 0, false
	switch list {
	case "panels":
		n, ok = entry(name)
	case "order":
		n, ok = p.order(name)
	case "groups":
		n = slices.IndexFunc(p.Groups, func(g Group) bool { return g.Name == name })
		ok = n >= 0
	}
	if !ok {
		return key
	}
	if at := join(list, strconv.Itoa(n)); p.Has(at) || list == "panels" {
		list = at
	}
	return join(list, rest)
}

// order returns the index of the named order.
func (p Project) order(name string) (int, bool) {
	i := slices.IndexFunc(p.Orders, func(o Order) bool { return o.Name == name })
	return i, i >= 0
}

// Place returns where a key stands in the project file, by its path ("panels.2.drawing"); of a key that is not written,
// the nearest one round it that is.
func (p Project) Place(key string) diag.Place {
	for key != "" {
		if at, ok := p.places[key]; ok {
			return at
		}
		i := strings.LastIndexByte(key, '.')
		if i < 0 {
			break
		}
		key = key[:i]
	}
	return diag.Place{File: p.File}
}
