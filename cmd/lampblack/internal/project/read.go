package project

import (
	"strconv"
	"strings"
	"time"

	"github.com/goccy/go-yaml/ast"

	"lampblack/led"
	"lampblack/led/part"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
	"lampblack/panel/read"
)

// Bounds of what a console's values may be. They catch slips of the pen (12 kV, 300 m), not bad taste.
const (
	mostVolt   = 60  // above that a supply is no extra-low voltage any more and wants other rules
	mostAmp    = 100 // of a supply
	mostLED    = 2   // A, of one LED
	mostFeed   = 100 * 1000 * geom.Millimetre
	mostPanels = 1000
)

// Read reads a project file's text; file is its name for findings. The project is meaningful only without an Error
// finding.
func Read(src []byte, file string) (Project, diag.List) {
	p := New("Console")
	p.File = file
	r := &reader{file: file, lines: strings.Split(strings.ReplaceAll(string(src), "\r\n", "\n"), "\n"), places: p.places, called: map[string]string{}}
	root := r.parse(src)
	if root == nil {
		if len(r.diags) == 0 {
			r.diags.Add(diag.Error, "project-empty", "the project file is empty").In(file, 0).
				Fix("'lampblack new DIR' writes one to start from")
		}
		return p, r.diags
	}
	var chain, chains ast.Node
	var explicit []Run
	r.mapping(root, "",
		field{"console", func(n ast.Node, path string) { r.title(n, path, &p.Console) }},
		field{"supply", func(n ast.Node, path string) { r.supply(n, path, &p.Supply) }},
		field{"feed", func(n ast.Node, path string) { r.feed(n, path, &p.Feed) }},
		field{"chain", func(n ast.Node, path string) {
			chain = n
			explicit = append(explicit, Run{Boards: r.words(n, path)})
		}},
		field{"chains", func(n ast.Node, path string) {
			chains = n
			r.sequence(n, path, func(n ast.Node, path string) { explicit = append(explicit, r.run(n, path)) })
		}},
		field{"temperature", func(n ast.Node, path string) { set(&p.Ambient)(quantity(r, n, path, ParseCelsius, livable)) }},
		field{"groups", func(n ast.Node, path string) {
			r.sequence(n, path, func(n ast.Node, path string) { r.group(n, path, &p) })
		}},
		field{"defaults", func(n ast.Node, path string) { r.defaults(n, path, &p.Defaults) }},
		field{"leds", func(n ast.Node, path string) {
			r.sequence(n, path, func(n ast.Node, path string) { r.kind(n, path, &p) })
		}},
		field{"panels", func(n ast.Node, path string) {
			r.sequence(n, path, func(n ast.Node, path string) { r.panel(n, path, &p) })
		}},
		field{"rules", func(n ast.Node, path string) { r.rules(n, path, &p) }},
		field{"order", func(n ast.Node, path string) { r.orders(n, path, &p) }},
		field{"fabrication", func(n ast.Node, path string) { r.fabrication(n, path, &p.Laminate) }},
		field{"margin", func(n ast.Node, path string) { set(&p.Rules.Margin)(r.length(n, path, 0, 100*geom.Millimetre)) }},
		field{"light", func(n ast.Node, path string) { r.lightLimits(n, path, &p.Light) }},
		field{"stack", func(n ast.Node, path string) { r.stack(n, path, &p.Stack) }},
		field{"kerf", func(n ast.Node, path string) { set(&p.Kerf)(r.length(n, path, 0, 2*geom.Millimetre)) }},
		field{"revision", func(n ast.Node, path string) { r.revision(n, path, &p.Revision) }},
		field{"date", func(n ast.Node, path string) {
			if s, ok := r.text(n, path); ok {
				d, err := ParseDate(s)
				if err != nil {
					r.add(n, "project-wrong-value", "%s: %v", r.say(path), err).Fix("%s", example(path))
				}
				p.Date = d
			}
		}},
	)
	if chain != nil && chains != nil {
		r.add(chains, "project-two-chains", "both chain and chains are given").
			Fix("keep one: chain for a single run of boards, chains for several")
	}
	_, told := r.places["supply.volts"]
	if at, ok := r.places["supply.battery"]; ok && told {
		f := r.diags.Add(diag.Error, "project-two-supplies", "both volts and battery are given, and a battery tells its voltage itself")
		f.Place = at
		f.Fix("keep one of the two")
	} else if ok {
		told = true
	}
	if !told && !r.diags.HasErrors() {
		f := r.diags.Add(diag.Warning, "project-no-supply", "the supply's voltage is not told; %g V taken", float64(p.Supply.Volts.Nominal))
		f.Place = p.Place("supply")
		f.Fix("write supply: {volts: 12 V, amps: 2 A} with the values of yours")
	} else if _, ok := r.places["supply.amps"]; !ok && !r.diags.HasErrors() {
		f := r.diags.Add(diag.Warning, "project-no-rating", "the supply's rated current is not told; %g A taken", float64(p.Supply.Amps))
		f.Place = p.Place("supply")
		f.Fix("write amps: in supply, as its label says")
	}
	for i := range p.Panels { // after the loop, since defaults may stand below panels
		if _, ok := r.places["panels."+strconv.Itoa(i)+".feed_length"]; !ok {
			p.Panels[i].FeedLength = p.Defaults.FeedLength
		}
		r.inherit(&p, i)
	}
	r.join(&p, explicit)
	r.kinds(&p)
	r.groupSense(&p)
	r.ruleSense(&p)
	r.fineSense(&p)
	return p, r.diags
}

// set returns a function that stores a value if it is good.
func set[T any](to *T) func(T, bool) {
	return func(v T, ok bool) {
		if ok {
			*to = v
		}
	}
}

// title reads a name for people.
func (r *reader) title(n ast.Node, path string, to *string) {
	s, ok := r.text(n, path)
	if !ok {
		return
	}
	if strings.ContainsFunc(s, func(c rune) bool { return c < ' ' || c == 0x7f || c == '\uFFFD' }) || len(s) > 120 {
		r.add(n, "project-wrong-value", "%s must be one line of at most 120 letters", r.say(path)).Fix("shorten it")
		return
	}
	*to = s
}

func (r *reader) revision(n ast.Node, path string, to *string) {
	s, ok := r.text(n, path)
	if !ok {
		return
	}
	if len(s) > 12 || strings.ContainsFunc(s, func(c rune) bool { return !nameRune(c) && c != '.' }) {
		r.add(n, "project-wrong-value", "%s must be at most 12 letters, digits, dots or dashes: it is printed on the boards", r.say(path)).
			Fix("%s", example(path))
		return
	}
	*to = s
}

func (r *reader) supply(n ast.Node, path string, s *Supply) {
	r.mapping(n, path,
		field{"volts", func(n ast.Node, path string) {
			w, ok := quantity(r, n, path, part.ParseWindow, func(w part.Window) string {
				if w.Min > w.Max {
					return "a window whose first value is above its last"
				}
				if why := positive[part.Volt](mostVolt, "60 V")(w.Min); why != "" {
					return why
				}
				return positive[part.Volt](mostVolt, "60 V")(w.Max)
			})
			if ok {
				s.Volts = w
			}
		}},
		field{"amps", func(n ast.Node, path string) { set(&s.Amps)(r.amps(n, path, part.Ampere, mostAmp, "100 A")) }},
		field{"battery", func(n ast.Node, path string) { r.battery(n, path, s) }},
		field{"resistance", func(n ast.Node, path string) { set(&s.Ohms)(r.ohms(n, path)) }},
		field{"also_feeds", func(n ast.Node, path string) {
			r.sequence(n, path, func(n ast.Node, path string) {
				s.AlsoFeeds = append(s.AlsoFeeds, r.load(n, path))
			})
		}},
	)
}

func (r *reader) feed(n ast.Node, path string, f *Feed) {
	r.mapping(n, path,
		field{"wire", func(n ast.Node, path string) {
			set(&f.Wire)(quantity(r, n, path, part.ParseWire, func(part.Wire) string { return "" }))
		}},
		field{"connector", func(n ast.Node, path string) { set(&f.Connector)(r.amps(n, path, part.Ampere, mostAmp, "100 A")) }},
		field{"contact", func(n ast.Node, path string) { set(&f.Contact)(r.ohms(n, path)) }},
		field{"temperature", func(n ast.Node, path string) {
			c, ok := quantity(r, n, path, ParseCelsius, func(c led.Celsius) string {
				if c.Min != c.Max {
					return "a range, where one temperature is meant: the highest"
				}
				return livable(c)
			})
			set(&f.Celsius)(c.Nominal, ok)
		}},
	)
}

func (r *reader) defaults(n ast.Node, path string, d *Defaults) {
	r.mapping(n, path, append(r.mounting(&d.Mounting),
		field{"led", func(n ast.Node, path string) { set(&d.LED)(r.text(n, path)) }},
		field{"current", func(n ast.Node, path string) { set(&d.Current)(r.amps(n, path, part.MilliAmp, mostLED, "2 A")) }},
		field{"resistor", func(n ast.Node, path string) {
			r.mapping(n, path,
				field{"series", func(n ast.Node, path string) {
					w, ok := r.oneOf(n, path, []string{"E6", "E12", "E24", "E48", "E96"})
					set(&d.Resistor.Series)(part.Series(w), ok)
				}},
				field{"tolerance", func(n ast.Node, path string) {
					set(&d.Resistor.Tol)(quantity(r, n, path, part.ParsePercent, positive(0.2, "20 %")))
				}},
				field{"package", func(n ast.Node, path string) {
					w, ok := r.oneOf(n, path, resistorPackages())
					if len(w) == 4 {
						w = "r-" + w // 0805 and 1206 are bodies of many parts; the footprint says which
					}
					set(&d.Resistor.Package)(w, ok)
				}},
				field{"rated", func(n ast.Node, path string) {
					set(&d.Resistor.Rated)(quantity(r, n, path, part.ParseWatt, positive[part.Watt](10, "10 W")))
				}},
				field{"derating", func(n ast.Node, path string) {
					set(&d.Resistor.Used)(quantity(r, n, path, part.ParsePercent, positive(1.0, "100 %")))
				}},
			)
		}},
		field{"connector", func(n ast.Node, path string) { set(&d.Connector)(r.oneOf(n, path, connectors())) }},
		field{"feed_length", func(n ast.Node, path string) { set(&d.FeedLength)(r.length(n, path, 0, mostFeed)) }},
		field{"series", func(n ast.Node, path string) { set(&d.InSeries)(r.series(n, path)) }},
		field{"change", func(n ast.Node, path string) {
			set(&d.MaxChange)(quantity(r, n, path, part.ParsePercent, positive(0.9, "90 %")))
		}},
	)...)
}

// resistorPackages and connectors are the footprints that board/footprint knows of each sort.
func resistorPackages() []string { return []string{"0805", "1206", "axial-7.62", "axial-10.16"} }

func connectors() []string {
	return []string{"terminal-3.5", "terminal-5.08", "header-2.54", "wire-pads"}
}

func ledPackages() []string { return []string{"radial-3mm", "radial-5mm", "plcc2", "led-0805"} }

// kind reads an LED kind of the user's own.
func (r *reader) kind(n ast.Node, path string, p *Project) {
	k := part.LED{Package: "radial-3mm", HoleMM: 3, HalfAngle: 30, Tempco: -0.002, RGB: [3]uint8{255, 255, 255}, Source: "the project file"}
	at := part.Amp(0.020)
	var forward part.Volt
	volts := positive[part.Volt](20, "20 V")
	volt := func(to *part.Volt) func(ast.Node, string) {
		return func(n ast.Node, path string) { set(to)(quantity(r, n, path, part.ParseVolt, volts)) }
	}
	r.mapping(n, path,
		field{"name", func(n ast.Node, path string) { r.name(n, path, &k.Name) }},
		field{"colour", func(n ast.Node, path string) {
			c, ok := r.oneOf(n, path, colourNames())
			if ok {
				k.Colour, k.RGB = c, rgb(c)
			}
		}},
		field{"package", func(n ast.Node, path string) { set(&k.Package)(r.oneOf(n, path, ledPackages())) }},
		field{"hole", func(n ast.Node, path string) {
			d, ok := r.length(n, path, geom.MM(0.5), 20*geom.Millimetre)
			set(&k.HoleMM)(d.MM(), ok)
		}},
		field{"forward", volt(&forward)},
		field{"at", func(n ast.Node, path string) { set(&at)(r.amps(n, path, part.MilliAmp, mostLED, "2 A")) }},
		field{"forward_min", volt(&k.VfMin)},
		field{"forward_max", volt(&k.VfMax)},
		field{"max_current", func(n ast.Node, path string) { set(&k.IMax)(r.amps(n, path, part.MilliAmp, mostLED, "2 A")) }},
		field{"half_angle", func(n ast.Node, path string) {
			set(&k.HalfAngle)(quantity(r, n, path, part.ParseDegrees, positive(89.0, "89 degrees")))
		}},
		field{"intensity", func(n ast.Node, path string) {
			set(&k.Candela)(quantity(r, n, path, part.ParseCandela, positive(1000.0, "1000 cd")))
		}},
		field{"beam", func(n ast.Node, path string) { r.beam(n, path, &k.Beam) }},
		field{"source", func(n ast.Node, path string) { r.title(n, path, &k.Source) }},
	)
	ok := r.need(n, path, "name", "forward", "max_current")
	if !ok || k.Name == "" || forward == 0 || k.IMax == 0 {
		return
	}
	k.Curve = []part.VfPoint{{I: at, V: forward}}
	// Without limits of its own, a kind is taken to spread as wide as common data sheets allow: 10 % either way.
	if k.VfMin == 0 {
		k.VfMin = forward * 0.9
	}
	if k.VfMax == 0 {
		k.VfMax = forward * 1.1
	}
	if k.VfMin > forward || k.VfMax < forward {
		r.add(n, "project-impossible-value", "%s: forward must lie between forward_min and forward_max", r.say(path)).
			Fix("check the three against the data sheet; all hold at the current of at")
		return
	}
	for _, q := range p.Kinds {
		if q.Name == k.Name {
			r.add(n, "project-same-name", "two LED kinds are named %s", k.Name).Fix("give one another name")
			return
		}
	}
	p.Kinds = append(p.Kinds, k)
}

func (r *reader) panel(n ast.Node, path string, p *Project) {
	if len(p.Panels) >= mostPanels {
		if len(p.Panels) == mostPanels {
			r.add(n, "project-too-large", "more than %d panels", mostPanels).Fix("split the console")
			p.Panels = append(p.Panels, Panel{})
		}
		return
	}
	q := Panel{}
	r.mapping(n, path, append(r.mounting(&q.Mounting),
		field{"name", func(n ast.Node, path string) { r.name(n, path, &q.Name) }},
		field{"drawing", func(n ast.Node, path string) { set(&q.Drawing)(r.text(n, path)) }},
		field{"feed_length", func(n ast.Node, path string) { set(&q.FeedLength)(r.length(n, path, 0, mostFeed)) }},
		field{"layers", func(n ast.Node, path string) { q.Layers = r.layers(n, path) }},
		field{"led", func(n ast.Node, path string) { set(&q.LED)(r.text(n, path)) }},
		field{"current", func(n ast.Node, path string) { set(&q.Current)(r.amps(n, path, part.MilliAmp, mostLED, "2 A")) }},
		field{"wire", func(n ast.Node, path string) {
			set(&q.Wire)(quantity(r, n, path, part.ParseWire, func(part.Wire) string { return "" }))
		}},
		field{"series", func(n ast.Node, path string) { set(&q.InSeries)(r.series(n, path)) }},
		field{"stands_at", func(n ast.Node, path string) { r.stands(n, path, &q.Stands) }},
		field{"units", func(n ast.Node, path string) { set(&q.Units)(r.unit(n, path)) }},
		field{"roles", func(n ast.Node, path string) { q.Roles = r.roles(n, path) }},
		field{"join", func(n ast.Node, path string) { set(&q.Join)(r.length(n, path, geom.Micrometre, read.MaxJoin)) }},
		field{"at", func(n ast.Node, path string) { q.At = r.point(n, path) }},
	)...)
	if q.Drawing == "" {
		if _, ok := r.places[join(path, "drawing")]; !ok {
			r.need(n, path, "drawing")
		}
	}
	if _, ok := r.places[join(path, "name")]; !ok && q.Drawing != "" {
		q.Name = NameOf(q.Drawing)
	}
	p.Panels = append(p.Panels, q)
}

func (r *reader) layers(n ast.Node, path string) []Layer {
	var out []Layer
	var fields []field
	for _, role := range Roles() {
		fields = append(fields, field{role, func(n ast.Node, path string) {
			if s, ok := r.text(n, path); ok {
				out = append(out, Layer{role, s})
			}
		}})
	}
	r.mapping(n, path, fields...)
	return out
}

// name reads a name that files and nets are called by.
func (r *reader) name(n ast.Node, path string, to *string) {
	s, ok := r.text(n, path)
	if !ok {
		return
	}
	bad := strings.ContainsFunc(s, func(c rune) bool { return !nameRune(c) && c != '.' })
	switch {
	case bad, len(s) > maxName, s[0] == '.', s[0] == '-', s[len(s)-1] == '.':
		r.add(n, "project-wrong-name", "%s: %s cannot name files", r.say(path), strconv.Quote(s)).
			Fix("use at most %d letters, digits, - and _, beginning with a letter or digit", maxName)
	case reserved(s):
		r.add(n, "project-wrong-name", "%s: some systems allow no folder called %s", r.say(path), s).Fix("choose another name")
	default:
		*to = s
	}
}

// words reads a list of names.
func (r *reader) words(n ast.Node, path string) []string {
	var out []string
	r.sequence(n, path, func(n ast.Node, path string) {
		s, ok := r.text(n, path)
		if !ok {
			s = ""
		}
		out = append(out, s)
	})
	return out
}

// need tells keys that a mapping lacks.
func (r *reader) need(n ast.Node, path string, keys ...string) bool {
	ok := true
	for _, k := range keys {
		if _, there := r.places[join(path, k)]; there {
			continue
		}
		if _, isMap := n.(ast.MapNode); !isMap {
			return false
		}
		r.add(n, "project-missing-key", "%s needs %s", r.say(path), k).Fix("%s", example(join(path, k)))
		ok = false
	}
	return ok
}

// amps reads a current; a bare number counts in the unit bare.
func (r *reader) amps(n ast.Node, path string, bare, most part.Amp, unit string) (part.Amp, bool) {
	parse := func(s string) (part.Amp, error) { return part.ParseAmp(s, bare) }
	return quantity(r, n, path, parse, positive(most, unit))
}

// length reads a length; a bare number is in millimetres.
func (r *reader) length(n ast.Node, path string, least, most geom.Nm) (geom.Nm, bool) {
	return quantity(r, n, path, part.ParseLength, func(v geom.Nm) string {
		switch {
		case v < 0:
			return "negative"
		case v < least:
			return "less than " + least.String()
		case v > most:
			return "more than " + most.String()
		}
		return ""
	})
}

// ParseDate reads the day that files may carry: 2026-11-25.
func ParseDate(s string) (time.Time, error) {
	d, err := time.Parse(time.DateOnly, s)
	if err != nil || d.Year() < 1980 { // a zip archive can carry no earlier day
		return time.Time{}, errDate
	}
	return d, nil
}
