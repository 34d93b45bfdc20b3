package project

import (
	"errors"
	"math"
	"strconv"
	"strings"

	"github.com/goccy/go-yaml/ast"

	"lampblack/led"
	"lampblack/led/part"
	"lampblack/panel/diag"
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
}

// Bounds of the circuit.
const (
	mostCells  = 60
	mostOhms   = 100 // of a supply's inside, a contact
	mostSeries = 60  // LEDs: as many as the highest supply could light
	mostGroups = 8   // supply conductors; connectors of more poles are rare
	mostHours  = 10_000
)

// battery reads what the supply's battery is, and its window of voltages.
func (r *reader) battery(n ast.Node, path string, s *Supply) {
	var b Battery
	var names []string
	for _, c := range part.Chemistries() {
		names = append(names, c.Name)
	}
	r.mapping(n, path,
		field{"chemistry", func(n ast.Node, path string) { set(&b.Chemistry)(r.oneOf(n, path, names)) }},
		field{"cells", func(n ast.Node, path string) { set(&b.Cells)(r.count(n, path, 1, mostCells)) }},
		field{"capacity", func(n ast.Node, path string) {
			set(&b.AmpHours)(quantity(r, n, path, parseAmpHours, positive(float64(mostHours), "10000 Ah")))
		}},
	)
	if !r.need(n, path, "chemistry") {
		return
	}
	c, ok := part.FindChemistry(b.Chemistry)
	if !ok {
		return // told
	}
	if b.Cells == 0 {
		b.Cells = c.Cells
	}
	if w := c.Window(b.Cells); w.Max > mostVolt {
		r.add(n, "project-impossible-value", "%s: %d cells in series have up to %v, more than %d V", r.say(path), b.Cells, w.Max, mostVolt).
			Fix("use at most %d", int(mostVolt/float64(c.Most)))
		return
	}
	s.Battery = b
	s.Volts = c.Window(b.Cells)
}

// load reads one of the other loads of a supply.
func (r *reader) load(n ast.Node, path string) Load {
	var l Load
	r.mapping(n, path,
		field{"name", func(n ast.Node, path string) { r.title(n, path, &l.Name) }},
		field{"amps", func(n ast.Node, path string) { set(&l.Amps)(r.amps(n, path, part.Ampere, mostAmp, "100 A")) }},
		field{"watts", func(n ast.Node, path string) {
			set(&l.Watts)(quantity(r, n, path, part.ParseWatt, positive[part.Watt](5000, "5000 W")))
		}},
		field{"ohms", func(n ast.Node, path string) {
			set(&l.Ohms)(quantity(r, n, path, part.ParseOhm, func(v part.Ohm) string {
				if v < 0.01 {
					return "a short circuit: less than 0.01 ohm"
				}
				return ""
			}))
		}},
	)
	given := 0
	for _, key := range []string{"amps", "watts", "ohms"} {
		if _, ok := r.places[join(path, key)]; ok {
			given++
		}
	}
	switch {
	case given == 0:
		r.need(n, path, "amps")
	case given > 1:
		r.add(n, "project-impossible-value", "%s tells what it draws in more than one way", r.say(path)).
			Fix("keep one: amps for a fixed current, watts for a converter, ohms for a heater or a lamp")
	}
	return l
}

// run reads an entry of chains: a list of names, or keys.
func (r *reader) run(n ast.Node, path string) Run {
	if _, isMap := n.(ast.MapNode); !isMap {
		return Run{Boards: r.words(n, path)}
	}
	run := Run{BackLength: -1}
	r.mapping(n, path,
		field{"boards", func(n ast.Node, path string) { run.Boards = r.words(n, path) }},
		field{"from", func(n ast.Node, path string) { set(&run.From)(r.text(n, path)) }},
		field{"both_ends", func(n ast.Node, path string) {
			w, ok := r.oneOf(n, path, []string{"true", "false", "yes", "no"})
			set(&run.BothEnds)(w == "true" || w == "yes", ok)
		}},
		field{"back_length", func(n ast.Node, path string) { set(&run.BackLength)(r.length(n, path, 0, mostFeed)) }},
	)
	r.need(n, path, "boards")
	if run.BackLength >= 0 && !run.BothEnds {
		r.add(n, "project-impossible-value", "%s has a back_length, but is fed at one end only", r.say(path)).Fix("add both_ends: true, or take back_length out")
	}
	return run
}

// groups reads the LEDs that are dimmed apart.
func (r *reader) group(n ast.Node, path string, p *Project) {
	g := Group{Duty: 1}
	r.mapping(n, path,
		field{"name", func(n ast.Node, path string) {
			s, ok := r.text(n, path)
			if ok && (len(s) > 12 || strings.ContainsFunc(s, func(c rune) bool { return !nameRune(c) })) {
				r.add(n, "project-wrong-name", "%s: %s cannot name a group", r.say(path), strconv.Quote(s)).Fix("use at most 12 letters, digits, - and _")
				return
			}
			set(&g.Name)(s, ok)
		}},
		field{"leds", func(n ast.Node, path string) { g.LEDs = r.words(n, path) }},
		field{"panels", func(n ast.Node, path string) { g.Panels = r.words(n, path) }},
		field{"duty", func(n ast.Node, path string) {
			set(&g.Duty)(quantity(r, n, path, part.ParsePercent, positive(1.0, "100 %")))
		}},
	)
	if !r.need(n, path, "name") || g.Name == "" {
		return
	}
	for _, o := range p.Groups {
		if strings.EqualFold(o.Name, g.Name) {
			r.add(n, "project-same-name", "two groups are named %s", g.Name).Fix("give one another name")
			return
		}
	}
	if len(p.Groups) >= mostGroups {
		r.add(n, "project-too-large", "more than %d groups", mostGroups).Fix("join some of them, or make two consoles of it")
		return
	}
	p.Groups = append(p.Groups, g)
}

// groupSense tells groups of kinds and panels that there are not.
func (r *reader) groupSense(p *Project) {
	var kinds, panels []string
	for _, k := range p.Kinds {
		kinds = append(kinds, k.Name)
	}
	for _, k := range part.Kinds() {
		kinds = append(kinds, k.Name)
	}
	for _, q := range p.Panels {
		panels = append(panels, q.Name)
	}
	for i, g := range p.Groups {
		key := "groups." + strconv.Itoa(i)
		for _, c := range []struct {
			key, what   string
			names, know []string
		}{{"leds", "LED kind", g.LEDs, kinds}, {"panels", "panel", g.Panels, panels}} {
			for j, name := range c.names {
				known := false
				for _, k := range c.know {
					known = known || strings.EqualFold(k, name)
				}
				if known || name == "" {
					continue
				}
				f := r.diags.Add(diag.Error, "project-unknown-member", "the group %s names a %s %s that there is not", g.Name, c.what, strconv.Quote(name))
				f.Place = p.Place(key + "." + c.key + "." + strconv.Itoa(j))
				if s, ok := diag.Nearest(name, c.know); ok {
					f.Fix("did you mean %s?", s)
				} else {
					f.Fix("use one of: %s", strings.Join(c.know, ", "))
				}
			}
		}
	}
}

// count reads a whole number.
func (r *reader) count(n ast.Node, path string, least, most int) (int, bool) {
	return quantity(r, n, path, func(s string) (int, error) {
		v, err := strconv.Atoi(s)
		if err != nil {
			return 0, errors.New(strconv.Quote(s) + " is no whole number")
		}
		return v, nil
	}, func(v int) string {
		switch {
		case v < least:
			return "less than " + strconv.Itoa(least)
		case v > most:
			return "more than " + strconv.Itoa(most)
		}
		return ""
	})
}

// ohms reads a small resistance, of a contact or inside a supply.
func (r *reader) ohms(n ast.Node, path string) (part.Ohm, bool) {
	return quantity(r, n, path, part.ParseOhm, func(v part.Ohm) string {
		if v > mostOhms {
			return "more than 100 ohm"
		}
		return ""
	})
}

// parseAmpHours reads a battery's capacity: "7 Ah", "2500 mAh"; a bare number is in ampere-hours.
func parseAmpHours(s string) (float64, error) {
	text, scale := strings.TrimSpace(s), 1.0
	if t, ok := strings.CutSuffix(text, "mAh"); ok {
		text, scale = t, 1e-3
	} else if t, ok := strings.CutSuffix(text, "Ah"); ok {
		text = t
	}
	v, err := strconv.ParseFloat(strings.TrimSpace(text), 64)
	if err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
		return 0, errors.New(strconv.Quote(s) + " is no capacity")
	}
	return v * scale, nil
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

// livable refuses temperatures that no console stands.
func livable(c led.Celsius) string {
	switch {
	case c.Min < -60:
		return "below -60 °C"
	case c.Max > 85:
		return "above 85 °C, more than LEDs and connectors stand"
	}
	return ""
}

// series reads how many LEDs are in series at most.
func (r *reader) series(n ast.Node, path string) (int, bool) { return r.count(n, path, 1, mostSeries) }
