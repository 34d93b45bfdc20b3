package inspect

import (
	"fmt"
	"slices"

	"lampblack/board"
	"lampblack/board/check"
	"lampblack/export"
	"lampblack/export/readback"
	"lampblack/led"
	"lampblack/panel/disjoint"
	"lampblack/panel/geom"
	"lampblack/panel/work"
)

// island is a piece of copper on one side.
type island struct {
	on    geom.Side
	fill  geom.Polygon
	box   geom.Box
	where *geom.Locator
}

func (d island) holds(q geom.Pt) bool { return d.box.Contains(q) && d.where.Locate(q) != geom.Outside }

// bare judges copper whose pads have no names, or that holds what a board cannot: its image is.
//
// Method: each copper layer is painted as an area (readback.Image); its pieces are the islands. A plated hole joins the
// islands it lies in, of both sides (union of disjoint sets: R. E. Tarjan, "Efficiency of a good but not linear set union
// algorithm", JACM 22(2), 1975, doi:10.1145/321879.321884). What is joined so is one net of the real board. Each point of the netlist
// lies in one: a net with two names is a short, a name in two nets is an open. The islands are then a board of areas, whose
// gaps, necks, edges and holes board/check judges.
func (p *inspector) bare(why string) {
	var layers [2]export.Layer
	for _, side := range geom.BothSides() {
		l, ok := p.pack.Artwork.Layer(export.CopperTop + export.Function(side))
		if !ok {
			return // told as a missing layer
		}
		layers[side] = l
	}
	p.w.Look()
	var sides [2][]island
	work.Each(p.ctx, len(sides), func(i int) {
		for _, g := range readback.Image(layers[i]) {
			sides[i] = append(sides[i], island{geom.Side(i), g, g.Outer.Box(), geom.NewLocator(g)})
		}
	})
	p.w.Look()
	all := slices.Concat(sides[:]...)
	sets := disjoint.New(len(all))
	p.narrow()
	for _, h := range p.holes {
		p.w.Step()
		if !h.plated {
			continue
		}
		first := -1
		for i, d := range all {
			if !d.holds(h.at) {
				continue
			}
			if first < 0 {
				first = i
			}
			sets.Join(first, i)
			p.ringOf(h, d)
		}
	}
	p.joined(all, &sets, why)
	p.asAreas(all, &sets)
}

// narrow judges the lines that copper is drawn with.
func (p *inspector) narrow() {
	for _, l := range p.pack.Artwork.Layers {
		if !l.Function.Copper() {
			continue
		}
		for _, o := range l.Objects {
			if w := drawn(l, o); w > 0 && w < p.rules.Track-geom.Micrometre {
				p.fail("check-thin-track", "a track of the layer %v is %v wide, %v needed", l.Function, w, p.rules.Track).At(o.To.X.MM(), o.To.Y.MM()).
					Together("%d tracks are too narrow").Fix("widen it")
			}
		}
	}
}

// ringOf judges the copper that an island leaves round a hole.
func (p *inspector) ringOf(h hole, d island) {
	if ring := (geom.Region{d.fill}).DistTo(h.at) - float64(h.d)/2; ring < float64(p.rules.AnnularRing-geom.Micrometre) {
		p.fail("check-annular-ring", "a hole of %v has a copper ring of %.3f mm on the %v side, %v needed", h.d, max(ring, 0)/1e6, d.on, p.rules.AnnularRing).
			At(h.at.X.MM(), h.at.Y.MM()).Together("%d holes have too narrow a ring of copper").Fix("make the pad larger or the hole smaller")
	}
}

// joined compares the nets of copper with the netlist's.
func (p *inspector) joined(all []island, sets *disjoint.Sets, why string) {
	if !p.pack.HasNetlist {
		p.cannot("shorts and opens", why+", and there is no netlist")
		return
	}
	nets := map[int]string{}     // of each set
	places := map[string]int{}   // a set of each net
	told := map[[2]string]bool{} // shorts
	opened := map[string]bool{}  // opens
	for _, t := range p.pack.Netlist.Points {
		p.w.Step()
		if t.Op == 367 || t.Net == export.NotConnected {
			continue
		}
		i := slices.IndexFunc(all, func(d island) bool {
			return t.On(d.on) && d.holds(t.At)
		})
		if i < 0 {
			p.fail("inspect-netlist-bare", "the netlist has a point of net %s where no copper is", t.Net).OfNet(t.Net).At(t.At.X.MM(), t.At.Y.MM()).
				Together("the netlist has %d points where no copper is").Fix("netlist and copper are of different boards or runs")
			continue
		}
		set := sets.Least(i)
		if other, ok := nets[set]; ok && other != t.Net {
			pair := [2]string{min(other, t.Net), max(other, t.Net)}
			if !told[pair] {
				told[pair] = true
				p.fail("inspect-short", "copper joins the nets %s and %s of the netlist", pair[0], pair[1]).OfNet(t.Net).At(t.At.X.MM(), t.At.Y.MM()).
					Fix("part them, or correct the netlist")
			}
			continue
		}
		nets[set] = t.Net
		if first, ok := places[t.Net]; ok && first != set && !opened[t.Net] {
			opened[t.Net] = true
			p.fail("inspect-open", "no copper leads to this point of net %s from the net's others", t.Net).OfNet(t.Net).At(t.At.X.MM(), t.At.Y.MM()).
				Fix("join it, or correct the netlist")
		} else if !ok {
			places[t.Net] = set
		}
	}
	p.did("shorts and opens by the netlist")
}

// asAreas has the islands judged as a board of areas.
func (p *inspector) asAreas(all []island, sets *disjoint.Sets) {
	edges := p.pack.Artwork.Edges()
	if len(edges) == 0 {
		p.cannot("ways to the board's edge", "the profile is not closed")
		return
	}
	b := board.Board{Name: p.pack.Artwork.Name, Rules: p.rules, Nets: []led.Net{{}}}
	b.Outline, b.Cutouts = export.Parted(edges)
	ids := map[int]led.NetID{}
	for i, d := range all {
		set := sets.Least(i)
		if ids[set] == 0 {
			ids[set] = led.NetID(len(b.Nets))
			b.Nets = append(b.Nets, led.Net{Name: fmt.Sprintf("copper %d", len(b.Nets))})
		}
		b.Areas = append(b.Areas, board.Area{Net: ids[set], On: d.on, Fill: d.fill})
		// A pad of no size worth telling carries the net's name, and a part of no size the pad.
		q := d.fill.Outer[0]
		b.Parts = append(b.Parts, board.Part{Ref: fmt.Sprintf("#%d", i), Kind: board.Connector, At: q, On: d.on,
			Pads: []board.Pad{{Pin: "1", Net: ids[set], At: q, W: 2, H: 2, On: d.on}}})
	}
	// An unplated slot is a cut-out as any other.
	for _, d := range p.pack.Artwork.Drills {
		for _, s := range d.Slots {
			if d.Plated {
				p.cannot("the copper round plated slots", "slots are judged as cut-outs alone")
				continue
			}
			var rings []geom.Ring
			for _, e := range s.Path.Segments() {
				rings = append(rings, geom.Stadium(e, d.Tools[s.Tool].D/2).Ring(geom.FlattenTolerance))
			}
			for _, g := range geom.UnionOf(rings...) {
				b.Cutouts = append(b.Cutouts, geom.Straight(g.Outer.Oriented(geom.CW)...))
			}
		}
	}
	for _, h := range p.holes {
		if h.plated {
			continue // its ring was judged
		}
		b.Holes = append(b.Holes, board.Hole{At: h.at, D: h.d, What: board.StrainRelief})
	}
	if p.job == nil {
		b.Rules.ScrewClear = 0
	}
	found, _ := check.Sound(p.ctx, b)
	for _, f := range found {
		switch f.Code {
		case "check-copper-gap", "check-copper-to-edge", "check-copper-off-board", "check-hole-to-edge", "check-hole-off-board", "check-between-holes",
			"check-smallest-hole", "check-copper-to-hole", "check-outline-crosses", "check-cutout-outside":
			f.Subject.Part, f.Subject.Net, f.Subject.Keys = "", "", nil
			p.found = append(p.found, f)
		case "check-malformed":
			p.cannot("gaps and ways to the edge", f.Text)
		}
	}
	for _, h := range p.holes {
		if h.plated && h.d < p.rules.Drill {
			p.fail("check-smallest-hole", "a hole of %v, the smallest drill is %v", h.d, p.rules.Drill).At(h.at.X.MM(), h.at.Y.MM()).
				Together("%d holes are narrower than the smallest drill").Fix("drill it wider")
		}
	}
	p.did("gaps, widths, rings and holes")
}
