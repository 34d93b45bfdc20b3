package flow

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"lampblack/board/route"
	"lampblack/export/parts"
	"lampblack/export/report"
	"lampblack/led"
	"lampblack/led/part"
	"lampblack/panel"
	"lampblack/panel/geom"
)

// What a stage takes is cut down here to what it uses. A fresh run takes the same, so that its bytes are the same.

// sheets returns what a panel is, wherever it stands in whichever drawing: all but names of files, the origin and lines. The room
// behind it and what is printed are the board's matter.
func sheets(p panel.Panel) panel.Panel {
	p.Drawing, p.Origin, p.Room, p.Unclosed, p.Print = "", panel.Origin{}, nil, nil, [2]panel.Print{}
	p.Mounts, p.LEDs, p.Openings = slices.Clone(p.Mounts), slices.Clone(p.LEDs), slices.Clone(p.Openings)
	for _, holes := range [][]panel.Hole{p.Mounts, p.LEDs} {
		for i := range holes {
			holes[i].Line = 0
		}
	}
	for i := range p.Openings {
		p.Openings[i].Line = 0
	}
	return p
}

// footing returns what a board is made for: the panel without what is engraved in it.
func footing(p panel.Panel) panel.Panel {
	room := p.Room
	p = sheets(p)
	p.Room, p.Lettering, p.Symbols, p.BodyDepth, p.Controls, p.Frame = room, nil, nil, 0, nil, nil
	return p
}

// wired returns what a board is made of, and the currents its tracks are made for: those of the supply and 0 V in the steps
// of route.Carried, those within a string in whole milliamperes, both rounded up. So a board stays as it is when a current of
// another board moves its own by a little.
func wired(w led.Wiring, copper geom.Nm) led.Wiring {
	w.Through, w.Across, w.Drawn = 0, led.ThroughOhms{}, nil
	w.Resistors = slices.Clone(w.Resistors)
	for i := range w.Resistors {
		w.Resistors[i].Rated = 0
	}
	w.Strings = slices.Clone(w.Strings)
	for i := range w.Strings {
		s := &w.Strings[i]
		s.Nominal, s.Min, s.Max, s.Worst = 0, 0, 0, 0
	}
	w.Nets = slices.Clone(w.Nets)
	for i := range w.Nets {
		id := led.NetID(i)
		feed := id == led.Supply || id == led.Return || slices.ContainsFunc(w.Groups, func(g led.Group) bool { return g.Net == id })
		if n := &w.Nets[i]; feed {
			n.Amps = route.Carried(n.Amps, copper)
		} else {
			n.Amps = upTo(n.Amps, 1000)
		}
	}
	return w
}

// upTo rounds a current up to a whole part of an ampere; what is a hair above one is that one.
func upTo(i part.Amp, parts float64) part.Amp {
	return part.Amp(math.Ceil(float64(float64(i)*parts)-1e-9) / parts)
}

// glowing returns what the light depends on: the LEDs and their strings' currents, to three digits. Intensities are told to two
// at best, and nobody sees a step of half a percent.
func glowing(w led.Wiring) led.Wiring {
	out := led.Wiring{Panel: w.Panel, LEDs: w.LEDs, Strings: make([]led.String, len(w.Strings))}
	for i, s := range w.Strings {
		out.Strings[i] = led.String{LEDs: s.LEDs, Nominal: s.Nominal.Rounded()}
	}
	return out
}

// partsOf returns what the lists of parts tell of a board's wiring; a connector's rating is told in tenths of an ampere.
func partsOf(w led.Wiring) led.Wiring {
	return led.Wiring{Panel: w.Panel, LEDs: w.LEDs, Resistors: w.Resistors, Through: w.Through.Rating()}
}

// readme returns what a pack's README.txt tells of the circuit, currents as they are printed there.
func (s *session) readme(w led.Wiring, c led.Circuit) report.Pack {
	p := report.Pack{
		Quantity: s.quantity(w.Panel),
		LEDs:     len(w.LEDs), Strings: len(w.Strings), Through: report.Shown(w.Through), Supply: part.Window{Min: c.Source.Min, Nominal: c.Source.Nominal, Max: c.Source.Max},
		Rated: c.Source.Rated, FuseAmps: fuse(c, w.Panel),
	}
	p.Kinds = kindsOf(w)
	if w.Grouped() {
		for k, g := range w.Groups {
			one := report.Group{Name: g.Name, LEDs: w.LEDsFed(k), Through: report.Shown(w.Nets[g.Net].Amps)}
			if k < len(w.Drawn) {
				one.Draws, one.DrawsMost = report.Shown(w.Drawn[k].Typical), report.Shown(w.Drawn[k].Worst)
			}
			p.Groups = append(p.Groups, one)
		}
	}
	own := w.Draws()
	p.Draws, p.DrawsMost, p.All = report.Shown(own.Typical), report.Shown(own.Worst), report.Shown(c.Source.Demand)
	return p
}

// kindsOf returns the kinds of a board's LEDs with their references, in the LEDs' order; nothing of a single one.
func kindsOf(w led.Wiring) []report.Kind {
	var names []string
	refs := map[string][]string{}
	for _, x := range w.LEDs {
		if k := x.Kind.Name; refs[k] == nil {
			names = append(names, k)
		}
		refs[x.Kind.Name] = append(refs[x.Kind.Name], x.Ref)
	}
	if len(names) < 2 {
		return nil
	}
	var out []report.Kind
	for _, k := range names {
		out = append(out, report.Kind{Name: k, LEDs: parts.Ranges(refs[k])})
	}
	return out
}

// quantity is how many of a board to order by its own pack; where it comes on an array too, what was made of that decides.
func (s *session) quantity(board string) string {
	n := strconv.Itoa(s.project.Copies)
	var on []string
	for _, o := range s.project.Orders {
		for _, b := range o.Boards {
			if strings.EqualFold(b.Panel, board) || strings.EqualFold(b.Panel, s.owners[board]) {
				on = append(on, fmt.Sprintf("the order %s asks for %d", o.Name, b.Count))
			}
		}
	}
	if len(on) > 0 {
		return "as order.csv says: " + n + " wanted, " + strings.Join(on, ", ")
	}
	return n
}
