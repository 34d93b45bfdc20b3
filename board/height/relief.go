package height

import (
	"fmt"

	"lampblack/board"
	"lampblack/board/fasten"
	"lampblack/board/footprint"
	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
	"lampblack/panel/seat"
)

// Relief is a hole in the sheets in front of a board for what stands out of its LED side there.
type Relief struct {
	Of, Board string
	What      string // pins, leads, wires
	High      geom.Nm
	Shape     geom.Contour
	LED       bool // it goes through the LED sheet
	Plate     bool // it goes through the plate
}

// Measures of reliefs, all common practice: room round a joint, as the spacer sheet has it; the least web of sheet that is left beside
// another hole, and beside an LED's, which holds it; webs between the holes of one part are cut away where they are narrower.
const (
	round  = 500 * geom.Micrometre
	web    = 1 * geom.Millimetre
	narrow = 1500 * geom.Micrometre
)

// arcTolerance is how far a point may lie from an arc that is recovered from it: flattening and one rounding.
const arcTolerance = 3 * geom.Micrometre

// Reliefs returns what the sheets in front of the boards are cut for, and tells of it. What stands out no farther than the sheets are
// away wants nothing. Where a hole would take from an LED's hold, from what lies under a screw's spacer or a control's nut, or would
// leave no web to the edge or to another hole, the sheets stay whole, and it is told what to do.
func (in In) Reliefs() ([]Relief, diag.List) {
	var out []Relief
	var l diag.List
	kept := in.kept()
	for _, b := range in.Boards {
		room := in.Room(b)
		// Where a sheet keeps the board off it may come out thin: holes are cut for that, as they do no harm otherwise.
		thin, beyond := in.Stack.Room(fasten.RiseOf(b, in.Stack))
		for _, q := range b.Parts {
			high := in.sticksOut(b, q)
			if q.On != geom.Bottom || high <= min(room, thin.Least) {
				continue
			}
			k := in.Kinds.of(q.Footprint)
			r := Relief{Of: q.Ref, Board: b.Name, What: Lead, High: high, Plate: in.Stack.Plate > 0, LED: high > min(room+in.Stack.Plate, beyond.Least)}
			switch {
			case k.Side.Loop > 0:
				r.What = Wire
			case k.Side.Pins > 0:
				r.What = Pin
			}
			shapes := in.standing(q, k)
			why := ""
			for _, c := range shapes {
				if why == "" {
					why = in.harm(c, kept)
				}
			}
			if why != "" {
				in.blocked(&l, b, q, r, room, why)
				continue
			}
			for _, c := range shapes {
				one := r
				one.Shape = c
				out = append(out, one)
			}
			where := "the LED sheet is"
			switch {
			case r.Plate && r.LED:
				where = "plate and LED sheet are"
			case r.Plate:
				where = "the plate is"
			}
			l.Add(diag.Note, "height-relief", "%s cut for the %s of %s, which stand %v out of the board's front, where %v are free", where, r.What, q.Ref, high, room).
				Together("the sheets in front of the boards are cut for what stands out of them, at %d parts").
				OfPart(q.Ref).Of(b.Name).About(in.keys()...).At(q.At.X.MM(), q.At.Y.MM()).
				Fix("nothing to do; a sheet that stays whole wants sheet_distance: %v, or leads cut flush with their joints", in.Stack.Plate+high)
		}
	}
	return out, l.Sorted().Capped(most)
}

// keys are those of the project that say how far boards are from the sheets.
func (in In) keys() []string {
	return []string{diag.PanelKey(in.Panel.Name, "sheet_distance"), diag.PanelKey(in.Panel.Name, "spacer_sheet"), "defaults.sheet_distance", "defaults.spacer_sheet", "stack"}
}

// blocked tells what meets a sheet that cannot be cut there.
func (in In) blocked(l *diag.List, b board.Board, q board.Part, r Relief, room geom.Nm, why string) {
	sheet := "LED sheet"
	if r.Plate {
		sheet = "plate"
	}
	l.Add(diag.Warning, "height-under-sheet", "the %s of %s stand about %v out of the board's front, and the %s is only %v away; it is not cut there, since %s", r.What, q.Ref, r.High, sheet, room, why).
		Together("what stands out of the board's front meets the sheet before it at %d parts, and cannot be let into it").
		OfPart(q.Ref).Of(b.Name).About(in.keys()...).At(q.At.X.MM(), q.At.Y.MM()).
		Fix("bring the board %v behind the LED sheet (sheet_distance), or cut leads and pins flush with the solder, or use surface-mount parts", in.Stack.Plate+r.High)
}

// standing returns the shapes of what stands out of the board's front at a part, with room round it.
func (in In) standing(q board.Part, k sides) []geom.Contour {
	var g geom.Region
	add := func(c geom.Contour) { g = g.Or(geom.NewRegion(c.Ring(geom.FlattenTolerance))) }
	var last geom.Pt
	var before geom.Nm // radius round the pad before
	for i, pad := range q.Pads {
		r := max(pad.W, pad.H)/2 + round
		if len(q.Pads) == 1 {
			return []geom.Contour{geom.Circle(pad.At, 2*r)}
		}
		add(geom.Circle(pad.At, 2*r))
		if i > 0 && pad.At.Dist(last) < float64(before+r+narrow) && (pad.At.X == last.X || pad.At.Y == last.Y) {
			add(band(last, pad.At, min(before, r)))
		}
		last, before = pad.At, r
		if k.Side.Loop > 0 && i < len(k.Holes) {
			hole := q.At.Add(geom.Vec(k.Holes[i].At).Turned(q.Turn))
			add(band(hole, pad.At, footprint.WireOver/2+round))
			add(geom.Circle(hole, footprint.WireOver+2*round))
		}
	}
	if k.Side.Loop > 0 {
		g = g.Closed(2 * narrow) // one smooth hole
	}
	var out []geom.Contour
	for _, p := range g {
		out = append(out, p.Outer.Contour(arcTolerance).CounterClockwise())
	}
	return out
}

// obstacle is what a relief must not come near.
type obstacle struct {
	why   string
	shape geom.Region
	box   geom.Box
	apart geom.Nm
}

// kept returns what the sheets before the boards hold or carry.
func (in In) kept() []obstacle {
	var out []obstacle
	add := func(why string, apart geom.Nm, c geom.Contour) {
		if len(c) > 0 {
			out = append(out, obstacle{why, geom.NewRegion(c.Ring(geom.FlattenTolerance)), c.Box(), apart})
		}
	}
	p, s := in.Panel, in.Stack
	for _, h := range p.LEDs {
		add("an LED's hole is there, which holds the LED", web, geom.Circle(h.At, h.D))
	}
	for _, m := range in.Mounts {
		d := m.D
		if k, _, ok := hardware(m.Thread); ok {
			d = max(d, k.flats)
		}
		add("a screw's spacer stands there", round, geom.Circle(m.At, d))
	}
	front := s.Face + s.Diffuser + s.Gap
	back := front + s.Sheet + s.Plate
	for _, c := range p.Controls {
		if !c.Clamps.Clamped(panel.LEDSheet) && !c.Clamps.Clamped(panel.PlateSheet) {
			continue
		}
		for _, q := range seat.Pieces(p, c) {
			// What lies on the sheets that it clamps.
			if q.What != seat.Shaft && q.What != seat.Handle && q.From <= back && q.To >= front {
				add(fmt.Sprintf("a %s is clamped there", c.Kind.Name), round, q.Shape)
			}
		}
	}
	for _, sheet := range [...]panel.Sheet{panel.LEDSheet, panel.PlateSheet} {
		if sheet == panel.PlateSheet && s.Plate == 0 {
			continue
		}
		for _, c := range p.Cuts(sheet) {
			add("too little of the sheet would be left beside an opening", web, c)
		}
	}
	return out
}

// harm tells why a sheet may not be cut so; empty where it may.
func (in In) harm(c geom.Contour, kept []obstacle) string {
	ring := c.Ring(geom.FlattenTolerance)
	g := geom.NewRegion(ring)
	edge := geom.NewRegion(in.Panel.Outline.Ring(geom.FlattenTolerance))
	if g.Grown(web).Minus(edge).Area() > 0.01 {
		return "too little of the sheet would be left to its edge"
	}
	for _, o := range kept {
		if o.box.Grown(o.apart).Touches(g.Box()) && g.Grown(o.apart).And(o.shape).Area() > 1e-4 {
			return o.why
		}
	}
	return ""
}
