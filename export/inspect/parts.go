package inspect

import (
	"math"
	"slices"

	"lampblack/board"
	"lampblack/board/footprint"
	"lampblack/export"
	"lampblack/panel/geom"
)

// component is a part as the component layers have it.
type component struct {
	ref  string
	on   geom.Side
	at   geom.Pt
	main bool // its middle is told
	*export.Component
	pins []export.Object
}

// components returns the parts of both component layers, in their order.
func (p *inspector) components() []component {
	var out []component
	index := map[string]int{}
	for _, side := range geom.BothSides() {
		l, _ := p.pack.Artwork.Layer(export.ComponentTop + export.Function(side))
		for _, o := range l.Objects {
			if o.Op != export.Flash || o.Ref == "" {
				continue
			}
			k, ok := index[o.Ref]
			if ok && out[k].on != side {
				p.fail("inspect-part-twice", "%s is on both component layers", o.Ref).OfPart(o.Ref).At(o.To.X.MM(), o.To.Y.MM()).
					Fix("a part is on one side: write the pack anew")
				continue
			}
			if !ok {
				k = len(out)
				index[o.Ref] = k
				out = append(out, component{ref: o.Ref, on: side})
			}
			c := &out[k]
			if c.Component == nil {
				c.Component = o.Part
			}
			switch {
			case o.Pin != "":
				c.pins = append(c.pins, o)
			case l.Apertures[o.Aperture].Function == "ComponentMain":
				c.at, c.main = o.To, true
			}
		}
	}
	return out
}

// lamp reports whether a part has a cathode and an anode, connector whether it has the poles of a feed.
func (c component) lamp() bool      { return c.names("K") && c.names("A") }
func (c component) connector() bool { return c.names("+") || c.names("-") }

func (c component) names(function string) bool {
	return slices.ContainsFunc(c.pins, func(o export.Object) bool { return o.PinFn == function })
}

// placed is how far a component layer may differ from the copper: what nobody sees.
const placed = 20 * geom.Micrometre

// parts compares the component layers with the copper: each pin on a pad of its name, net and meaning, no pad without its
// part, each part where its footprint says that its pins are, and turned as it says, with the holes that its leads need.
func (p *inspector) parts() {
	all := p.fitted
	if len(all) == 0 {
		if p.own {
			p.fail("inspect-no-parts", "the pack has no component layers").Fix("write the pack anew")
		} else {
			p.cannot("which parts go where, and which way round", "the pack has no component layers")
		}
		return
	}
	known := map[[2]string][]int{}
	for i, d := range p.pads {
		k := [2]string{d.Ref, d.Pin}
		known[k] = append(known[k], i)
	}
	told := map[[2]string]bool{}
	for _, c := range all {
		for _, pin := range c.pins {
			told[[2]string{c.ref, pin.Pin}] = true
			p.pin(c, pin, known[[2]string{c.ref, pin.Pin}])
		}
		p.footprint(c)
	}
	missing := map[string]bool{}
	for _, d := range p.pads {
		if !told[[2]string{d.Ref, d.Pin}] && !d.TestPoint() && !missing[d.Ref] {
			missing[d.Ref] = true
			p.fail("inspect-part-missing", "pad %s-%s is on the copper, but the component layers know no such pin", d.Ref, d.Pin).
				OfPart(d.Ref).At(d.To.X.MM(), d.To.Y.MM()).Fix("component layers and copper are of different boards or runs: write the pack anew")
		}
	}
	p.did("parts and their pins")
}

// pin compares one pin with its pads.
func (p *inspector) pin(c component, pin export.Object, pads []int) {
	where := func(code, format string, args ...any) {
		p.fail(code, format, args...).OfPart(c.ref).At(pin.To.X.MM(), pin.To.Y.MM()).
			Fix("component layers and copper are of different boards or runs: write the pack anew")
	}
	if len(pads) == 0 {
		where("inspect-pin-without-pad", "the component layers have a pin %s-%s that the copper has no pad for", c.ref, pin.Pin)
		return
	}
	i := slices.IndexFunc(pads, func(i int) bool { return p.pads[i].To.Dist(pin.To) <= float64(placed) })
	if i < 0 {
		where("inspect-pin-place", "the component layers have pin %s-%s %.2f mm from its pad", c.ref, pin.Pin, p.pads[pads[0]].To.Dist(pin.To)/1e6)
		return
	}
	d := p.pads[pads[i]]
	if pin.HasNet && d.HasNet && pin.Net != d.Net {
		where("inspect-pin-net", "the component layers have pin %s-%s on net %s, the copper on net %s", c.ref, pin.Pin, pin.Net, d.Net)
	}
	if pin.PinFn != d.PinFn {
		where("inspect-pin-function", "the component layers call pin %s-%s %q, the copper calls it %q", c.ref, pin.Pin, pin.PinFn, d.PinFn)
	}
	if len(pads) == 1 && d.on != c.on {
		where("inspect-pin-side", "%s is on the %v by its component layer, its pad %s on the %v", c.ref, c.on, pin.Pin, d.on)
	}
}

// footprint compares a part with the footprint of that name. Others may have footprints of the same names with lands of
// their own: of their packs nothing is said here.
func (p *inspector) footprint(c component) {
	if !p.own || c.Component == nil {
		return
	}
	if !c.main {
		p.fail("inspect-part-place", "the component layers do not tell the middle of %s", c.ref).OfPart(c.ref).Fix("write the pack anew")
		return
	}
	fp, ok := footprint.Lookup(c.Footprint)
	if !ok {
		p.fail("inspect-footprint", "%s has a footprint %q that this program does not know", c.ref, c.Footprint).OfPart(c.ref).
			At(c.at.X.MM(), c.at.Y.MM()).Fix("write the pack anew")
		return
	}
	if eighths := c.Rotation / 45; eighths != math.Trunc(eighths) {
		p.fail("inspect-part-turned", "%s is turned by %g degrees", c.ref, c.Rotation).OfPart(c.ref).Fix("write the pack anew")
		return
	}
	if c.Value == "" {
		p.fail("inspect-part-value", "the component layers do not say what %s is", c.ref).OfPart(c.ref).Together("the component layers do not say what %d parts are").
			Fix("write the pack anew")
	}
	if c.lamp() && c.on == geom.Bottom {
		p.fail("inspect-led-behind", "%s sits on the bottom, where it lights away from the panel", c.ref).OfPart(c.ref).At(c.at.X.MM(), c.at.Y.MM()).
			Together("%d LEDs sit on the bottom, where they light away from the panel").Fix("LEDs sit on the top: write the pack anew")
	}
	want := fp.Place(c.ref, board.LED, c.at, int(c.Rotation), c.on, 0)
	if c.Height != 0 && c.Height != fp.Height {
		p.fail("inspect-part-height", "%s is %v tall by its component layer, a %s is %v", c.ref, c.Height, c.Footprint, fp.Height).OfPart(c.ref).Fix("write the pack anew")
	}
	if len(want.Pads) != len(c.pins) {
		p.fail("inspect-pin-count", "%s has %d pins, its footprint %s has %d", c.ref, len(c.pins), c.Footprint, len(want.Pads)).OfPart(c.ref).
			At(c.at.X.MM(), c.at.Y.MM()).Fix("write the pack anew")
	}
	for _, w := range want.Pads {
		on := func(d pad) bool { return d.Ref == c.ref && d.Pin == w.Pin }
		var d pad
		if !p.padAt.Near(w.At, placed, func(i int) bool { d = p.pads[i]; return on(d) }) {
			p.fail("inspect-part-turned", "%s, a %s turned by %g degrees, would have its pin %s where no pad of it is", c.ref, c.Footprint, c.Rotation, w.Pin).
				OfPart(c.ref).At(w.At.X.MM(), w.At.Y.MM()).Fix("its place or its rotation is wrong on the component layer: write the pack anew")
			return
		}
		if p.shapeOf(d) != w.Shape || d.Slant != w.Slant || far(d.W, w.W, geom.Micrometre) || w.Shape != board.Round && far(d.H, w.H, geom.Micrometre) {
			p.fail("inspect-pad-shape", "pad %s-%s is %v x %v, a %s needs %v x %v", c.ref, d.Pin, d.W, d.H, c.Footprint, w.W, w.H).
				OfPart(c.ref).At(d.To.X.MM(), d.To.Y.MM()).Fix("write the pack anew")
		}
		if w.Through {
			p.lead(c, d, w.Drill)
		}
	}
	for _, h := range fp.PlacedHoles(c.at, int(c.Rotation)) {
		if g, ok := p.holeOf(h.At); !ok || g.plated || far(g.d, h.D, 50*geom.Micrometre) {
			p.fail("inspect-hole-gone", "%s needs an unplated hole of %v here", c.ref, h.D).OfPart(c.ref).At(h.At.X.MM(), h.At.Y.MM()).Fix("drill it")
		}
	}
}

func (p *inspector) shapeOf(d pad) board.PadShape {
	switch d.Shape {
	case export.Circle:
		return board.Round
	case export.Obround:
		return board.Oblong
	}
	return board.Square
}

// lead checks that a lead goes into its hole and is not lost in it.
func (p *inspector) lead(c component, d pad, drill geom.Nm) {
	const loose = 250 * geom.Micrometre
	h, ok := p.holeOf(d.To)
	if !ok {
		return // told as an undrilled pad
	}
	if h.d < drill-50*geom.Micrometre || h.d > drill+loose {
		p.fail("inspect-lead-hole", "the hole of %s-%s is %v wide, the lead of a %s needs %v", c.ref, d.Pin, h.d, c.Footprint, drill).
			OfPart(c.ref).At(d.To.X.MM(), d.To.Y.MM()).Fix("drill it as the lead needs")
	}
}
