package result

import (
	"math"

	"lampblack/board/fasten"
	"lampblack/led"
	"lampblack/led/light"
	"lampblack/led/stray"
	"lampblack/panel"
	"lampblack/panel/geom"
	"lampblack/panel/material"
)

// Panel is one panel; what was not reached is left out.
type Panel struct {
	Name             string       `json:"name" doc:"its name"`
	Drawing          string       `json:"drawing" doc:"its DXF file, as the project names it"`
	BBox             [4]float64   `json:"bbox_mm" doc:"of the outline: x0, y0, x1, y1"`
	OutlineArea      float64      `json:"outline_area_mm2" doc:"within the outline" schema:"min=0"`
	OutlinePerimeter float64      `json:"outline_perimeter_mm" doc:"of the outline" schema:"min=0"`
	Outline          Path         `json:"outline,omitempty" doc:"its corners, as those of an opening"`
	Holes            Holes        `json:"holes" doc:"the round holes"`
	Openings         []Loop       `json:"openings" doc:"holes for switches, knobs, displays"`
	Bodies           []Loop       `json:"bodies" doc:"space of parts behind it, where no board may be: drawn ones, then those of controls of which none is drawn"`
	BodiesFrom       string       `json:"bodies_from,omitempty" doc:"the sheet behind whose back bodies of no control begin: led-sheet, diffuser or face; sheets behind that one are cut for them"`
	Room             []Room       `json:"room" doc:"kept free behind openings of which no body tells, for parts wider than their hole: no body was drawn there"`
	Controls         []Control    `json:"controls,omitempty" doc:"what sits in openings, as far as the project tells"`
	Sheets           []Sheet      `json:"sheets,omitempty" doc:"what the laser cuts for it, from the front"`
	Screws           []Screw      `json:"screws,omitempty" doc:"what goes into each mount, where its boards were made"`
	Fit              []Fit        `json:"fit,omitempty" doc:"how the LEDs of each board come to the diffuser as the sheets come out"`
	Depth            *Depth       `json:"depth,omitempty" doc:"how far it reaches before and behind its face, where its boards were made"`
	Lettering        []Text       `json:"lettering" doc:"texts engraved through the paint"`
	Windows          []LitWindow  `json:"windows,omitempty" doc:"lit through the face and no lettering"`
	Light            *Light       `json:"light,omitempty" doc:"how evenly the lettering is lit"`
	Seen             []Seen       `json:"seen,omitempty" doc:"LEDs that are seen directly, otherwise than through the lettering"`
	Strings          []String     `json:"strings,omitempty" doc:"LEDs in series with a resistor"`
	Groups           []Group      `json:"groups,omitempty" doc:"its supply conductors, where LEDs are dimmed in groups"`
	Board            *Board       `json:"board,omitempty" doc:"the finished board"`
	Boards           []PanelBoard `json:"boards,omitempty" doc:"the boards, in place of strings and board, where it has several"`
	Unlit            bool         `json:"unlit,omitempty" doc:"no LEDs are drawn and the project wants none: it has sheets, but no board"`
	Stopped          string       `json:"stopped,omitempty" doc:"the stage that found an error"`
	Files            []string     `json:"files,omitempty" doc:"its files, below the output folder"`
}

// PanelBoard is one of several boards behind a panel.
type PanelBoard struct {
	Name    string     `json:"name" doc:"its name, also in chains"`
	BBox    [4]float64 `json:"bbox_mm" doc:"of its outline: x0, y0, x1, y1"`
	Strings []String   `json:"strings,omitempty" doc:"LEDs in series with a resistor"`
	Groups  []Group    `json:"groups,omitempty" doc:"its supply conductors, where LEDs are dimmed in groups"`
	Board   *Board     `json:"board,omitempty" doc:"the finished board"`
	Files   []string   `json:"files,omitempty" doc:"its files, below the output folder"`
}

// Every returns the panel's boards, also where there is only one, which goes by the panel's name; none of one that is not lit.
func (p Panel) Every() []PanelBoard {
	if len(p.Boards) > 0 || p.Unlit {
		return p.Boards
	}
	return []PanelBoard{{Name: p.Name, Strings: p.Strings, Groups: p.Groups, Board: p.Board, Files: p.Files}}
}

// Holes is the round holes.
type Holes struct {
	LED   []Hole `json:"led" doc:"that hold the LEDs"`
	Mount []Hole `json:"mount" doc:"by which the board is screwed to the panel"`
}

// Hole is a hole's centre and diameter.
type Hole struct {
	X float64 `json:"x" doc:"of its centre, mm"`
	Y float64 `json:"y" doc:"of its centre, mm"`
	D float64 `json:"d" doc:"its diameter, mm" schema:"min=0"`

	Kind   string `json:"kind,omitempty" doc:"of an LED: its kind, where a rule of the project gives it"`
	Placed bool   `json:"placed,omitempty" doc:"of an LED: nobody drew it, it was put where light was wanted"`
}

// Loop is a closed loop.
type Loop struct {
	Area float64    `json:"area_mm2" doc:"within it" schema:"min=0"`
	BBox [4]float64 `json:"bbox_mm" doc:"x0, y0, x1, y1"`
	Path Path       `json:"path,omitempty" doc:"its corners, parted by commas: x and y in mm, and where an arc begins its bulge, as in DXF: the tangent of a quarter of its angle, positive counter-clockwise"`
}

// Sheet is one sheet for the laser.
type Sheet struct {
	Name      string  `json:"name" doc:"face, diffuser, led, plate or spacer"`
	Of        string  `json:"of" doc:"the panel or board whose folder has its files"`
	Material  string  `json:"material" doc:"in words"`
	Thickness float64 `json:"thickness_mm" doc:"that it is sold as" schema:"min=0"`
	Least     float64 `json:"least_mm,omitempty" doc:"that it may come out as: as sheets of its kind do, or as somebody measured it" schema:"min=0"`
	Most      float64 `json:"most_mm,omitempty" doc:"that it may come out as" schema:"min=0"`
	Measured  bool    `json:"measured,omitempty" doc:"somebody measured it: everything is made for the middle of least_mm and most_mm"`
	Width     float64 `json:"width_mm" doc:"of its outline" schema:"min=0"`
	Height    float64 `json:"height_mm" doc:"of its outline" schema:"min=0"`
	Cut       float64 `json:"cut_mm" doc:"along all cuts" schema:"min=0"`
	Holes     int     `json:"holes" doc:"cut out of it" schema:"min=0"`
	Engraved  float64 `json:"engraved_mm2,omitempty" doc:"area that is engraved" schema:"min=0"`
	Behind    bool    `json:"from_behind,omitempty" doc:"its file is drawn as seen from behind, with the painted back up"`
}

// Fit is how a board's LEDs come to the diffuser as the sheets come out.
type Fit struct {
	Board    string   `json:"board" doc:"its name"`
	LEDSheet Span     `json:"led_sheet_mm" doc:"thickness of the LED sheet"`
	Tips     Span     `json:"tips_to_diffuser_mm" doc:"from the tips of its tallest LEDs to the diffuser, while all are soldered equally high"`
	Higher   bool     `json:"soldered_higher,omitempty" doc:"behind a thicker LED sheet its LEDs are soldered as much higher over the board"`
	Washer   float64  `json:"washer_mm,omitempty" doc:"thickness of the washers" schema:"min=0"`
	Thread   string   `json:"washer_for,omitempty" doc:"the thread that they are for"`
	Support  *Support `json:"support,omitempty" doc:"how its screws hold it; null without any"`
	Proposed []Spot   `json:"proposed_mounts,omitempty" doc:"where more screws have room, if it wants some"`
	Washers  []Washer `json:"washers,omitempty" doc:"on each screw, between the LED sheet or the plate and what keeps the board off it, by how thin the LED sheet came out"`
}

// Support is how screws hold a board, and what is not held of it.
type Support struct {
	Far      Spot    `json:"farthest" doc:"the place on it that is farthest from a screw"`
	Distance float64 `json:"farthest_mm" doc:"so far" schema:"min=0"`
	Bow      float64 `json:"bow_mm" doc:"by which board (IPC-6012) and diffuser, one face damper than the other, may come nearer to each other there" schema:"min=0"`
	Clear    float64 `json:"tips_clear_mm" doc:"what is likely left between LEDs' tips and diffuser there"`
	Round    Spot    `json:"round" doc:"of the screws the one nearest to the middle: where slots are wanted, this one stays a round hole"`
	Grows    float64 `json:"grows_mm" doc:"by how much the LED sheet outgrows the board, by temperature and moisture, between the two screws with the least play for it" schema:"min=0"`
	Play     float64 `json:"play_mm" doc:"what the holes of both leave for it" schema:"min=0"`
	Lamps    float64 `json:"grows_at_led_mm" doc:"by how much it does as far as the farthest LED" schema:"min=0"`
}

// Spot is a place in the drawing.
type Spot struct {
	X float64 `json:"x" doc:"mm"`
	Y float64 `json:"y" doc:"mm"`
}

// Washer is so many washers.
type Washer struct {
	Below float64 `json:"led_sheet_below_mm" doc:"thickness of the LED sheet" schema:"min=0"`
	Count int     `json:"count" doc:"of washers" schema:"min=1"`
}

// Span is what a length may come to.
type Span struct {
	Least   float64 `json:"least" doc:"at worst"`
	Nominal float64 `json:"nominal" doc:"with everything as it is called, or as it was measured"`
	Most    float64 `json:"most" doc:"at worst"`
}

// SpanOf tells a range, moved by so much.
func SpanOf(r material.Range, by geom.Nm) Span {
	return Span{num((r.Least + by).MM(), 3), num((r.Nominal + by).MM(), 3), num((r.Most + by).MM(), 3)}
}

// FitOf tells how LEDs come to the diffuser, which is a gap behind the LED sheet.
func FitOf(q panel.Panel, all []fasten.Adjustment, held []fasten.Support, gap geom.Nm, sheet material.Range) []Fit {
	var out []Fit
	f := frame(q.Origin)
	place := func(p geom.Pt) Spot {
		x, y := f.at(p)
		return Spot{x, y}
	}
	for i, a := range all {
		one := Fit{Board: a.Board, LEDSheet: SpanOf(sheet, 0), Tips: SpanOf(a.Tips, gap), Higher: a.Leaded}
		if h := held[i]; h.Screws > 0 {
			one.Support = &Support{
				place(h.Far), num(h.Distance.MM(), 3), num(h.Bow.MM(), 3), num(h.Clear.MM(), 3), place(h.Round), num(h.Grows.MM(), 3), num(h.Play.MM(), 3), num(h.Lamps.MM(), 3),
			}
		}
		for _, p := range held[i].Proposed {
			one.Proposed = append(one.Proposed, place(p))
		}
		for _, w := range a.Washers {
			one.Washer, one.Thread = num(a.Washer.MM(), 3), a.Thread
			one.Washers = append(one.Washers, Washer{num(w.Below.MM(), 3), w.Count})
		}
		out = append(out, one)
	}
	return out
}

// Screw is what goes into a mount, from the front: a screw through face and diffuser, a spacer, the LED sheet and, where it holds
// a board, a second spacer and the board; then washer and nut.
type Screw struct {
	X      float64 `json:"x" doc:"of the mount's centre, mm"`
	Y      float64 `json:"y" doc:"of the mount's centre, mm"`
	D      float64 `json:"d" doc:"of the hole, or the width of the slot, mm" schema:"min=0"`
	Slot   float64 `json:"slot_mm,omitempty" doc:"length of the longest slot that a sheet has for it, as wide as the hole, pointing to the board's support.round; absent: round holes, or as drawn" schema:"min=0"`
	Board  string  `json:"board,omitempty" doc:"that it holds; absent: the sheets alone"`
	Thread string  `json:"thread,omitempty" doc:"metric; absent: no usual screw fits"`
	Length float64 `json:"length_mm,omitempty" doc:"of the screw under its head; absent: longer than any" schema:"min=0"`
	Out    float64 `json:"out_mm,omitempty" doc:"how far it stands out behind what it holds" schema:"min=0"`
	Front  float64 `json:"front_spacer_mm,omitempty" doc:"between diffuser and LED sheet" schema:"min=0"`
	Rear   float64 `json:"rear_spacer_mm,omitempty" doc:"between LED sheet, or the plate behind it, and board; absent where a spacer sheet is there" schema:"min=0"`
	Above  float64 `json:"leds_above_mm,omitempty" doc:"how far above the board its tallest LEDs with leads are soldered" schema:"min=0"`
}

// Room is space that is kept free behind an opening, the opening included.
type Room struct {
	Loop
	Opening int     `json:"opening" doc:"which of openings it is behind, from 0" schema:"min=0"`
	Beyond  float64 `json:"beyond_mm" doc:"how far it reaches beyond the opening's edge" schema:"min=0"`
	Guessed bool    `json:"guessed,omitempty" doc:"by the size of common parts; else the project tells it"`
	For     string  `json:"for,omitempty" doc:"the common parts, where it is guessed"`
}

// Text is a piece of lettering, by its anchor.
type Text struct {
	Text   string  `json:"text" doc:"what it says"`
	X      float64 `json:"x" doc:"of its anchor, mm"`
	Y      float64 `json:"y" doc:"of its anchor, mm"`
	Height float64 `json:"height" doc:"of its capitals, mm" schema:"min=0"`
}

// Light is how evenly the lettering is lit.
type Light struct {
	Lit
	Set       string   `json:"set,omitempty" doc:"where LEDs are in sets: the one whose light is the least even; these figures, the contrast and the words are of it by itself"`
	Engraving string   `json:"engraving" doc:"finish of the engraving that it is seen through: frosted or clear" schema:"enum=frosted|clear"`
	Spot      float64  `json:"spot,omitempty" doc:"how many times as bright the place over an LED looks as by scattered light alone; left out where nothing else is seen" schema:"min=1"`
	Contrast  float64  `json:"contrast,omitempty" doc:"how many times as bright the lettering is on average as the brightest place of the paint, by what that lets through" schema:"min=0"`
	Relative  bool     `json:"relative,omitempty" doc:"an LED's intensity is not known: only ratios mean something"`
	Colours   []Colour `json:"colours,omitempty" doc:"colour by colour, where the LEDs have several"`
	Words     []Lit    `json:"words,omitempty" doc:"word by word"`
	Sets      []Alone  `json:"sets,omitempty" doc:"where LEDs are in sets, each by itself with the others off"`
	Thin      *Lit     `json:"sheets_thin,omitempty" doc:"all of it, with LED sheet and diffuser as thin as they may come out and the LEDs soldered equally high; absent where both were measured"`
	Thick     *Lit     `json:"sheets_thick,omitempty" doc:"with both as thick as they may come out"`
	Lots      *Lots    `json:"lots,omitempty" doc:"what LEDs as they are sold do to the words; absent with several colours"`
	Lasting   *Lasting `json:"one_string_dark,omitempty" doc:"the word that is hit worst when one string is dark"`
	Spill     *Spill   `json:"spill,omitempty" doc:"the word that shows most when its group of LEDs is off; absent without groups"`
	Edge      *Edge    `json:"diffuser_edge,omitempty" doc:"the brightest place of the diffuser's cut edges that an eye sees; absent where none is, with clear engraving, with a diffuser that passes light unscattered, and with edges painted"`
}

// Edge is a place of the diffuser's cut edges.
type Edge struct {
	At    string  `json:"at" doc:"control: in the opening of one; rim: of the panel" schema:"enum=control|rim"`
	X     float64 `json:"x" doc:"mm"`
	Y     float64 `json:"y" doc:"mm"`
	Times float64 `json:"times" doc:"how many times as bright as the lettering is on average, within a factor of 1.5" schema:"min=0"`
}

// EdgeOf tells of it; nil where none is seen.
func EdgeOf(q panel.Panel, e stray.Edge) *Edge {
	if e.Times <= 0 {
		return nil
	}
	x, y := frame(q.Origin).at(e.Gap.At)
	return &Edge{e.Gap.Kind.String(), x, y, num(e.Times, 3)}
}

// Lasting is what a word keeps of its light when one string is dark.
type Lasting struct {
	Word  string   `json:"word" doc:"the word, or what is drawn"`
	Drawn bool     `json:"drawn,omitempty" doc:"it is no word"`
	X     float64  `json:"x" doc:"its middle, mm"`
	Y     float64  `json:"y" doc:"its middle, mm"`
	Keeps float64  `json:"keeps" doc:"of its light" schema:"min=0,max=1"`
	LEDs  []string `json:"leds" doc:"of the string that it would miss most"`
	Below int      `json:"words_below_third" doc:"words that keep less than a third" schema:"min=0"`
}

// LastingOf tells of the word that is hit worst; nil where there are none.
func LastingOf(q panel.Panel, words []light.Lasting) *Lasting {
	var out *Lasting
	below := 0
	for _, w := range words {
		if w.Keeps < 1.0/3 {
			below++
		}
		if keeps := num(w.Keeps, 2); out == nil || keeps < out.Keeps {
			x, y := frame(q.Origin).at(w.At)
			out = &Lasting{Word: w.Text, Drawn: w.Drawn, X: x, Y: y, Keeps: keeps, LEDs: w.LEDs}
		}
	}
	if out != nil {
		out.Below = below
	}
	return out
}

// Spill is what a word gets from groups of LEDs that are not its own, all full on.
type Spill struct {
	Word  string  `json:"word" doc:"the word, or what is drawn"`
	Drawn bool    `json:"drawn,omitempty" doc:"it is no word"`
	X     float64 `json:"x" doc:"its middle, mm"`
	Y     float64 `json:"y" doc:"its middle, mm"`
	Group string  `json:"group" doc:"its own; empty: that of the LEDs of no group"`
	From  string  `json:"from" doc:"the other group that gives it most"`
	Share float64 `json:"share" doc:"light of all other groups over that of its own" schema:"min=0"`
	Shows int     `json:"words_show" doc:"words and symbols of which that is a twentieth at least" schema:"min=0"`
}

// SpillOf tells of the word that gets most; nil where there are no groups. names are those of the groups.
func SpillOf(q panel.Panel, spills []light.Spill, names []string) *Spill {
	var out *Spill
	_, shows := light.Spilt(spills)
	for _, s := range spills {
		if share := num(s.Share, 4); out == nil || share > out.Share {
			x, y := frame(q.Origin).at(s.At)
			out = &Spill{s.Text, s.Drawn, x, y, names[s.Group], names[s.From], share, shows}
		}
	}
	return out
}

// Seen is an LED that an eye sees directly.
type Seen struct {
	LED     string     `json:"led" doc:"its reference"`
	Through string     `json:"through" doc:"opening: one of which the project does not tell what sits there; control; slot, of a screw; mount, without a screw that fits; rim: past the panel's edge" schema:"enum=opening|control|slot|mount|rim"`
	X       float64    `json:"x" doc:"of the middle of that, or of the edge's nearest point, mm"`
	Y       float64    `json:"y" doc:"of the middle of that, or of the edge's nearest point, mm"`
	Share   float64    `json:"share" doc:"of its tip that is seen, at most" schema:"min=0,max=1"`
	Eye     [3]float64 `json:"eye_mm" doc:"from where: across and up from the panel's middle, and away from its face"`
	From    float64    `json:"from" doc:"share of the places of the eyes from which something of it is seen" schema:"min=0,max=1"`
	Move    float64    `json:"move_mm,omitempty" doc:"away from there, so that it is hidden; absent: 40 mm are not enough" schema:"min=0"`
}

// SeenOf tells which LEDs are seen; refs are those of the panel's LEDs.
func SeenOf(q panel.Panel, sights []stray.Sight, refs []string) []Seen {
	var out []Seen
	f, middle := frame(q.Origin), q.Outline.Box().Centre()
	for _, s := range sights {
		x, y := f.at(s.Gap.At)
		e := s.Eye
		one := Seen{Through: s.Gap.Kind.String(), X: x, Y: y, Share: num(s.Share, 3), From: num(s.From, 3), Move: s.Move.MM(),
			Eye: [3]float64{num((e.At.X - middle.X).MM(), 6), num((e.At.Y - middle.Y).MM(), 6), num(e.Away.MM(), 6)}}
		if s.LED < len(refs) {
			one.LED = refs[s.LED]
		}
		out = append(out, one)
	}
	return out
}

// Colour is the light of the LEDs of one colour on the lettering that they are for.
type Colour struct {
	Colour    string `json:"colour" doc:"of the LEDs"`
	Set       string `json:"set,omitempty" doc:"the group, where it is a set that lights all of the lettering by itself; the figures are its own then"`
	Lettering int    `json:"lettering" doc:"words and symbols that it lights most, or a quarter as brightly at least as its brightest" schema:"min=0"`
	Lit
}

// Alone is the light of one set of LEDs while all others are off.
type Alone struct {
	Set string `json:"set" doc:"the group"`
	Lit
	Words []Lit `json:"words,omitempty" doc:"word by word"`
}

// Lit is the light of a word or of all lettering.
type Lit struct {
	Text      string  `json:"text,omitempty" doc:"the word"`
	Mean      float64 `json:"mean" doc:"cd/m²" schema:"min=0"`
	Min       float64 `json:"min" doc:"cd/m²" schema:"min=0"`
	Max       float64 `json:"max" doc:"cd/m²" schema:"min=0"`
	MinToMean float64 `json:"min_to_mean" doc:"darkest place over mean" schema:"min=0"`
	MaxToMin  float64 `json:"max_to_min" doc:"brightest place over darkest" schema:"min=0"`
}

// String is one string: LEDs in series with one resistor.
type String struct {
	LEDs     []string `json:"leds" doc:"references of its LEDs, from the supply on"`
	Kind     string   `json:"kind,omitempty" doc:"of its LEDs"`
	Resistor string   `json:"resistor" doc:"reference of its resistor"`
	Ohms     float64  `json:"ohms" doc:"of the resistor" schema:"min=0"`
	RatedW   float64  `json:"rated_w" doc:"of the resistor" schema:"min=0"`
	WorstW   float64  `json:"worst_w" doc:"in the resistor at worst" schema:"min=0"`
	TypicalA float64  `json:"typical_a" doc:"its current, A" schema:"min=0"`
	MinA     float64  `json:"min_a" doc:"the least" schema:"min=0"`
	MaxA     float64  `json:"max_a" doc:"the most" schema:"min=0"`
	Group    string   `json:"group,omitempty" doc:"that its LEDs are dimmed with"`
}

// Group is a supply conductor of a board and the LEDs on it.
type Group struct {
	Name     string  `json:"name" doc:"of the group; empty: the LEDs of none"`
	Pin      int     `json:"pin" doc:"of the connectors, counted from 1" schema:"min=1"`
	Sign     string  `json:"sign" doc:"what stands at that pin"`
	Net      string  `json:"net" doc:"of that pin"`
	Duty     float64 `json:"duty" doc:"share of the time that it is on" schema:"min=0,max=1"`
	LEDs     int     `json:"leds" doc:"on this board" schema:"min=0"`
	TypicalA float64 `json:"typical_a" doc:"what they take full on, A" schema:"min=0"`
	MeanA    float64 `json:"mean_a" doc:"what they take in the mean, dimmed as they are, A" schema:"min=0"`
	WorstA   float64 `json:"worst_a" doc:"what they take at worst, full on, A" schema:"min=0"`
}

// GroupsOf tells of a board's supply conductors; nothing where LEDs are not dimmed in groups.
func GroupsOf(w led.Wiring) []Group {
	if !w.Grouped() {
		return nil
	}
	var out []Group
	for k, g := range w.Groups {
		one := Group{Name: g.Name, Pin: k + 1, Sign: g.Sign(), Net: g.NetName(), LEDs: w.LEDsFed(k), Duty: num(g.Duty, 4)}
		if k < len(w.Drawn) {
			one.TypicalA, one.WorstA = num(float64(w.Drawn[k].Typical), 9), num(float64(w.Drawn[k].Worst), 9)
			one.MeanA = num(float64(w.Drawn[k].Typical)*g.Duty, 9)
		}
		out = append(out, one)
	}
	return out
}

// PanelOf tells what the drawing alone tells of a panel.
func PanelOf(q panel.Panel) Panel {
	f := frame(q.Origin)
	p := Panel{
		Name: q.Name, Drawing: q.Drawing, BBox: f.box(q.Outline.Box()),
		OutlineArea: num(q.Outline.Area(), 6), OutlinePerimeter: num(q.Outline.Perimeter(), 6), Outline: f.path(q.Outline),
		Holes:    Holes{LED: f.holes(q.LEDs), Mount: f.holes(q.Mounts)},
		Openings: []Loop{}, Bodies: []Loop{}, Room: RoomsOf(q, q.Room), Controls: ControlsOf(q), Lettering: []Text{},
	}
	for _, o := range q.Openings {
		p.Openings = append(p.Openings, f.loop(o.Contour))
	}
	for _, c := range q.Bodies {
		p.Bodies = append(p.Bodies, f.loop(c))
	}
	if len(q.Bodies) > 0 {
		p.BodiesFrom = [...]string{panel.BehindSheets: "led-sheet", panel.BehindDiffuser: "diffuser", panel.BehindFace: "face"}[q.BodyDepth]
	}
	for _, t := range q.Lettering {
		x, y := f.at(t.At)
		p.Lettering = append(p.Lettering, Text{t.Text, x, y, t.Height.MM()})
	}
	p.Windows = WindowsOf(q, led.Wiring{}, nil)
	return p
}

// BBoxOf tells a box of the panel's frame.
func BBoxOf(q panel.Panel, b geom.Box) [4]float64 { return frame(q.Origin).box(b) }

// RoomsOf tells of rooms behind a panel.
func RoomsOf(q panel.Panel, rooms []panel.Room) []Room {
	out, f := []Room{}, frame(q.Origin)
	for _, r := range rooms {
		out = append(out, Room{f.loop(r.Contour), r.Opening, r.Beyond.MM(), r.Guessed(), r.For})
	}
	return out
}

// Rounded returns the sheet with its figures in as many digits as they are told in.
func (s Sheet) Rounded() Sheet {
	s.Cut, s.Engraved = num(s.Cut, 3), num(s.Engraved, 3)
	return s
}

// ScrewsOf tells what goes into a panel's mounts.
func ScrewsOf(q panel.Panel, mounts []fasten.Mount) []Screw {
	var out []Screw
	f := frame(q.Origin)
	for _, m := range mounts {
		x, y := f.at(m.At)
		out = append(out, Screw{x, y, num(m.D.MM(), 3), num(m.Slot.MM(), 3), m.Board, m.Thread, m.Screw.MM(), m.Out.MM(), m.Front.MM(), m.Rear.MM(), m.Above.MM()})
	}
	return out
}

// Ending adds the light with sheets as thin and as thick as they may come out.
func (l *Light) Ending(ends [2]light.Figures) {
	if ends[0].Mean > 0 {
		thin, thick := litOf("", ends[0]), litOf("", ends[1])
		l.Thin, l.Thick = &thin, &thick
	}
}

// LightOf tells of the light; nil where there is none.
func LightOf(f light.Field) *Light {
	if f.Mean <= 0 {
		return nil
	}
	set, own := f.Alone()
	l := &Light{Lit: litOf("", own.Figures), Set: set, Engraving: f.Finish.String(), Contrast: num(own.Contrast(), 3), Relative: f.Assumed, Words: wordsOf(own)}
	if !math.IsInf(f.Spot, 0) {
		l.Spot = num(f.Spot, 3)
	}
	for _, c := range f.Colours {
		l.Colours = append(l.Colours, Colour{c.Name, c.Set, c.Lettering, litOf("", c.Figures)})
	}
	for _, one := range f.Sets {
		l.Sets = append(l.Sets, Alone{one.Set, litOf("", one.Figures), wordsOf(one.Field)})
	}
	return l
}

func wordsOf(f light.Field) []Lit {
	var out []Lit
	for _, w := range f.Words {
		out = append(out, litOf(w.Text, w.Figures))
	}
	return out
}

func litOf(text string, f light.Figures) Lit {
	return Lit{text, num(f.Mean, 3), num(f.Min, 3), num(f.Max, 3), num(f.MinToMean, 4), num(f.MaxToMin, 4)}
}

// StringsOf tells of a board's strings.
func StringsOf(w led.Wiring) []String {
	var out []String
	for i, t := range w.Strings {
		r := w.Resistors[t.Resistor]
		one := String{
			LEDs: []string{}, Resistor: r.Ref, Ohms: num(float64(r.Ohms), 6), RatedW: num(float64(r.Rated), 6),
			WorstW: num(float64(t.Worst), 9), TypicalA: num(float64(t.Nominal), 9),
			MinA: num(float64(t.Min), 9), MaxA: num(float64(t.Max), 9),
		}
		for _, k := range t.LEDs {
			one.Kind = w.LEDs[k].Kind.Name
			one.LEDs = append(one.LEDs, w.LEDs[k].Ref)
		}
		if w.Grouped() {
			one.Group = w.Groups[w.FedBy(led.StringID(i))].Name
		}
		out = append(out, one)
	}
	return out
}

// frame takes positions of a panel to its drawing.
type frame panel.Origin

func (f frame) at(p geom.Pt) (x, y float64) { return num(p.X.MM()+f.X, 6), num(p.Y.MM()+f.Y, 6) }

func (f frame) box(b geom.Box) [4]float64 {
	x0, y0 := f.at(b.Min)
	x1, y1 := f.at(b.Max)
	return [4]float64{x0, y0, x1, y1}
}

func (f frame) holes(hs []panel.Hole) []Hole {
	out := []Hole{}
	for _, h := range hs {
		x, y := f.at(h.At)
		out = append(out, Hole{x, y, h.D.MM(), h.Kind, h.Placed})
	}
	return out
}

func (f frame) loop(c geom.Contour) Loop {
	return Loop{num(c.Area(), 6), f.box(c.Box()), f.path(c)}
}
