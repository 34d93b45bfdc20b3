package project

import (
	"errors"
	"math"
	"strconv"
	"strings"

	"github.com/goccy/go-yaml/ast"

	"lampblack/led"
	"lampblack/led/bright"
	"lampblack/led/part"
	"lampblack/panel/geom"
)

// Run is a row of panels along one pair of feed conductors.
type Run struct {
	Boards     []string // names of panels, the one nearest the supply first
	From       string   // the panel that feeds the first from its OUT connector; empty: the supply
	BothEnds   bool     // a further feed of BackLength leads from the last panel back to where the run starts
	BackLength geom.Nm
}

// Battery is a supply's battery.
type Battery struct {
	Chemistry string // as part.Chemistries names it; empty: there is no battery
	Cells     int    // in series
	AmpHours  float64
}

// Group is LEDs that are dimmed apart from the rest, on a supply conductor of their own.
type Group struct {
	Name   string
	LEDs   []string // kinds; empty: all
	Panels []string // empty: all
	Duty   float64
	Lights string // windows, lettering; empty: all
	Bright bright.Levels
	Set    bool // they light all of the lettering by themselves, beside other sets
}

// Bounds of the circuit.
const (
	mostCells  = 60
	mostSeries = 60 // LEDs: as many as the highest supply could light
	mostGroups = 8  // supply conductors; connectors of more poles are rare
	mostHours  = 10_000
)

// runs are entries of chains: a list of panels, or keys.
type runs struct{ mapping[Run] }

func (k runs) read(r *reader, n ast.Node, at spot, to *Run) bool {
	if _, keys := n.(ast.MapNode); !keys {
		return names("").read(r, n, at, &to.Boards)
	}
	return k.mapping.read(r, n, at, to)
}

func runKeys() mapping[Run] {
	return mapping[Run]{keys: []key[Run]{
		{name: "boards", is: bind(names(""), func(c *Run) *[]string { return &c.Boards }), need: true,
			help: "list of panels, the one nearest the supply first", usual: "needed", eg: []string{"[dome, mount]"}},
		{name: "from", is: bind(text{}, func(c *Run) *string { return &c.From }),
			help: "the panel whose OUT connector feeds the first", usual: "the supply", eg: []string{"dome"}},
		{name: "both_ends", is: bind(yesNo{}, func(c *Run) *bool { return &c.BothEnds }),
			help: "`yes`: a further feed leads from the last panel back to the start", usual: "`no`", eg: []string{"yes"}},
		{name: "back_length", is: bind(lengths(0, mostFeed), func(c *Run) *geom.Nm { return &c.BackLength }),
			help: "of that further feed", usual: "`defaults.feed_length`", eg: []string{"500 mm"}},
	}, whole: func(r *reader, n ast.Node, at spot, c *Run) {
		if c.BackLength >= 0 && !c.BothEnds {
			r.add(n, "project-impossible-value", "%s has a back_length, but is fed at one end only", r.say(at.path)).Fix("add both_ends: true, or take back_length out")
		}
	}}
}

func groupKeys() mapping[Group] {
	return mapping[Group]{keys: []key[Group]{
		{name: "name", is: bind(groupName(), func(g *Group) *string { return &g.Name }), need: true,
			help: "at most 12 letters, digits, - and _", usual: "needed", eg: []string{"night"}},
		{name: "leds", is: bind(names(""), func(g *Group) *[]string { return &g.LEDs }),
			help: "list of kinds of LED", usual: "all", eg: []string{"[red-3mm]"}},
		{name: "lights", is: adding(choice{words: []string{"windows", "lettering"}}, func(g *Group, w string) { g.Lights = w }),
			help: "`windows`: those LEDs alone that stand behind the panels' windows, or next to one that has none behind it; `lettering`: the others", usual: "all", eg: []string{"windows"}},
		{name: "set", is: bind(yesNo{}, func(g *Group) *bool { return &g.Set }),
			help: "`yes`: its LEDs are a set that lights all of the lettering by itself while other sets are off, as for day and night, each set of one kind and of a colour of its own. Where no LED is drawn each set is placed by itself; each is judged and shown by itself", usual: "`no`", eg: []string{"yes"}},
		{name: "panels", is: bind(names(""), func(g *Group) *[]string { return &g.Panels }),
			help: "list of panels", usual: "all", eg: []string{"[dome]"}},
		{name: "duty", is: bind(shares(1), func(g *Group) *float64 { return &g.Duty }),
			help: "share of the time they are on", usual: "100 %", eg: []string{"30 %"}},
		{name: "bright", is: bind(brightness{}, func(g *Group) *bright.Levels { return &g.Bright }),
			help: "how bright what they light is to be, as `bright` says it of the console: a set for the night need not be as bright as that for the day. Their kinds of LED are named in `leds`, since the current goes by kind", usual: "the console's `bright`", eg: []string{"night-adapted desk", "{night: 0.15, full: 5 cd/m2}"}},
	}}
}

// windows are a supply's voltages.
func windows() parsed[part.Window] {
	volts := quantity[part.Volt]{as: part.Volts(), per: 1, most: mostVolt, above: true, unit: "V", say: part.Volt.String}
	one := volts.number()
	return parsed[part.Window]{
		name:  "window",
		parse: part.ParseWindow,
		refuse: func(w part.Window) string {
			if w.Min > w.Max {
				return "a window whose first value is above its last"
			}
			if why := volts.refuse(w.Min); why != "" {
				return why
			}
			return volts.refuse(w.Max)
		},
		pattern: one + `(?: *(?:\.\.|…) *` + one + `){0,2}|` + one + ` *(?:\+-|±) *` + decimal + ` *%?`,
		numbers: [2]float64{0, mostVolt},
		unit:    "V",
	}
}

// wires are sizes of conductors.
func wires() parsed[part.Wire] {
	return parsed[part.Wire]{
		name:    "wire",
		parse:   part.ParseWire,
		pattern: quantity[float64]{as: part.Areas(), per: 1, least: 0.01, most: 50}.number() + `|[aA][wW][gG] *(?:[0-3]?[0-9]|40)|(?:[0-3]?[0-9]|40) *[aA][wW][gG]`,
		numbers: [2]float64{0.01, 50},
		unit:    "mm2",
	}
}

// Temperatures that a console stands, in °C.
const coldest, hottest = -60, 85

// temperatures are one, or a range.
func temperatures(refuse func(led.Celsius) string) parsed[led.Celsius] {
	one := `(?:[-−] *` + upTo(-coldest) + `|` + upTo(hottest) + `) *(?:(?:°|deg ?)?C)?`
	return parsed[led.Celsius]{
		name:    "temperatures",
		parse:   ParseCelsius,
		refuse:  refuse,
		pattern: one + `(?: *(?:\.\.|…) *` + one + `){0,2}`,
		numbers: [2]float64{coldest, hottest},
		unit:    "°C",
	}
}

// livable refuses temperatures that no console stands.
func livable(c led.Celsius) string {
	switch {
	case c.Min < coldest:
		return "below -60 °C"
	case c.Max > hottest:
		return "above 85 °C, more than LEDs and connectors stand"
	}
	return ""
}

// single refuses ranges too.
func single(c led.Celsius) string {
	if c.Min != c.Max {
		return "a range, where one temperature is meant: the highest"
	}
	return livable(c)
}

// ParseCelsius reads temperatures: "20 C", "-10 C .. 30 C" with the usual one in the middle, "-10 .. 15 .. 30 C" with it
// told.
func ParseCelsius(s string) (led.Celsius, error) {
	bad := errors.New(strconv.Quote(s) + " is no temperature, nor a range of them from low to high")
	var v []float64
	for _, p := range strings.Split(strings.ReplaceAll(s, "…", ".."), "..") {
		p = strings.TrimSpace(strings.ReplaceAll(p, "\u2212", "-"))
		for _, unit := range []string{"°C", "deg C", "degC", "C"} {
			if t, ok := strings.CutSuffix(p, unit); ok {
				p = strings.TrimSpace(t)
				break
			}
		}
		x, err := strconv.ParseFloat(p, 64)
		if err != nil || math.IsNaN(x) || math.IsInf(x, 0) || len(v) > 0 && x < v[len(v)-1] {
			return led.Celsius{}, bad
		}
		v = append(v, x)
	}
	switch len(v) {
	case 1:
		return led.Celsius{Min: v[0], Nominal: v[0], Max: v[0]}, nil
	case 2:
		return led.Celsius{Min: v[0], Nominal: (v[0] + v[1]) / 2, Max: v[1]}, nil
	case 3:
		return led.Celsius{Min: v[0], Nominal: v[1], Max: v[2]}, nil
	}
	return led.Celsius{}, bad
}

func ampereHours(v float64) string { return strconv.FormatFloat(v, 'g', -1, 64) + " Ah" }
