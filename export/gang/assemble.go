package gang

import (
	"cmp"
	"math"
	"slices"

	"lampblack/export"
	"lampblack/panel/geom"
	"lampblack/panel/work"
)

// Measures of the frame (common practice): tooling holes of 3 mm in the corners; fiducials of 1 mm copper in 2 mm of open
// mask, three on each side, so that a machine sees which way round the array lies.
const (
	toolingD  = 3 * geom.Millimetre
	fiducialD = geom.Millimetre
	openD     = 2 * geom.Millimetre
	aside     = 8 * geom.Millimetre // from tooling hole to fiducial
)

// builder collects one layer of the array.
type builder struct {
	export.Layer
}

func (b *builder) aperture(a export.Aperture) int {
	i := slices.IndexFunc(b.Apertures, func(o export.Aperture) bool {
		return o.Shape == a.Shape && o.W == a.W && o.H == a.H && o.Function == a.Function &&
			slices.EqualFunc(o.Contours, a.Contours, func(c, d geom.Contour) bool { return slices.Equal(c, d) })
	})
	if i < 0 {
		i = len(b.Apertures)
		b.Apertures = append(b.Apertures, a)
	}
	return i
}

func circle(d geom.Nm, function string) export.Aperture {
	return export.Aperture{Shape: export.Circle, W: d, H: d, Function: function}
}

// assemble makes the array's artwork from the boards and the slots.
func (p *Plan) assemble(w *work.Watch, slots []geom.Contour) {
	layers := map[export.Function]*builder{}
	at := func(f export.Function) *builder {
		if layers[f] == nil {
			layers[f] = &builder{Layer: export.Layer{Function: f, Negative: f == export.SoldermaskTop || f == export.SoldermaskBottom}}
		}
		return layers[f]
	}
	for i, b := range p.Boards {
		for _, l := range p.pieces[b.Piece].Art.Layers {
			w.Look()
			if l.Function != export.Profile {
				at(l.Function).add(p.printed(l, i), i, b.Pose)
			}
		}
	}
	p.frame(at)
	edge := at(export.Profile)
	edge.contour(geom.Rect(p.Art.Size))
	for _, c := range slots {
		edge.contour(c)
	}
	for i, b := range p.Boards {
		for _, c := range p.pieces[b.Piece].Art.Edges() {
			if moved := b.contour(c).CounterClockwise(); !slices.Equal(moved, p.Outline(i).CounterClockwise()) {
				edge.contour(moved)
			}
		}
	}
	if len(p.score) > 0 {
		v := at(export.Vcut)
		for _, s := range p.score {
			v.Objects = append(v.Objects, export.Object{Op: export.Draw, Aperture: v.aperture(circle(export.ProfileWidth, "Material")), From: s.A, To: s.B})
		}
	}
	functions := make([]export.Function, 0, len(layers))
	for f := range layers {
		functions = append(functions, f)
	}
	slices.Sort(functions)
	a := export.Artwork{Name: p.opt.Name, Size: p.Art.Size, Laminate: p.pieces[0].Art.Laminate, Array: true}
	for _, f := range functions {
		a.Layers = append(a.Layers, layers[f].grouped())
	}
	a.Drills = p.drills()
	p.Art = a
}

// add paints a board's layer.
func (b *builder) add(l export.Layer, board int, pose Pose) {
	number := Number(board)
	apertures := make([]int, len(l.Apertures))
	for i, a := range l.Apertures {
		apertures[i] = b.aperture(pose.aperture(a))
	}
	parts := map[*export.Component]*export.Component{}
	for _, o := range l.Objects {
		o = pose.object(o)
		if o.Op != export.Region {
			o.Aperture = apertures[o.Aperture]
		}
		if o.Net != "" && o.Net != export.NotConnected {
			o.Net = number + "." + o.Net
		}
		if o.Ref != "" {
			o.Ref = number + o.Ref
		}
		if o.Part != nil {
			if parts[o.Part] == nil {
				c := *o.Part
				c.Rotation = turned(c.Rotation, pose.Turn)
				parts[o.Part] = &c
			}
			o.Part = parts[o.Part]
		}
		b.Objects = append(b.Objects, o)
	}
}

// turned adds quarter turns to an angle in degrees.
func turned(degrees float64, quarters int) float64 {
	const full = 4 * geom.QuarterDegrees
	degrees += float64(geom.QuarterDegrees * quarters)
	for degrees >= full {
		degrees -= full
	}
	return degrees
}

func (b *builder) contour(c geom.Contour) {
	i := b.aperture(circle(export.ProfileWidth, "Profile"))
	for _, e := range c.Edges() {
		for _, e := range halved(e) {
			if e.From != e.To {
				b.Objects = append(b.Objects, export.Object{Op: export.Draw, Aperture: i, From: e.From, To: e.To, Bulge: e.Bulge})
			}
		}
	}
}

// halved splits an arc of more than half a circle in its middle, as the ends of slots are by a hair: a file holds no such
// arc, and so what is written is object for object what was planned.
func halved(e geom.Arc) []geom.Arc {
	if math.Abs(e.Bulge) <= 1 {
		return []geom.Arc{e}
	}
	// The middle lies half a chord times the bulge to the right of the chord's middle; tan(θ/8) follows from tan(θ/4).
	dx, dy := float64(e.To.X-e.From.X), float64(e.To.Y-e.From.Y)
	mid := geom.Pt{
		X: e.From.X + geom.Nm(math.Round((dx+float64(e.Bulge*dy))/2)),
		Y: e.From.Y + geom.Nm(math.Round((dy-float64(e.Bulge*dx))/2)),
	}
	half := e.Bulge / (1 + math.Sqrt(1+float64(e.Bulge*e.Bulge)))
	return []geom.Arc{{From: e.From, To: mid, Bulge: half}, {From: mid, To: e.To, Bulge: half}}
}

func (b *builder) flash(a export.Aperture, at geom.Pt) {
	b.Objects = append(b.Objects, export.Object{Op: export.Flash, Aperture: b.aperture(a), To: at})
}

// grouped returns the layer with its apertures sorted by function, so that each is named once.
func (b *builder) grouped() export.Layer {
	order := make([]int, len(b.Apertures))
	for i := range order {
		order[i] = i
	}
	rank := map[string]int{}
	for _, a := range b.Apertures {
		if _, ok := rank[a.Function]; !ok {
			rank[a.Function] = len(rank)
		}
	}
	slices.SortStableFunc(order, func(i, j int) int {
		return cmp.Compare(rank[b.Apertures[i].Function], rank[b.Apertures[j].Function])
	})
	l := b.Layer
	if l.Function.Copper() {
		// Areas of all boards first, then their tracks, then their pads: as on a single board, nothing is cleared once
		// tracks are painted.
		rank := [...]int{export.Region: 0, export.Draw: 1, export.Flash: 2}
		slices.SortStableFunc(l.Objects, func(a, b export.Object) int { return cmp.Compare(rank[a.Op], rank[b.Op]) })
	}
	l.Apertures = make([]export.Aperture, len(order))
	to := make([]int, len(order))
	for i, from := range order {
		l.Apertures[i], to[from] = b.Apertures[from], i
	}
	for i := range l.Objects {
		if l.Objects[i].Op != export.Region {
			l.Objects[i].Aperture = to[l.Objects[i].Aperture]
		}
	}
	return l
}

// corners returns the tooling holes.
func (p *Plan) corners() []geom.Pt {
	r, s := p.opt.Rail/2, p.Art.Size.Max
	return []geom.Pt{{X: r, Y: r}, {X: s.X - r, Y: r}, {X: r, Y: s.Y - r}, {X: s.X - r, Y: s.Y - r}}
}

// frame paints what the frame carries.
func (p *Plan) frame(at func(export.Function) *builder) {
	r, s := p.opt.Rail/2, p.Art.Size.Max
	for _, side := range geom.BothSides() {
		for _, q := range []geom.Pt{{X: r + aside, Y: r}, {X: s.X - r - aside, Y: r}, {X: r + aside, Y: s.Y - r}} {
			at(export.CopperTop+export.Function(side)).flash(circle(fiducialD, "FiducialPad,Panel"), q)
			at(export.SoldermaskTop+export.Function(side)).flash(circle(openD, "Material"), q)
		}
		for _, q := range p.corners() {
			at(export.SoldermaskTop+export.Function(side)).flash(circle(toolingD+2*p.opt.Mask, "Material"), q)
		}
	}
}

// drills gathers the holes of all boards, the tooling holes and the perforation.
func (p *Plan) drills() []export.Drill {
	var out []export.Drill
	for _, plated := range [2]bool{true, false} {
		d := export.Drill{Plated: plated}
		type hole struct {
			tool export.Tool
			at   geom.Pt
			path geom.Polyline
		}
		var all []hole
		for _, b := range p.Boards {
			for _, from := range p.pieces[b.Piece].Art.Drills {
				if from.Plated != plated {
					continue
				}
				for _, h := range from.Hits {
					all = append(all, hole{tool: from.Tools[h.Tool], at: b.pt(h.At)})
				}
				for _, s := range from.Slots {
					all = append(all, hole{tool: from.Tools[s.Tool], path: b.line(s.Path)})
				}
			}
		}
		if !plated {
			for _, q := range p.corners() {
				all = append(all, hole{tool: export.Tool{D: toolingD, Function: "MechanicalDrill,Tooling"}, at: q})
			}
			for _, t := range p.Tabs {
				for _, q := range t.perforation() {
					all = append(all, hole{tool: breakout(), at: q})
				}
			}
		}
		for _, h := range all {
			if !slices.Contains(d.Tools, h.tool) {
				d.Tools = append(d.Tools, h.tool)
			}
		}
		slices.SortFunc(d.Tools, func(a, b export.Tool) int {
			return cmp.Or(cmp.Compare(a.D, b.D), cmp.Compare(a.Function, b.Function))
		})
		for _, h := range all {
			t := slices.Index(d.Tools, h.tool)
			if len(h.path) > 0 {
				d.Slots = append(d.Slots, export.Slot{Tool: t, Path: h.path})
			} else {
				d.Hits = append(d.Hits, export.Hit{Tool: t, At: h.at})
			}
		}
		if len(all) > 0 {
			out = append(out, d)
		}
	}
	return out
}
