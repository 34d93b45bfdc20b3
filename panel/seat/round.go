package seat

import (
	"fmt"
	"math"
	"strings"

	"lampblack/panel"
	"lampblack/panel/control"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
)

// lamps tells LEDs in the LED sheet's cut-outs and under nuts.
func (j *judging) lamps(c panel.Control, pieces []Piece) {
	front, back := j.s.Span(panel.LEDSheet)
	for _, h := range j.p.LEDs {
		why := ""
		for _, q := range c.Cuts[panel.LEDSheet] {
			if near(q, h.At, h.D/2+roomRound) {
				why = "the LED sheet is cut there for it"
			}
		}
		for _, q := range pieces {
			if !onSheet(q, c.Kind, front, back) || why != "" {
				continue
			}
			switch {
			case near(q.Shape, h.At, h.D/2):
				why = fmt.Sprintf("its %s sits on it", q.What)
			case q.What == Nut && j.tips < 0 && near(geom.Circle(c.At, c.Kind.Spanner()), h.At, h.D/2):
				why = "a spanner for its nut meets it"
			}
		}
		if why != "" {
			j.add(diag.Warning, "control-at-led", c, "an LED is in its way: %s", why).Together("LEDs are in the way of %d controls").At(h.At.X.MM(), h.At.Y.MM()).
				Fix("move the LED or the control; or let it clamp another sheet (clamps)")
		}
	}
}

// Covered returns what controls cover of the LED sheet, where no LED may be: its cut-outs, and the nuts and washers on it.
func Covered(p panel.Panel, s Stack) []geom.Contour {
	front, back := s.Span(panel.LEDSheet)
	var all []geom.Contour
	for _, c := range p.Controls {
		all = append(all, c.Cuts[panel.LEDSheet]...)
		for _, q := range Pieces(p, c) {
			if onSheet(q, c.Kind, front, back) {
				all = append(all, q.Shape)
			}
		}
	}
	return all
}

// onSheet reports whether a piece is a nut or a washer on a sheet between two depths, or a nut with its washer below it.
func onSheet(q Piece, k control.Kind, front, back geom.Nm) bool {
	below := k.WasherThick + k.LockWasher
	return (q.What == Nut || q.What == Washer || q.What == LockWasher) && q.From <= back+below && q.To >= front-below
}

// near reports whether a point is in a shape or nearer to it than d.
func near(c geom.Contour, at geom.Pt, d geom.Nm) bool {
	if !c.Box().Grown(d).Contains(at) {
		return false
	}
	r := c.Ring(geom.FlattenTolerance)
	return r.Locate(at) != geom.Outside || r.DistTo(at) < float64(d)
}

// sweep is the height of a spanner on a nut.
const sweep = 5 * geom.Millimetre

// turned returns the ring that a spanner needs round the control's nut, and its depths; false where no nut holds it.
func turned(c panel.Control, pieces []Piece) (ring Piece, ok bool) {
	for _, q := range pieces {
		if q.What != Nut {
			continue
		}
		ring = Piece{What: Nut, Shape: geom.Circle(c.At, c.Kind.Spanner()), From: q.From, To: q.To}
		if held(c) {
			ring.From -= sweep
		} else {
			ring.To += sweep
		}
		return ring, true
	}
	return ring, false
}

// head is how much wider than its hole a pan head or a spacer is: 5.6 on 3.2 (ISO 7045, ISO 273), and as much for the sizes beside.
const head = 1.75

// screws tells mounts in the way of a spanner: their heads in front of the face, their spacers in the gap.
func (j *judging) screws(c panel.Control, pieces []Piece) {
	ring, ok := turned(c, pieces)
	if !ok {
		return
	}
	gap, led := j.s.Face+j.s.Diffuser, j.s.Face+j.s.Diffuser+j.s.Gap
	for _, h := range j.p.Mounts {
		what := ""
		switch wide := geom.Nm(head * float64(h.D) / 2); {
		case ring.From < 0 && near(ring.Shape, h.At, wide):
			what = "the screw's head"
		case ring.From < led && ring.To > gap && near(ring.Shape, h.At, wide):
			what = "the spacer round the screw"
		}
		if what != "" {
			j.add(diag.Warning, "control-nut-at-screw", c, "%s of a mount is in the way of a spanner for its nut, %v round", what, c.Kind.Spanner()).
				Together("mounts are in the way of spanners for the nuts of %d controls").Fix("move the mount or the control by a few millimetres, or tighten one before the other")
		}
	}
}

// windows tells windows of the face that are covered in front: by what lies flat on it, or by more than half by a knob.
func (j *judging) windows(c panel.Control, pieces []Piece) {
	for _, i := range j.p.Windows() {
		w := j.p.Symbols[i]
		area := w.Area()
		var over Piece
		most := 0.0
		for _, q := range pieces {
			if q.From >= 0 || !q.Shape.Box().Touches(area.Box()) {
				continue
			}
			covered := area.And(geom.NewRegion(q.Shape.Ring(geom.FlattenTolerance))).Area() / max(area.Area(), 1e-6)
			switch {
			case (q.What == Nut || q.What == Washer || q.What == Flange) && covered > 0.01:
			case (q.What == Handle || q.What == Shaft) && covered > 0.5:
			default:
				continue
			}
			if covered > most {
				over, most = q, covered
			}
		}
		if most == 0 {
			continue
		}
		size := ""
		if _, d, round := over.Shape.Circular(); round {
			size = fmt.Sprintf(", %v across,", d)
		}
		j.add(diag.Warning, "control-over-window", c, "its %s%s covers %.0f %% of %s", over.What, size, max(100*most, 1), w.Said()).
			Together("%d windows are covered by controls").Fix("draw the window wider, or move it out from under the %s; control_kinds tells the part's real sizes", over.What)
	}
}

// spanner tells neighbours in the way of a control's spanner. Knobs come off.
func (j *judging) spanner(c, other panel.Control, pieces, others []Piece) {
	ring, ok := turned(c, pieces)
	if !ok {
		return
	}
	for _, q := range others {
		if q.What == Shaft || q.What == Handle || !q.meets(ring) {
			continue
		}
		j.add(diag.Warning, "control-nut-at-control", c, "the %s of %s is in the way of a spanner for its nut, %v round", q.What, other.Kind.Name, c.Kind.Spanner()).
			Together("neighbours are in the way of spanners for the nuts of %d controls").Fix("put them farther apart, or tighten one before the other goes in")
		return
	}
}

// collide tells the first parts of two controls that want the same place, so that not both go in: nuts and washers, knobs, a nut and
// its neighbour's body. Bodies among each other are meet's.
func (j *judging) collide(c, d panel.Control, pieces, others []Piece) bool {
	for _, q := range pieces {
		for _, r := range others {
			behind := q.What.behind() || r.What.behind()
			if q.What.behind() && r.What.behind() || behind && c.Body == d.Body && c.Body >= 0 || !q.meets(r) {
				continue
			}
			j.add(diag.Warning, "control-parts-meet", c, "its %s runs into what %s has there, the %s: not both go in", said(c, q), d.Kind.Name, strings.TrimSuffix(said(d, r), ",")).
				Together("parts of %d pairs of controls want the same place").
				Fix("put them farther apart, or take smaller ones; control_kinds tells their real sizes")
			return true
		}
	}
	return false
}

// said names a control's part, and its size where it is round.
func said(c panel.Control, q Piece) string {
	name := q.What.String()
	if q.What == Handle && (c.Kind.Use == control.Knob || c.Kind.Use == control.Selector) {
		name = "knob"
	}
	_, d, round := q.Shape.Circular()
	switch {
	case q.What == Nut:
		return fmt.Sprintf("nut, %v across corners,", d)
	case round:
		return fmt.Sprintf("%s of %v", name, d)
	}
	return name
}

// behind reports whether a part is behind what its control clamps.
func (w What) behind() bool { return w == Body || w == Terminals }

// meets reports whether two parts overlap.
func (q Piece) meets(r Piece) bool {
	return q.From < r.To && r.From < q.To && overlap(q.Shape, r.Shape)
}

func overlap(a, b geom.Contour) bool {
	if !a.Box().Touches(b.Box()) {
		return false
	}
	return geom.NewRegion(a.Ring(geom.FlattenTolerance)).And(geom.NewRegion(b.Ring(geom.FlattenTolerance))).Area() > 0.01
}

// meet tells bodies that run into each other.
func (j *judging) meet(c, d panel.Control) {
	if c.Body < 0 || d.Body < 0 || c.Body == d.Body || !overlap(j.p.Bodies[c.Body], j.p.Bodies[d.Body]) {
		return
	}
	if c.Brought || d.Brought { // two drawn ones are the drawing's matter
		j.add(diag.Warning, "control-bodies-meet", c, "its body runs into that of %s behind the panel", d.Kind.Name).
			Fix("put them farther apart, turn one, or measure them: the kinds' sizes are typical ones")
	}
}

// least returns the least distance between what fingers hold of two controls: MIL-STD-1472E, toggle to push-button 13 mm, toggle to
// knob 19 mm, knob to selector 25 mm. 0: that standard's pair is another.
func least(a, b control.Use) geom.Nm {
	if a > b {
		a, b = b, a
	}
	switch [2]control.Use{a, b} {
	case [2]control.Use{control.Toggle, control.Pushbutton}:
		return 13 * geom.Millimetre
	case [2]control.Use{control.Toggle, control.Knob}:
		return 19 * geom.Millimetre
	case [2]control.Use{control.Knob, control.Selector}:
		return 25 * geom.Millimetre
	}
	return 0
}

// fingers tells controls that stand too near to each other.
func (j *judging) fingers(c, d panel.Control) {
	want := least(c.Kind.Use, d.Kind.Use)
	if want == 0 {
		return
	}
	if is := geom.Nm(c.At.Dist(d.At)) - (c.Kind.Handle+d.Kind.Handle)/2; is < want {
		f := j.add(diag.Warning, "control-fingers", c, "between its %s of %v and the %s of %s, %v, are %.1f mm; fingers want %v (MIL-STD-1472E)",
			c.Kind.Use, c.Kind.Handle, d.Kind.Use, d.Kind.Name, d.Kind.Handle, is.MM(), want)
		f.Together("%d pairs of controls stand nearer to each other than fingers want (MIL-STD-1472E)").
			Fix("put them %.1f mm farther apart, or take a smaller knob and tell it as a kind (control_kinds: handle)", math.Ceil((want-is).MM()*10)/10)
	}
}

// held reports whether a nut in front holds the control.
func held(c panel.Control) bool { return c.Kind.Held == control.NutInFront }
