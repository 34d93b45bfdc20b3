package place

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"lampblack/board"
	"lampblack/board/footprint"
	"lampblack/led"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
)

// choices returns the free places for a connector in that package, cheapest first: where it is told to stand, else all.
func (j *job) choices(c led.Connector, f footprint.Footprint) []berth {
	told, edge := j.opt.told(c.Role), wished(c.Role, j.opt)
	if told.Here {
		return j.site.here(f, told.At, edge)
	}
	return j.site.berths(f, edge, told.Edge != Auto)
}

// here returns the ways to turn the footprint at a place where it is free, cheapest first.
func (s *site) here(f footprint.Footprint, at geom.Pt, edge Edge) []berth {
	var out []berth
	for _, turn := range quarters() {
		if box := yard(f, at, turn); s.berthFits(f, at, turn, box) {
			exit, inset := s.ahead(f, at, turn)
			out = append(out, berth{f, at, turn, s.berthPrice(at, box, leaves(f, turn), edge, exit, inset), box})
		}
	}
	slices.SortStableFunc(out, cheaper)
	return out
}

// ahead returns where the line of the wires next leaves the board, and how far the connector's face stands back from there.
func (s *site) ahead(f footprint.Footprint, at geom.Pt, turn int) (exit, inset geom.Nm) {
	dir := leaves(f, turn)
	face := dot(at, dir) + front(f, turn)
	exit = face
	for _, e := range s.exits(dot(at, geom.Vec{X: -dir.Y, Y: dir.X}), dir, geom.Vec{X: -dir.Y, Y: dir.X}) {
		if e >= face {
			exit = e
			break
		}
	}
	return exit, exit - face
}

// reserve takes from LEDs, which do not stand yet, the turns whose leads would be in the way of connectors that must stand where
// they are told, for the best places there at which each LED keeps a turn.
func (j *job) reserve() {
	for _, c := range j.wiring.Connectors {
		if !j.opt.told(c.Role).Set() {
			continue
		}
		for _, f := range j.sizes(c) {
			if slices.ContainsFunc(j.choices(c, f), j.turnAway) {
				break
			}
		}
	}
}

// sizes returns the footprints that a connector may have, the wished one first.
func (j *job) sizes(c led.Connector) []footprint.Footprint {
	var out []footprint.Footprint
	told := map[string]bool{}
	for _, pair := range fallbacks(c, c) {
		if f, ok := j.shape(pair[0]); ok && !told[f.Name] {
			told[f.Name] = true
			out = append(out, f)
		}
	}
	return out
}

// turnAway takes the turns from LEDs that would be in the way of a connector there; false where one would keep none.
func (j *job) turnAway(b berth) bool {
	blocked := make([][turns]bool, len(j.lamps))
	for i := range j.lamps {
		left := false
		for t := range turns {
			pose := j.lamps[i].pose[t]
			blocked[i][t] = j.site.leadsMeet(pose, b.fp, b.at, b.turn, b.box)
			left = left || pose.legal && !blocked[i][t]
		}
		if !left {
			return false
		}
	}
	for i := range j.lamps {
		for t, is := range blocked[i] {
			p := &j.lamps[i].pose[t]
			p.legal, p.barred = p.legal && !is, p.barred || is
		}
	}
	return true
}

// leadsMeet reports whether an LED is in the way of a connector there.
func (s *site) leadsMeet(p pose, f footprint.Footprint, at geom.Pt, turn int, box geom.Box) bool {
	for _, pad := range p.part.Pads {
		if pad.Through && leadOf(pad).gap(box) < float64(leadGap) {
			return true
		}
	}
	return s.joints(f, at, turn, func(b geom.Box, gap geom.Nm) bool { return p.yard.Dist(b) <= float64(gap) })
}

// obstacle is what is in the way of a connector.
type obstacle struct {
	what   string // in words
	at     geom.Pt
	handle string
	led    bool
}

// byLEDs reports whether nothing but LEDs is in the way.
func byLEDs(way []obstacle) bool {
	return !slices.ContainsFunc(way, func(o obstacle) bool { return !o.led })
}

// obstacles returns what is in the way of a connector there.
func (j *job) obstacles(f footprint.Footprint, at geom.Pt, turn int) []obstacle {
	var out []obstacle
	box := yard(f, at, turn)
	add := func(what string, at geom.Pt, handle string) {
		out = append(out, obstacle{what: what, at: at, handle: handle})
	}
	if !j.site.inside(box, fromEdge) {
		n := len(out)
		area := geom.NewRegion(geom.Rect(box).Ring(geom.FlattenTolerance))
		for i, k := range j.site.keep {
			near := box.Grown(j.board.Rules.BodyClearance + fromEdge)
			if k.box.Touches(near) && len(area.Grown(j.board.Rules.BodyClearance+fromEdge).And(geom.NewRegion(k.ring))) > 0 {
				add(j.board.KeptOut(j.panel, i), k.box.Centre(), j.keptHandle(i))
			}
		}
		if len(out) == n {
			add("the board's end", j.site.nearestEdge(box.Centre()), "")
		}
	}
	for i := range j.lamps {
		l := &j.lamps[i]
		if l.turn >= 0 && j.site.leadsMeet(l.pose[l.turn], f, at, turn, box) {
			out = append(out, obstacle{"LED " + l.pose[l.turn].part.Ref, l.at, j.panel.LEDs[j.wiring.LEDs[i].Hole].Handle, true})
		}
	}
	for _, h := range j.site.holes {
		if h.What == board.MountHole && box.Dist(geom.BoxOf(h.At)) < float64(h.D/2+j.board.HoleClear(h)) {
			handle := ""
			for _, m := range j.panel.Mounts {
				if m.At == h.At {
					handle = m.Handle
				}
			}
			add("the head of a mount's screw", h.At, handle)
		}
	}
	for _, owner := range j.site.inTheWay(box, apartLeast) {
		if i := -1 - owner; i >= 0 && i < len(j.wiring.Connectors) {
			c := j.wiring.Connectors[i]
			add(fmt.Sprintf("%s (%s)", c.Ref, c.Role), j.site.boxes[owner].Centre(), "")
		}
	}
	return out
}

// keptHandle is the handle of the entity that keepout i comes from, where it is known.
func (j *job) keptHandle(i int) string {
	if i -= len(j.panel.Bodies); i >= 0 && i < len(j.panel.Openings) {
		return j.panel.Openings[i].Handle
	}
	return ""
}

// nearestEdge returns the point of the board's edges that is nearest.
func (s *site) nearestEdge(p geom.Pt) geom.Pt {
	best, near := p, math.Inf(1)
	s.edges.Scan(func(_, _ [2]float64, e geom.Segment) bool {
		if d := e.DistTo(p); d < near {
			best, near = e.Nearest(p), d
		}
		return true
	})
	return best
}

// refuse says what is in the way of a connector that must stand where it is told, and where it could stand.
func (j *job) refuse(i int) {
	c := j.wiring.Connectors[i]
	told := j.opt.told(c.Role)
	key := "connectors." + strings.ToLower(c.Role.String())
	where, at := "at the "+told.Edge.word()+" edge of the board", edgeMiddle(j.site.box, wished(c.Role, j.opt))
	var way []obstacle
	regardless := true
	if told.Here {
		at = told.At
		where = "at " + told.written(at)
		for _, f := range j.sizes(c) {
			for _, turn := range quarters() {
				o := j.obstacles(f, at, turn)
				if len(way) == 0 || len(o) < len(way) {
					way = o
				}
				regardless = regardless && !byLEDs(o)
			}
		}
	} else {
		at, way, regardless = j.leastInTheWay(c, told.Edge, at)
	}
	j.figures.Regardless = j.figures.Regardless || regardless
	var words []string
	for _, o := range way {
		if !slices.Contains(words, o.what) {
			words = append(words, o.what)
		}
	}
	text := fmt.Sprintf("%s (%s) has no room %s, where it is wanted", c.Ref, c.Role, where)
	if len(words) > 0 {
		verb := "stands"
		if len(words) > 1 {
			verb = "stand"
		}
		text += ": " + diag.Listed(words) + " " + verb + " in the way"
	}
	e := j.found.Add(diag.Error, "place-connector-told", "%s", text).OfPart(c.Ref).About(diag.PanelKey(j.panel.Name, key), "defaults."+key)
	mark := func(p geom.Pt, handle, format string, args ...any) {
		e.Note(diag.Place{At: &diag.Point{X: p.X.MM(), Y: p.Y.MM()}, Handle: handle}, format, args...)
	}
	mark(at, "", "it would stand here")
	for _, o := range way {
		mark(o.at, o.handle, "%s is here", o.what)
	}
	say := strings.ToLower(c.Role.String())
	if best, word, ok := j.elsewhere(c, told, at); ok {
		mark(best, "", "the nearest place that would do")
		e.Fix("write %s: %s in connectors, which is the nearest that would do; or make room where it is wanted", say, word).
			By(fmt.Sprintf("let %s stand at %s", strings.ToUpper(say), word), diag.Set, diag.PanelKey(j.panel.Name, key), placed(word))
	} else {
		e.Fix("make room for it: about 8 by 8 mm free of LEDs, mounts and bodies; or leave connectors out, and the board will tell what it lacks")
	}
}

// placed is a place of a connector as a value of the project file: an edge, or x and y.
func placed(word string) any {
	x, y, ok := strings.Cut(strings.Trim(word, "[]"), ",")
	if !ok {
		return word
	}
	return []any{strings.TrimSpace(x), strings.TrimSpace(y)}
}

// leastInTheWay returns the place along an edge where least is in the way of the connector, and what is; and whether all along the
// edge more than LEDs is.
func (j *job) leastInTheWay(c led.Connector, edge Edge, at geom.Pt) (geom.Pt, []obstacle, bool) {
	var way []obstacle
	regardless := true
	best := math.Inf(1)
	for _, f := range j.sizes(c) {
		for _, turn := range quarters() {
			if dir := leaves(f, turn); dir == edge.way() {
				j.site.scan(f, turn, func(p geom.Pt, exit, inset geom.Nm) bool {
					o := j.obstacles(f, p, turn)
					regardless = regardless && !byLEDs(o)
					price := crowd*float64(len(o)) + j.site.berthPrice(p, yard(f, p, turn), dir, edge, exit, inset)
					if len(o) > 0 && price < best {
						best, at, way = price, p, o
					}
					return false
				})
			}
		}
	}
	return at, way, regardless
}

// elsewhere returns where else the connector would have room, and what to write for it: another edge in place of one, else the
// nearest place.
func (j *job) elsewhere(c led.Connector, told Told, at geom.Pt) (geom.Pt, string, bool) {
	const step, fine = geom.Millimetre / 2, 20 * geom.Millimetre
	for _, f := range j.sizes(c) {
		if !told.Here {
			for _, b := range j.site.berths(f, told.Edge, false) {
				for _, e := range []Edge{Left, Bottom, Right, Top} {
					if e != told.Edge && e.way() == leaves(f, b.turn) && len(j.site.berths(f, e, true)) > 0 {
						return b.at, e.word(), true
					}
				}
			}
		}
		box := j.site.box
		from := told.tidy(geom.Pt{X: max(box.Min.X, min(at.X, box.Max.X)), Y: max(box.Min.Y, min(at.Y, box.Max.Y))})
		best, near := from, int64(math.MaxInt64)
		// Squares round the place: what lies on one is no nearer than half its side.
		for r := geom.Nm(0); r <= max(box.W(), box.H()) && int64(r)*int64(r) < near; r += step {
			by := step
			if r > fine {
				r, by = r+step, 2*step
			}
			ring(r, by, func(v geom.Vec) {
				p := from.Add(v)
				if v.Dot(v) < near && box.Contains(p) && len(j.site.here(f, p, wished(c.Role, j.opt))) > 0 {
					best, near = p, v.Dot(v)
				}
			})
		}
		if near < math.MaxInt64 {
			return best, told.written(best), true
		}
	}
	return at, "", false
}

// ring calls f with the points of a grid on the square of half side r round the origin.
func ring(r, step geom.Nm, f func(geom.Vec)) {
	if r == 0 {
		f(geom.Vec{})
		return
	}
	for t := -r; t < r; t += step {
		for _, v := range []geom.Vec{{X: t, Y: -r}, {X: r, Y: t}, {X: -t, Y: r}, {X: -r, Y: -t}} {
			f(v)
		}
	}
}

// tidy returns the place moved by less than a tenth so that it is written with a tenth of a millimetre.
func (t Told) tidy(p geom.Pt) geom.Pt {
	tenth := func(v geom.Nm, from float64) geom.Nm { return geom.MM(math.Round((v.MM()+from)*10)/10 - from) }
	return geom.Pt{X: tenth(p.X, t.From.X), Y: tenth(p.Y, t.From.Y)}
}

// written writes a place as the project file has it, in the drawing's frame.
func (t Told) written(p geom.Pt) string {
	mm := func(v float64) string { return strconv.FormatFloat(math.Round(v*100)/100+0, 'f', -1, 64) }
	return "[" + mm(p.X.MM()+t.From.X) + ", " + mm(p.Y.MM()+t.From.Y) + "]"
}
