package project

import (
	"slices"
	"strconv"
	"strings"

	"github.com/goccy/go-yaml/ast"

	"lampblack/led/part"
	"lampblack/panel/dxf"
	"lampblack/panel/geom"
)

// Print is what is printed on a panel's boards besides what they say themselves.
type Print struct{ Front, Back []Line }

// Line is a line of print.
type Line struct {
	Text   string  // with placeholders
	At     *dxf.XY // its middle, on the drawing, mm; nil: where there is room
	Height geom.Nm // of a capital; 0: as large as there is room
	Angle  float64 // degrees, counter-clockwise
}

// Placeholder is what a line of print says in place of a word in braces.
type Placeholder string

// The placeholders.
const (
	ConsoleName Placeholder = "console"
	PanelName   Placeholder = "panel" // of a panel with several boards that of the board
	RevisionOf  Placeholder = "revision"
	DateOf      Placeholder = "date"
)

// Placeholders returns all of them.
func Placeholders() []Placeholder {
	return []Placeholder{ConsoleName, PanelName, RevisionOf, DateOf}
}

func (p Placeholder) braced() string { return "{" + string(p) + "}" }

// Says reports whether the line has a placeholder.
func (l Line) Says(p Placeholder) bool { return strings.Contains(l.Text, p.braced()) }

// Filled returns the line's text with what the placeholders stand for; missing are those for which there is nothing.
func (l Line) Filled(of map[Placeholder]string) (text string, missing []Placeholder) {
	text = l.Text
	for _, p := range Placeholders() {
		if l.Says(p) && of[p] == "" {
			missing = append(missing, p)
		}
		text = strings.ReplaceAll(text, p.braced(), of[p])
	}
	return strings.Join(strings.Fields(text), " "), missing
}

const (
	mostLines  = 50 // of print on one side
	leastPrint = geom.Millimetre / 2
	mostPrint  = 200 * geom.Millimetre
)

func printKeys() mapping[Print] {
	side := func(name, where string, of func(*Print) *[]Line) key[Print] {
		return key[Print]{name: name, is: bind(list[Line]{of: printed{}, word: "line of print", most: mostLines}, of),
			help: "on the board's " + where, usual: "none", eg: []string{`["{console}", {text: "{panel}, rev {revision}", height: 2 mm}]`}}
	}
	return mapping[Print]{brief: true, keys: []key[Print]{
		side("front", "LED side", func(p *Print) *[]Line { return &p.Front }),
		side("back", "other side, to be read from behind", func(p *Print) *[]Line { return &p.Back }),
	}}
}

// printed is a Line: a text, or keys.
type printed struct{ leaf }

func (printed) keys() mapping[Line] {
	turn := quantity[float64]{as: part.Degrees(), per: 1, least: -360, most: 360, signed: true, unit: "°", say: degrees}
	return mapping[Line]{brief: true, keys: []key[Line]{
		{name: "text", is: bind(printText(), func(l *Line) *string { return &l.Text }), need: true, help: "what it says", eg: []string{`"{console}"`}},
		{name: "at", is: bind(within{}, func(l *Line) **dxf.XY { return &l.At }), help: "its middle on the drawing", usual: "where there is room", eg: []string{"[60, 12]"}},
		{name: "height", is: bind(lengths(leastPrint, mostPrint), func(l *Line) *geom.Nm { return &l.Height }), help: "of a capital letter", usual: "as there is room", eg: []string{"2 mm"}},
		{name: "angle", is: bind(turn, func(l *Line) *float64 { return &l.Angle }), help: "degrees, counter-clockwise as it is read", usual: "0", eg: []string{"90"}},
	}}
}

func (k printed) read(r *reader, n ast.Node, at spot, to *Line) bool {
	m, keys := n.(ast.MapNode)
	if !keys {
		return printText().read(r, n, at, &to.Text)
	}
	for it := m.MapRange(); it.Next(); { // {console}, which YAML takes for keys
		name, _ := scalar(it.Key())
		_, null := it.Value().(*ast.NullNode)
		if (null || it.Value() == nil) && slices.Contains(Placeholders(), Placeholder(name)) {
			r.add(n, "project-wrong-value", "%s: braces at the beginning of a value want quotes", r.say(at.path)).Fix(`write "{%s}"`, name)
			return false
		}
	}
	return k.keys().read(r, n, at, to)
}

func (k printed) schema() *Schema {
	return &Schema{AnyOf: []*Schema{printText().schema(), k.keys().schema()}}
}

// printText is a line of text whose words in braces are placeholders.
func printText() text {
	t := line()
	plain := t.refuse
	t.pattern = `^(?:[^\x00-\x1f\x7f{}]|\{(?:` + placeholders() + `)\})*$`
	t.refuse = func(s string) (string, string, string) {
		if code, wrong, advice := plain(s); code != "" {
			return code, wrong, advice
		}
		if strings.TrimSpace(s) == "" {
			return "project-wrong-value", "%s says nothing", "write what is to be printed, or take the line away"
		}
		rest := s
		for _, p := range Placeholders() {
			rest = strings.ReplaceAll(rest, p.braced(), "")
		}
		if strings.ContainsAny(rest, "{}") {
			return "project-unknown-value", "%s: " + escaped(s) + " has braces round what is no placeholder",
				"the placeholders are {" + strings.Join(strings.Split(placeholders(), "|"), "}, {") + "}"
		}
		return "", "", ""
	}
	return t
}

func placeholders() string {
	var out []string
	for _, p := range Placeholders() {
		out = append(out, string(p))
	}
	return strings.Join(out, "|")
}

// LineKey returns the key of a line of print on one side, below that of its panel or the defaults.
func LineKey(front bool, i int) string {
	if front {
		return "print.front." + strconv.Itoa(i)
	}
	return "print.back." + strconv.Itoa(i)
}
