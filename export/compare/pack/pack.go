package pack

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"lampblack/export"
	"lampblack/export/compare"
	"lampblack/export/readback"
	"lampblack/panel/geom"
	"lampblack/panel/work"
)

// hand is how far a hole or a part may be off and what goes into it still goes in; common practice.
const hand = 100 * geom.Micrometre

// reach is within what a hole or a part without a name is the same one, moved: further off it is another.
const reach = 6 * geom.Millimetre

// Boards tells what changed between two packs of one board. name is what people call the board. Once ctx is done what it returns means nothing.
func Boards(ctx context.Context, name string, was, is readback.Pack) compare.Difference {
	return Drawn(ctx, name, [2]float64{}, was, is)
}

// Drawn is Boards with places told from the origin of a drawing in which the files' own origin lies at from, mm.
func Drawn(ctx context.Context, name string, from [2]float64, was, is readback.Pack) (d compare.Difference) {
	work.Until(ctx, func(w *work.Watch) {
		c := comparison{watch: w, name: name, from: from, was: was, is: Aligned(was, is)}
		for _, step := range []func(){c.edge, c.laminate, c.parts, c.nets, c.holes, c.layers, c.others} {
			w.Look()
			step()
		}
		fit := compare.Board{Panel: name, Board: name, Why: c.why, Fits: len(c.why) == 0}
		d = compare.Sorted(compare.Difference{Changes: c.out, Boards: []compare.Board{fit}, Unknown: c.unknown})
		for _, u := range c.unknown {
			d.Doubt(name, name, "not compared: "+u)
		}
	})
	return d
}

// comparison is two packs being set against each other. The new one has been moved to where the old one lies.
type comparison struct {
	watch   *work.Watch
	name    string
	from    [2]float64 // where the files' origin lies in the drawing, mm
	was, is readback.Pack

	joined [2]map[string]string // new references of parts by old ones, and the other way round
	own    [2]readback.Grid     // places of pins of parts that moved, came or went: of the old side, of the new one
	told   []round              // of what was told: openings of mask and paste that changed there follow from it

	out          []compare.Change
	why, unknown []string
}

// round is a place and what lies round it.
type round struct {
	at geom.Pt
	r  geom.Nm
}

func (c *comparison) say(code, format string, args ...any) {
	c.out = append(c.out, compare.Change{Code: code, Panel: c.name, Text: fmt.Sprintf(format, args...)})
}

func (c *comparison) no(format string, args ...any) {
	c.why = append(c.why, fmt.Sprintf(format, args...))
}

// Aligned returns the new board where the old one lies, if both are equally large: a board that lies elsewhere in its files is the same.
func Aligned(was, is readback.Pack) readback.Pack {
	a, b := was.Artwork.Size, is.Artwork.Size
	if by := a.Min.Sub(b.Min); by != (geom.Vec{}) && (a.W()-b.W()).Abs() <= hand && (a.H()-b.H()).Abs() <= hand && a.W() > 0 && b.W() > 0 {
		return moved(is, by)
	}
	return is
}

func moved(p readback.Pack, by geom.Vec) readback.Pack {
	layers := make([]export.Layer, len(p.Artwork.Layers))
	for i, l := range p.Artwork.Layers {
		objects := make([]export.Object, len(l.Objects))
		for j, o := range l.Objects {
			o.From, o.To, o.Contour = o.From.Add(by), o.To.Add(by), o.Contour.Moved(by)
			objects[j] = o
		}
		l.Objects = objects
		layers[i] = l
	}
	drills := make([]export.Drill, len(p.Artwork.Drills))
	for i, d := range p.Artwork.Drills {
		hits := make([]export.Hit, len(d.Hits))
		for j, h := range d.Hits {
			hits[j] = export.Hit{Tool: h.Tool, At: h.At.Add(by)}
		}
		slots := make([]export.Slot, len(d.Slots))
		for j, s := range d.Slots {
			path := make(geom.Polyline, len(s.Path))
			for k, q := range s.Path {
				path[k] = q.Add(by)
			}
			slots[j] = export.Slot{Tool: s.Tool, Path: path}
		}
		d.Hits, d.Slots = hits, slots
		drills[i] = d
	}
	points := slices.Clone(p.Netlist.Points)
	for i := range points {
		points[i].At = points[i].At.Add(by)
	}
	p.Netlist.Points = points
	p.Artwork.Layers, p.Artwork.Drills = layers, drills
	p.Artwork.Size = geom.Box{Min: p.Artwork.Size.Min.Add(by), Max: p.Artwork.Size.Max.Add(by)}
	return p
}

// laminate tells of thickness and copper, where both job files tell them.
func (c *comparison) laminate() {
	a, b := c.was.Artwork.Laminate, c.is.Artwork.Laminate
	switch {
	case a == b:
	case a.Thickness == 0 || b.Thickness == 0:
		c.unknown = append(c.unknown, fmt.Sprintf("how thick board %s and its copper are, as one pack's files do not tell it", c.name))
	default:
		c.say("laminate", "the board was %s mm thick with %s µm of copper, it is %s mm with %s µm", millimetres(a.Thickness), microns(a.Copper), millimetres(b.Thickness), microns(b.Copper))
		if a.Thickness != b.Thickness {
			c.no("it has another thickness")
		}
		if a.Copper < b.Copper {
			c.no("its copper is thinner: %s µm in place of %s µm", microns(a.Copper), microns(b.Copper))
		}
	}
}

// others tells of files that are not compared by what they hold.
func (c *comparison) others() {
	if n, m := len(c.was.Others), len(c.is.Others); n+m > 0 {
		c.unknown = append(c.unknown, fmt.Sprintf("of board %s, layers that no board of two layers of copper has: %d, now %d", c.name, n, m))
	}
}

func figure(v float64, k int) string {
	p := math.Pow10(k)
	return strconv.FormatFloat(math.Round(v*p)/p+0, 'f', -1, 64)
}

func millimetres(v geom.Nm) string { return figure(v.MM(), 3) }

func microns(v geom.Nm) string { return figure(v.MM()*1000, 1) }

func (c *comparison) spot(p geom.Pt) string {
	return "(" + figure(c.from[0]+p.X.MM(), 2) + ", " + figure(c.from[1]+p.Y.MM(), 2) + ")"
}

// shown is as many things as people read one by one.
const shown = 6

// list joins things by commas; of many only the first.
func list(all []string) string {
	if len(all) > shown {
		return fmt.Sprintf("%s and %d more", strings.Join(all[:shown-1], ", "), len(all)-shown+1)
	}
	return strings.Join(all, ", ")
}

func plural(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}
