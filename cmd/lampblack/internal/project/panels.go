package project

import (
	"cmp"
	"slices"
	"strconv"
	"strings"

	"github.com/goccy/go-yaml/ast"

	"lampblack/export/filename"
	"lampblack/led/part"
	"lampblack/panel"
	"lampblack/panel/dxf"
	"lampblack/panel/geom"
	"lampblack/panel/read"
)

// Mounting says how a board is put together and built in.
type Mounting struct {
	KeepTurn bool            // all LEDs one way, for easier assembly
	Behind   geom.Nm         // free depth behind the board; 0: not told
	Sheet    geom.Nm         // from the board's top to the LED sheet; 0: not told
	Spacer   geom.Nm         // thickness of a drilled sheet between LED sheet and board; 0: there is none
	Frame    geom.Nm         // width of walls in the gap before the LED sheet; 0: there are none
	Slots    bool            // in the sheets at mounts, where these grow against the board
	Room     []read.RoomRule // kept free behind openings, beside what common parts want
	Place    Place           // LEDs where none are drawn

	Connectors    Connectors  // where they must stand
	Bodies        panel.Depth // where bodies begin
	BodiesSaid    bool        // the project says so
	Controls      []Sit       // what sits in openings
	PaintedBehind bool        // the face is painted on its back
	Print         Print       // on the boards
}

// deepest bounds what a console can be.
const deepest = 2000 * geom.Millimetre

// mountingKeys are those of a Mounting, which defaults and panels have alike; usual says what holds for a key that is left out, of
// what holds if it is nowhere.
func mountingKeys[T any](of func(*T) *Mounting, usual func(key, nowhere string) string) []key[T] {
	return []key[T]{
		{name: "keep_turn", is: bind(yesNo{}, func(t *T) *bool { return &of(t).KeepTurn }),
			help: "`yes`: all LEDs stand the same way round, wherever that routes, so that a wrong one is seen; those that cannot are told and marked. `no`: each as its tracks want it, which saves some copper", usual: usual("keep_turn", "`yes`"), eg: []string{"no"}},
		{name: "space_behind", is: bind(lengths(geom.Micrometre, deepest), func(t *T) *geom.Nm { return &of(t).Behind }),
			help: "free depth behind the board: a part that cannot fit is an error, and connectors that fit are proposed; wires and parts that may fit are warnings", usual: usual("space_behind", "not checked"), eg: []string{"12 mm"}},
		{name: "sheet_distance", is: bind(lengths(geom.Micrometre, deepest), func(t *T) *geom.Nm { return &of(t).Sheet }),
			help: "from the board's front to the LED sheet, a plate between them included", usual: usual("sheet_distance", "the spacer sheet's thickness, or as the tallest LED wants it"), eg: []string{"3 mm"}},
		{name: "spacer_sheet", is: bind(lengths(0, 20*geom.Millimetre), func(t *T) *geom.Nm { return &of(t).Spacer }),
			help: "thickness of a sheet between LED sheet and board, in place of loose spacers, cut for LEDs, joints and screws: `sheet-spacer.svg` of the board", usual: usual("spacer_sheet", "none"), eg: []string{"3 mm"}},
		{name: "frame", is: bind(framing{}, func(t *T) *geom.Nm { return &of(t).Frame }),
			help: "`yes`, or the width of its walls: a sheet as thick as the gap between LED sheet and diffuser, with walls round openings, along the rim, round screws and between groups of LEDs, less what passes the gap: `sheet-frame.svg`. Light and stray light are computed with it", usual: usual("frame", "none; `yes` is 4 mm"), eg: []string{"yes", "5 mm"}},
		{name: "slots", is: bind(yesNo{}, func(t *T) *bool { return &of(t).Slots }),
			help: "`yes`: where temperature and moisture make the sheets grow so much against a board that they would arch between its screws, all holes in the sheets for its screws are slots but the one nearest to the middle, to which they point. `no`: holes stay as drawn, and it is told which to widen", usual: usual("slots", "`yes`"), eg: []string{"no"}},
		{name: "room", is: bind(behind{}, func(t *T) *[]read.RoomRule { return &of(t).Room }),
			help:  "what is kept free behind openings without a body, beyond their edge: `openings + 4 mm`, `none`, or a list by size as `[{rule: circles 12 mm, room: 3 mm}]`",
			usual: usual("room", "what common parts of such a hole need"), eg: []string{"openings + 4 mm", "[{rule: circles 12 mm, room: 3 mm}]"}},
		{name: "controls", is: bind(sits{}, func(t *T) *[]Sit { return &of(t).Controls }),
			help: controlsHelp, usual: usual("controls", "nothing is known, and room is kept as common parts want it"), eg: controlsGood()},
		{name: "place", is: bind(placing{}, func(t *T) *Place { return &of(t).Place }),
			help:  "LEDs where the drawing has none: `{even: 0.7}`, the fewest whose darkest lettering gets that share of the mean; `{count: 24}`, so many; or `no`, no LEDs and no board",
			usual: usual("place", "`{even: 0.7}` for lettering, else an even field"), eg: []string{"{even: 0.7}", "{count: 24}", "no"}},
		{name: "connectors", is: bind(berthKeys(), func(t *T) *Connectors { return &of(t).Connectors }),
			help:  "where they stand, as `{in: bottom, out: [120, 8]}`: wires enter at that edge of the board (`left`, `right`, `top`, `bottom`), or the middle of the pins is at that place of the drawing, in mm. Kept exactly, or refused with what is in the way. Of a panel with several boards `in` is that of the first along the feed, `out` that of the last",
			usual: usual("connectors", "at the edges that face the boards they are wired to"), eg: []string{"{in: bottom, out: [120, 8]}", "{in: left}"}},
		{name: "paint", is: adding(choice{words: []string{"front", "back"}}, func(t *T, w string) { of(t).PaintedBehind = w == "back" }),
			help: "side of the face that is painted and engraved; with `back` the face's sheet is drawn as it lies on the laser, seen from behind, and no other", usual: usual("paint", "`front`"), eg: []string{"back"}},
		{name: "print", is: bind(printKeys(), func(t *T) *Print { return &of(t).Print }),
			help:  "lines printed on the board, as `{front: [\"{console}\"], back: [{text: \"{panel}, rev {revision}\", at: [60, 12], height: 2 mm, angle: 90}]}`: `front` is the LED side, `back` the other, to be read from behind. `{console}`, `{panel}`, `{revision}` and `{date}` stand for the names, the revision and the date, which the board's own title then leaves out. `at` is the line's middle on the drawing; without it a place is found",
			usual: usual("print", "none")},
		{name: "bodies_from", is: adding(depths(), func(t *T, w string) { of(t).Bodies, of(t).BodiesSaid = panel.Depth(slices.Index(Depths(), w)), true }),
			help:  "the sheet behind whose back bodies begin: `led-sheet`; `diffuser`, and the LED sheet is cut for them, and light ends at them; or `face`, and the diffuser is cut too. The board keeps clear of them in any case. Said, it also is what `controls` clamp that say nothing themselves: the LED sheet, the face with the diffuser, or the face",
			usual: usual("bodies_from", "`led-sheet`"), eg: []string{"face", "diffuser"}},
	}
}

// Depths are the words for where bodies begin, in the order of panel.Depth.
func Depths() []string { return []string{"led-sheet", "diffuser", "face"} }

func depths() choice {
	return choice{words: Depths(), more: []string{"leds", "led sheet", "led_sheet"}, means: func(string) string { return Depths()[0] }}
}

func defaultKeys() mapping[Defaults] {
	return mapping[Defaults]{keys: append([]key[Defaults]{
		{name: "led", is: adding(kinds{}, func(d *Defaults, k lampKinds) { d.LED, d.LEDs = cmp.Or(k.usual, d.LED), k.rules }), help: kindsHelp, usual: "`red-3mm`", eg: kindsGood()},
		{name: "current", is: bind(currents(mostLED, part.MilliAmp), func(d *Defaults) *part.Amp { return &d.Current }),
			help: "in each LED", usual: "8 mA", eg: []string{"8 mA"}},
		{name: "series", is: bind(counts(1, mostSeries), func(d *Defaults) *int { return &d.InSeries }),
			help: "LEDs in a string, at most", usual: "as many as are safe", eg: []string{"3"}},
		{name: "change", is: bind(shares(0.9), func(d *Defaults) *float64 { return &d.MaxChange }),
			help:  "of a string's current from nominal, at most, over the supply's window, the temperature and all tolerances",
			usual: "30 %", eg: []string{"30 %"}},
		{name: "resistor", is: bind(resistorKeys(), func(d *Defaults) *Resistor { return &d.Resistor }),
			help: "the resistors in series with the LEDs", usual: "as below"},
		{name: "connector", is: bind(choice{words: connectors()}, func(d *Defaults) *string { return &d.Connector }),
			help: "of the feed: `" + strings.Join(connectors(), "`, `") + "`", usual: "`terminal-3.5`", eg: []string{"terminal-3.5"}},
		{name: "feed_length", is: bind(lengths(0, mostFeed), func(d *Defaults) *geom.Nm { return &d.FeedLength }),
			help: "of each piece of the feed", usual: "300 mm", eg: []string{"300 mm"}},
	}, mountingKeys(func(d *Defaults) *Mounting { return &d.Mounting }, func(_, otherwise string) string { return otherwise })...)}
}

func resistorKeys() mapping[Resistor] {
	series := []string{"E6", "E12", "E24", "E48", "E96"}
	return mapping[Resistor]{keys: []key[Resistor]{
		{name: "series", is: adding(choice{words: series}, func(r *Resistor, w string) { r.Series = part.Series(w) }),
			help: "`E6` to `E96`", usual: "`E24`", eg: []string{"E24"}},
		{name: "tolerance", is: bind(shares(0.2), func(r *Resistor) *float64 { return &r.Tol }), help: "of each resistor", usual: "5 %", eg: []string{"5 %"}},
		{name: "package", is: adding(choice{words: resistorPackages()}, func(r *Resistor, w string) {
			r.Kept = true
			if r.Package = w; len(w) == 4 {
				r.Package = "r-" + w // 0805 and 1206 are bodies of many parts; the footprint says which
			}
		}), help: "`" + strings.Join(resistorPackages(), "`, `") + "`", usual: "`1206`, and a larger one where the heat asks for it", eg: []string{"1206"}},
		{name: "rated", is: bind(quantity[part.Watt]{as: part.Watts(), per: 1, most: 10, above: true, unit: "W", say: part.Watt.String},
			func(r *Resistor) *part.Watt { return &r.Rated }), help: "its power", usual: "what the package is sold for", eg: []string{"1/4 W", "0.25 W"}},
		{name: "derating", is: bind(shares(1), func(r *Resistor) *float64 { return &r.Used }),
			help: "share of its power that is used", usual: "50 %", eg: []string{"50 %"}},
	}}
}

// resistorPackages and connectors are the footprints that board/footprint knows of each sort.
func resistorPackages() []string {
	return []string{"0805", "1206", "2010", "2512", "axial-7.62", "axial-10.16", "axial-15.24"}
}

func connectors() []string {
	return []string{"terminal-3.5", "terminal-5.08", "header-2.54", "wire-pads"}
}

func panelKeys() mapping[Panel] {
	return mapping[Panel]{keys: append([]key[Panel]{
		{name: "name", is: bind(panelName(), func(p *Panel) *string { return &p.Name }),
			help: "names folders and files: letters, digits, - and _; whatever else makes another name of it, which is told", usual: "the drawing's name", eg: []string{"dome", "dome-left"}},
		{name: "drawing", is: bind(text{}, func(p *Panel) *string { return &p.Drawing }), need: true,
			help: "DXF file, relative to the project file", usual: "needed", eg: []string{"dome.dxf"}},
		{name: "layers", is: bind(layerKeys(), func(p *Panel) *[]Layer { return &p.Layers }),
			help: "the drawing's layers, where their names are not ours: `{outline: FRAME}`, for each of `" + strings.Join(Roles(), "`, `") + "`", usual: "our names"},
		{name: "roles", is: bind(roleKeys(), func(p *Panel) *[]read.Rule { return &p.Roles }),
			help: "what is what by its shape, where layers do not tell: a rule, or a list of them, for each of our layers and for `ignore`, see below", usual: "none"},
		{name: "units", is: bind(choice{words: Units(), more: dxf.UnitNames(), means: unitWord}, func(p *Panel) *string { return &p.Units }),
			help: "`" + strings.Join(Units(), "`, `") + "`, where the drawing tells the wrong one", usual: "the drawing's", eg: []string{"inch"}},
		{name: "join", is: bind(lengths(geom.Micrometre, read.MaxJoin), func(p *Panel) *geom.Nm { return &p.Join }),
			help: "gaps between ends of lines up to this are closed, " + read.MaxJoin.String() + " at most", usual: "0.1 mm", eg: []string{"0.1 mm"}},
		{name: "sheets", is: adding(choice{words: []string{string(read.SheetsTogether), string(read.SheetsMirrored), string(read.SheetsApart)}}, func(p *Panel, w string) { p.Sheets = read.Sheets(w) }),
			help: "outlines of one size in the drawing are the sheets of one panel, as face, diffuser and LED sheet (`together`; `mirrored` where those behind the face are drawn as seen from behind and nothing on them tells so), or each a panel (`apart`)", usual: "judged by what lies on them", eg: []string{"together"}},
		{name: "at", is: bind(within{}, func(p *Panel) **dxf.XY { return &p.At }),
			help: "of several panels in the drawing, the one round this point of it", usual: "all of them", eg: []string{"[120, 40]"}},
		{name: "section", is: bind(sectionKeys(), func(p *Panel) *Section { return &p.Section }),
			help:  "where `side.svg` cuts through the panel and its board, on the drawing in mm: `{y: 40}`, a level line; `{x: 120}`, an upright one; or any, `{from: [10, 40], to: [200, 60]}`",
			usual: "through a connector, controls, a screw and LEDs, in up to three steps where no level or upright line meets them", eg: []string{"{y: 40}", "{from: [10, 40], to: [200, 60]}"}},
		{name: "feed_length", is: bind(lengths(0, mostFeed), func(p *Panel) *geom.Nm { return &p.FeedLength }),
			help: "of the feed that leads to this board", usual: "`defaults.feed_length`", eg: []string{"300 mm"}, try: "500mm"},
		{name: "wire", is: bind(wires(), func(p *Panel) *part.Wire { return &p.Wire }),
			help: "of the feed that leads to this board", usual: "`feed.wire`", eg: []string{"0.75 mm2", "20 AWG"}, try: "0.75mm2"},
		{name: "stands_at", is: bind(corner{}, func(p *Panel) *Stand { return &p.Stands }),
			help:  "its lower left corner in the console, to the right and up. Connectors then face the boards they are wired to, and `console.png` shows it there",
			usual: "not told", eg: []string{"[0 mm, 120 mm]"}},
		{name: "led", is: adding(kinds{}, func(p *Panel, k lampKinds) { p.LED, p.LEDs = k.usual, k.rules }), help: kindsHelp, usual: "`defaults.led`", eg: kindsGood(), try: "white-3mm"},
		{name: "current", is: bind(currents(mostLED, part.MilliAmp), func(p *Panel) *part.Amp { return &p.Current }),
			help: "in each LED", usual: "`defaults.current`", eg: []string{"8 mA"}, try: "6mA"},
		{name: "series", is: bind(counts(1, mostSeries), func(p *Panel) *int { return &p.InSeries }),
			help: "LEDs in a string, at most", usual: "`defaults.series`", eg: []string{"3"}, try: "3"},
	}, mountingKeys(func(p *Panel) *Mounting { return &p.Mounting }, func(key, _ string) string { return "`defaults." + key + "`" })...),
		whole: func(r *reader, _ ast.Node, at spot, p *Panel) {
			if !r.has(join(at.path, "name")) && p.Drawing != "" {
				p.Name = NameOf(p.Drawing)
			}
		}}
}

// layerKeys are our layers, each told its name in the drawing.
func layerKeys() mapping[[]Layer] {
	m := mapping[[]Layer]{brief: true}
	for _, role := range Roles() {
		m.keys = append(m.keys, key[[]Layer]{name: role, eg: []string{strings.ToUpper(role)},
			is:   adding(text{}, func(l *[]Layer, name string) { *l = append(*l, Layer{role, name}) }),
			help: "the drawing's layer for this", usual: "`" + strings.ToUpper(role) + "`"})
	}
	return m
}

// roleKeys are what says by shape or by layer which thing has which role: one rule, or a list of them.
func roleKeys() mapping[[]read.Rule] {
	m := mapping[[]read.Rule]{brief: true}
	for _, role := range read.RuleRoles() {
		rule := rules(role)
		m.keys = append(m.keys, key[[]read.Rule]{name: string(role), eg: []string{"layer NAME"},
			is:   adding(someOf[read.Rule]{list[read.Rule]{of: rule}}, func(l *[]read.Rule, more []read.Rule) { *l = append(*l, more...) }),
			help: "a rule, or a list of them", usual: "none"})
	}
	return m
}

// rules are what says which things have a role.
func rules(role panel.Role) parsed[read.Rule] {
	return parsed[read.Rule]{
		name:    "rule-" + string(role),
		parse:   func(s string) (read.Rule, error) { return read.ParseRule(role, s) },
		advice:  `write layer NAME, circles 3.0 mm, circles 3.0 mm .. 3.2 mm, shapes 20 x 10 mm, letters, letters 3 .. 5 mm, largest, texts, texts 3 mm, lines, strokes, fills or rest; behind it, if wanted, in corners, near the edge, near X,Y, inside shapes W x H, round others, in colour NAME, in block NAME, on layer NAME; before it, of lettering, filled or outlined; 'lampblack survey' proposes such a block`,
		pattern: rulePattern(role),
	}
}

// unitWord returns our word for a unit by any of the names that drawings know.
func unitWord(name string) string {
	u, _ := dxf.UnitNamed(name)
	return UnitWord(u.Name)
}

// UnitWord returns the word that units takes for a unit of a drawing.
func UnitWord(name string) string {
	if name == "in" {
		return "inch"
	}
	return name
}

// within is a place in a drawing: [120, 40] or "120, 40", in mm.
type within struct{ leaf }

func (within) bare() string { return "mm" }

func (within) read(r *reader, n ast.Node, at spot, to **dxf.XY) bool {
	var words []string
	if _, list := n.(*ast.SequenceNode); list {
		names("").read(r, n, at, &words)
	} else if s, ok := r.text(n, at); ok {
		words = strings.Split(s, ",")
	}
	if len(words) == 2 {
		x, ok := coordinate(words[0])
		y, ok2 := coordinate(words[1])
		if ok && ok2 {
			*to = &dxf.XY{X: x, Y: y}
			return true
		}
	}
	r.add(n, "project-wrong-value", "%s must be a place in the drawing", r.say(at.path)).
		Fix("write two lengths, as %s: a point within the panel, in mm, in the drawing's own coordinates", written(at.key(), at.eg))
	return false
}

// coordinate reads a length that may be negative, and returns mm.
func coordinate(s string) (float64, bool) {
	v, err := signedLengths(deepest).parse(s)
	return v.MM(), err == nil
}

// signedLengths are as long as most either way.
func signedLengths(most geom.Nm) quantity[geom.Nm] {
	q := lengths(-most, most)
	q.signed = true
	return q
}

// mostPlace bounds the place of a panel in the console.
const mostPlace = 10_000 * geom.Millimetre

// Stand is where a panel stands in the console: its lower left corner.
type Stand struct {
	Set bool
	geom.Pt
}

// corner is a Stand: [x, y].
type corner struct{ leaf }

func (corner) lengths() list[geom.Nm] { return list[geom.Nm]{of: signedLengths(mostPlace)} }

func (corner) bare() string { return "mm" }

func (c corner) read(r *reader, n ast.Node, at spot, to *Stand) bool {
	var v []geom.Nm
	if !c.lengths().read(r, n, at, &v) {
		return false
	}
	if len(v) != 2 {
		r.add(n, "project-wrong-value", "%s wants two lengths, to the right and up", r.say(at.path)).Fix("%s", at.advice())
		return false
	}
	*to = Stand{true, geom.Pt{X: v[0], Y: v[1]}}
	return true
}

// Plain writes a text so that YAML takes it as it is: a rule is plain words, but a layer's name may hold anything.
func Plain(s string) string {
	for _, c := range s {
		if !filename.Letter(c) && c != ' ' && c != '.' {
			return strconv.Quote(s)
		}
	}
	return s
}
