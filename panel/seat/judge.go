package seat

import (
	"fmt"
	"math"

	"lampblack/panel"
	"lampblack/panel/control"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
)

// judging is the judging of a panel's controls.
type judging struct {
	p    panel.Panel
	s    Stack
	tips geom.Nm // of the LEDs below the LED sheet's front; negative: they stand out
	l    diag.List
}

// Judge tells what does not go together of the panel's controls and what is round them: threads, holes, nuts and spanners, LEDs,
// screws, neighbours, fingers. Positions are in the panel frame.
func Judge(p panel.Panel, s Stack, tips geom.Nm) diag.List {
	j := judging{p: p, s: s, tips: tips}
	parts := make([][]Piece, len(p.Controls))
	for i, c := range p.Controls {
		parts[i] = Pieces(p, c)
		j.opening(c)
		j.thread(c)
		j.through(c, parts[i])
		j.body(c)
		j.lamps(c, parts[i])
		j.screws(c, parts[i])
		j.windows(c, parts[i])
		for k, d := range p.Controls[:i] {
			if !j.collide(d, c, parts[k], parts[i]) {
				j.spanner(d, c, parts[k], parts[i])
				j.spanner(c, d, parts[i], parts[k])
			}
			j.meet(d, c)
			j.fingers(d, c)
		}
	}
	return j.l.WithPanel(p.Name)
}

// add tells something of a control.
func (j *judging) add(severity diag.Severity, code string, c panel.Control, format string, args ...any) *diag.Finding {
	return j.l.Add(severity, code, "%s: %s", c.Kind.Name, fmt.Sprintf(format, args...)).
		About(diag.PanelKey(j.p.Name, "controls"), "defaults.controls").At(c.At.X.MM(), c.At.Y.MM())
}

// opening compares the opening as drawn with what comes through the face.
func (j *judging) opening(c panel.Control) {
	o, k := j.p.Openings[c.Opening].Contour, c.Kind
	hole := bushHole(c)
	if len(hole) == 0 || !c.Clamps.Clamped(panel.FaceSheet) && k.Held != control.Screws {
		return
	}
	least := hole
	if k.Held.Bushed() {
		least = bore(c, k.Bush)
	}
	box := o.Box()
	size := fmt.Sprintf("%.4g x %.4g mm", box.W().MM(), box.H().MM())
	if _, d, ok := o.Circular(); ok {
		size = d.String()
	}
	drawn := geom.NewRegion(o.Ring(geom.FlattenTolerance))
	switch {
	case !within([]geom.Contour{least}, drawn):
		what := fmt.Sprintf("its bush of %v", k.Bush)
		if !k.Held.Bushed() {
			what = fmt.Sprintf("it wants %v and", k.Hole)
		}
		j.add(diag.Error, "control-opening-small", c, "%s does not pass the opening as drawn, %s", what, size).
			Fix("draw the opening as %v, or say what else sits there", k.Hole).SparesBoards()
	case k.Held != control.Screws && !covers(c, o):
		j.add(diag.Warning, "control-opening-large", c, "what holds it is hardly wider than the opening as drawn, %s, and may fall through", size).
			Fix("draw the opening as %v, or put a larger washer under it", k.Hole)
	case k.Held.Bushed() && !within([]geom.Contour{bore(c, k.Hole.W-hardly)}, drawn):
		j.add(diag.Warning, "control-opening-tight", c, "its bush of %v hardly passes the opening as drawn, %s: it wants %v, since lasers cut to a tenth of a millimetre", k.Bush, size, k.Hole).
			Together("the bushes of %d controls hardly pass the openings as drawn: lasers cut to a tenth of a millimetre").Fix("draw the opening as %v, or say what else sits there", k.Hole)
	case k.Held != control.Screws && !does(o, drawn, hole) && !does(o, drawn, geom.Circle(c.At, k.Hole.W)):
		j.add(diag.Warning, "control-opening-large", c, "the opening as drawn, %s, is wider than it wants, %v: it will not sit in the middle by itself", size, k.Hole).
			Together("%d openings as drawn are wider than what sits there wants").Fix("draw the opening as %v, or say what else sits there", k.Hole)
	case k.Flat > 0 && c.Clamps == panel.ClampsFace && within([]geom.Contour{geom.Circle(c.At, k.Bush)}, drawn):
		j.add(diag.Warning, "control-turns", c, "its bush is flat on one side against turning, and the opening as drawn, %s, is not: nothing keeps it from turning", size).
			Together("%d bushes that are flat against turning sit in openings that are not").
			Fix("draw the opening flat on one side, %v from there across; or let it clamp the diffuser too (clamps: diffuser), which is cut so", k.Flat+k.Hole.W-k.Bush)
	}
}

// covers reports whether washer, nut or flange lie on at least a millimetre of sheet all round the opening.
func covers(c panel.Control, o geom.Contour) bool {
	k := c.Kind
	d := max(k.Nut, k.Washer)
	if k.Held == control.NutBehind || k.Held == control.Clips {
		d = k.Flange
	}
	b := o.Box()
	return d == 0 || d >= max(b.W(), b.H())+geom.Millimetre || !o.Box().Contains(c.At)
}

// thread tells threads that end before the nut does, and sheets that clips or a data sheet do not allow.
func (j *judging) thread(c panel.Control) {
	k, t := c.Kind, c.To-c.From
	if k.Held.Bushed() && c.Left < 0 {
		what := fmt.Sprintf("%v of its nut stay without thread", -c.Left)
		if -c.Left >= k.NutThick {
			what = "its nut does not reach the thread at all"
		}
		j.add(diag.Warning, "control-thread-short", c, "its thread of %v is too short: what it clamps takes %v (%s), nut and washers %v; %s", k.Thread, t, c.Clamps, k.OnThread(), what).
			About(diag.PanelKey(j.p.Name, "controls"), "defaults.controls", "stack").
			Fix("%s", j.shorter(c))
	}
	held := j.s.held(c.Clamps)
	// A nut that is on half of its thread holds.
	if lack := held.Thick() - c.Left; k.Held.Bushed() && c.Left >= 0 && 2*lack > k.NutThick {
		j.add(diag.Note, "control-thread-range", c, "its thread of %v does for what it clamps as that is called, %v (%s); where the sheets come out thick, %.3g mm, %.2g mm of its nut stay without thread", k.Thread, t, c.Clamps, held.Most.MM(), lack.MM()).
			Together("the threads of %d controls do for the sheets as they are called, and are too short where the sheets come out thick").
			About("stack.measured", "stack", diag.PanelKey(j.p.Name, "controls"), "defaults.controls").
			Fix("measure the sheets, and write stack: {measured: {face: 2.9 mm, diffuser: 2.9 mm}}; if they are thick, leave a washer out or let it clamp less (clamps)")
	}
	switch {
	case k.MostSheet > 0 && t > k.MostSheet:
		j.add(diag.Warning, "control-sheet-thick", c, "it holds on sheets of at most %v, and what it clamps is %v thick (%s)", k.MostSheet, t, c.Clamps).
			Fix("clamp a thinner sheet (clamps, stack), or cut a pocket round it")
	case k.LeastSheet > 0 && t < k.LeastSheet && c.Clamps != panel.ClampsNothing:
		j.add(diag.Warning, "control-sheet-thin", c, "it holds on sheets of at least %v, and what it clamps is %v thick (%s)", k.LeastSheet, t, c.Clamps).
			Fix("put a washer or a second sheet behind")
	}
}

// shorter tells how a thread gets long enough.
func (j *judging) shorter(c panel.Control) string {
	most := c.Kind.Thread - c.Kind.OnThread()
	for _, way := range []struct {
		clamp panel.Clamp
		word  string
	}{{panel.ClampsDiffuser, "diffuser"}, {panel.ClampsFace, "face"}, {panel.ClampsLEDSheet, "led-sheet"}} {
		from, to := clamped(way.clamp, j.s)
		if way.clamp != c.Clamps && to-from <= most && (held(c) || way.clamp != panel.ClampsLEDSheet) {
			return fmt.Sprintf("let it clamp less (clamps: %s), which its thread is long enough for; or take one with a longer bush", way.word)
		}
	}
	if most <= 0 {
		return "take one with a longer bush, or leave a washer out; control_kinds tells its real sizes"
	}
	return fmt.Sprintf("let it clamp no more than %v, as a plate of its own (stack: {plate: ...}), or take one with a longer bush", most)
}

// swing is how far a toggle's lever leans either way: 13 degrees (common practice).
const swing = 13 * math.Pi / 180

// through tells what does not come through the sheets in front of what is clamped, and handles that stay within them.
func (j *judging) through(c panel.Control, pieces []Piece) {
	j.shaft(c, pieces)
	if c.Kind.Held == control.Screws || c.From == 0 {
		return
	}
	drawn := geom.NewRegion(j.p.Openings[c.Opening].Ring(geom.FlattenTolerance))
	var pivot geom.Nm
	for _, q := range pieces {
		if q.What == Bush {
			pivot = (q.From + q.To) / 2
		}
	}
	for _, q := range pieces {
		if q.What == Handle && c.Kind.Use != control.Toggle || q.From >= j.s.Face || q.What == Body || q.What == Terminals {
			continue
		}
		shape := q.Shape
		if (q.What == Shaft || q.What == Handle) && c.Kind.Use == control.Toggle {
			lean := float64(pivot) * math.Tan(swing)
			shape = geom.Circle(c.At, c.Kind.Shaft+2*geom.Nm(lean))
		}
		if q.What == Handle {
			shape = q.Shape
		}
		if !within([]geom.Contour{shape}, drawn) {
			j.add(diag.Warning, "control-not-through", c, "it is clamped %v behind the front (%s), and its %s, %.3g mm with its way, does not pass the opening as drawn", c.From, c.Clamps, q.What, shape.Box().W().MM()).
				Fix("draw the opening wider, or clamp it on a sheet farther in front (clamps)")
			return
		}
	}
	if _, d, ok := j.p.Openings[c.Opening].Circular(); ok && held(c) && c.Kind.Corners() > d {
		j.add(diag.Note, "control-nut-inside", c, "its nut, %v across corners, does not pass the opening as drawn, %v: it comes on before the face and goes off after it", c.Kind.Corners(), d).
			Together("the nuts of %d controls do not pass the openings as drawn: they come on before the face and go off after it").
			Fix("nothing to do if that is meant; an opening of %v lets a spanner reach the nut", c.Kind.Spanner()+2*roomRound)
	}
}

// shaft tells shafts and levers that stay within the sheets.
func (j *judging) shaft(c panel.Control, pieces []Piece) {
	if c.From == 0 {
		return // then the kind itself has a shaft that is too short for anything
	}
	for _, q := range pieces {
		if q.What == Shaft && -q.From < out {
			where := c.Clamps.String()
			if where == "" {
				where = "behind the sheets"
			}
			j.add(diag.Warning, "control-shaft-short", c, "held %v behind the front (%s), its shaft of %v stands out %.3g mm: fingers or a knob want %v", c.From, where, c.Kind.ShaftLength, (-q.From).MM(), out).
				Fix("take one with a longer shaft, or hold it on a sheet farther in front (clamps)")
		}
	}
}

// body tells bodies that are drawn smaller than the kind's.
func (j *judging) body(c panel.Control) {
	if c.Brought || c.Body < 0 || c.Kind.Beyond > 0 { // which is a guess
		return
	}
	kinds := own(j.p.Openings[c.Opening].Contour, c)
	if len(kinds) == 0 {
		return
	}
	d := j.p.Bodies[c.Body].Box()
	b := kinds.Box()
	// A millimetre is how far parts of one sort differ.
	if b.W() > d.W()+geom.Millimetre || b.H() > d.H()+geom.Millimetre {
		j.add(diag.Warning, "control-body-small", c, "its body is %.4g x %.4g mm, and the body drawn there %.4g x %.4g mm", b.W().MM(), b.H().MM(), d.W().MM(), d.H().MM()).
			Fix("measure the part; draw its body as it is, or tell the kind's (control_kinds)")
	}
}
