package light

import (
	"math"

	"lampblack/panel"
	"lampblack/panel/geom"
	"lampblack/panel/work"
)

// ground is where light is computed: what of each cell of a grid is panel, and what stands on it.
type ground struct {
	inside func(Grid) []float64 // share of a cell that is neither body nor opening, within the outline; nil: all
	face   []float64            // share of each cell of the fine grid that has a diffuser; nil: all
	cut    []float64            // what of each cell is body, before which there is no diffuser to glow; nil: nothing
	walls  []wall
}

// groundOf returns a panel's, and the grid of it, of zeros, that stepFor chooses; ok is false for a panel without an area.
func groundOf(watch *work.Watch, p panel.Panel, s Stack, o optics) (g Grid, at ground, ok bool) {
	box := p.Outline.Box()
	if box.Empty() || box.Grown(geom.Millimetre).Empty() {
		return g, at, false
	}
	g = newGrid(box, stepFor(s, o, box), 0)
	at = ground{
		inside: inside(watch, p), walls: walls(p),
		face: within(watch, []geom.Ring{p.Outline.CounterClockwise().Ring(wallTolerance)})(g), // outside there is no diffuser
	}
	if rings := geom.UnionOf(ringsOf(p.InDiffuser())...).Rings(); len(rings) > 0 {
		at.cut = within(watch, rings)(g)
	}
	return g, at, true
}

// cutFrom darkens what is body.
func (at ground) cutFrom(lit Grid) {
	for i, m := range at.cut {
		lit.V[i] *= 1 - m
	}
}

// view is the luminance, cd/m², that an eye straight before the panel has of the lamps, in the parts that optics tells apart.
type view struct{ straight, scattered, around Grid }

// total returns the sum of all parts.
func (v view) total() Grid { return v.straight.plus(v.scattered, v.around) }

// spot returns the greatest spotOf of all beams.
func (o optics) spot(watch *work.Watch, s Stack, r arrivals) float64 {
	most := 0.0
	for i := range r.beams {
		most = max(most, o.spotOf(watch, s, r, i))
	}
	return most
}

// spotOf returns how many times as bright as without the light that keeps its direction the place straight over an LED of that beam
// looks that shines alone; infinite where nothing else is seen.
func (o optics) spotOf(watch *work.Watch, s Stack, r arrivals, beam int) float64 {
	const half = 30 * geom.Millimetre
	box := geom.Box{Max: geom.Pt{X: 2 * half, Y: 2 * half}}
	at := box.Centre()
	v := o.seen(watch, newGrid(box, stepFor(s, o, box), 0), s, []lamp{{at: at, candela: 1, beam: beam}}, r, ground{})
	straight, plain := v.straight.At(at), v.scattered.At(at)+v.around.At(at)
	switch {
	case plain > 0:
		return settled(1 + straight/plain)
	case straight > 0:
		return math.Inf(1)
	}
	return 0
}

// seen returns the view of the lamps on grids like g.
func (o optics) seen(watch *work.Watch, g Grid, s Stack, all []lamp, r arrivals, at ground) view {
	in := arrived{g, nil}
	for _, plane := range r.planes() {
		in.light = append(in.light, shine(watch, g, all, plane, at.walls))
	}
	return o.view(watch, in, s, all, r.beams, at)
}

// arrived is the light of lamps, lx, in each of the planes of arrivals, before what is no diffuser is taken from it.
type arrived struct {
	Grid
	light []Grid
}

// view returns the view of lamps whose light has arrived, which is taken into use.
func (o optics) view(watch *work.Watch, in arrived, s Stack, all []lamp, beams []beam, at ground) (v view) {
	for _, lit := range in.light {
		for i, m := range at.face {
			lit.V[i] *= m
		}
	}
	var source Grid
	var sent plane
	next := 0
	take := func() Grid {
		next++
		return in.light[next-1]
	}
	v.straight, v.scattered = in.blank(), in.blank()
	if len(o.straight.gain) > 0 {
		source, sent = take(), o.straight
		v.straight = blurred(watch, source, s, o.softened)
	}
	if len(o.scattered.gain) > 0 {
		source, sent = take(), o.scattered
		v.scattered = blurred(watch, source, s, o.blur)
	}
	if next == 0 {
		source = take()
	}
	rb, h := s.back()
	v.around = blurred(watch, bounced(watch, source, at.inside, o.sentBack(all, beams, sent), o.again, rb, h), s, o.around).
		Resampled(in.Origin, in.Step, in.W, in.H)
	if o.disc > 0 {
		discs(v.straight, all, o.disc, at.face)
	}
	return v
}

// sentBack returns the light of the lamps that the diffuser sends back, as a share of what arrives in a plane.
func (o optics) sentBack(all []lamp, beams []beam, to plane) float64 {
	back, arrives := make([]float64, len(beams)), make([]float64, len(beams))
	for i, b := range beams {
		const n = 200
		for j := range n {
			tan := float64(farthest) * (float64(j) + 0.5) / n
			r := float64(b.z * tan)
			light := float64(b.lux(float64(r*r)) * tan)
			share, _ := plane{o.returned, o.returned}.at(tan)
			gain, _ := to.at(tan)
			back[i] += float64(light * share)
			arrives[i] += float64(light * gain)
		}
	}
	sum, of := 0.0, 0.0
	for _, l := range all {
		sum += float64(l.candela * back[l.beam])
		of += float64(l.candela * arrives[l.beam])
	}
	if of <= 0 {
		return 0
	}
	return settled(sum / of)
}

// blurred returns the luminance of light that falls on the diffuser, blurred on its way to the eye.
func blurred(watch *work.Watch, g Grid, s Stack, by curve) Grid {
	// What comes round to the other side is a hundredth of it or less.
	room := int(math.Ceil((float64(8*max(s.Diffuser, 0).MM()) + max(s.Face, 0).MM()) / g.Step.MM()))
	w, h := fast(g.W+room), fast(g.H+room)
	sp := transformed(watch, g.V, g.W, g.H, w, h)
	sp.times(g.Step.MM(), by.at)
	out := g
	out.V = sp.field(g.W, g.H)
	for i, v := range out.V {
		out.V[i] = max(v, 0)
	}
	return out
}

// discs adds to a field what shows of the LEDs themselves: each a disc of the radius emitter.
func discs(to Grid, all []lamp, each float64, face []float64) {
	step := to.Step.MM()
	for _, l := range all {
		x, y := float64(l.at.X-to.Origin.X)/float64(to.Step), float64(l.at.Y-to.Origin.Y)/float64(to.Step)
		r := emitter/step + 1
		i0, i1 := cells(x-r, x+r, 0, to.W)
		j0, j1 := cells(y-r, y+r, 0, to.H)
		for j := j0; j < j1; j++ {
			for i := i0; i < i1; i++ {
				dx, dy := (float64(i)-x)*step, (float64(j)-y)*step
				// The share of a cell beside an edge, by its distance from it.
				share := (emitter-math.Sqrt(float64(dx*dx)+float64(dy*dy)))/step + 0.5
				if share = min(max(share, 0), 1); face != nil {
					share *= face[j*to.W+i]
				}
				to.V[j*to.W+i] += float64(float64(l.candela*each) * share)
			}
		}
	}
}

// stepFor returns the grid's step: half a millimetre, less where LEDs stand close behind the diffuser or show themselves, more for
// panels above half a metre.
func stepFor(s Stack, o optics, box geom.Box) geom.Nm {
	own := gridStep
	// Spectra fall as exp(-kz); a quarter of the height leaves nothing beyond what the grid can carry.
	if z := geom.MM(s.Distance() / 4); z < own {
		own = z
	}
	if o.disc > 0 {
		own = min(own, geom.MM(emitter)/2)
	}
	return max(own, leastStep(box), geom.Millimetre/10)
}

// leastStep is the step with which a panel has gridCells values.
func leastStep(box geom.Box) geom.Nm {
	return geom.Nm(math.Ceil(math.Sqrt(float64(box.W()) * float64(box.H()) / gridCells)))
}
