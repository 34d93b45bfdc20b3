// Package stray finds light that comes to the eyes by other ways than the lettering: LEDs that are seen through what is cut into the
// sheets, and the diffuser's cut edges that glow (edges.go).
//
// In go a panel.Panel with its LEDs in their places, the Stack of its sheets and the Eyes, a box of places in front of it; out come
// Sights: which LED is seen directly, through what, from where, and how far it must be moved (of a frame nothing is known there). Positions are in the panel frame;
// depths are from the face's front backward, as in panel/seat, so that eyes have a depth below zero.
//
// Model. An LED is a disc as wide as its hole, at the depth of its tip. Light goes straight. The sheets are opaque but for what is cut
// into them: paint stops light, and so do opal and the matt walls of a cut, which glow instead. A control stops light with each of its
// parts; bodies that begin before the LED sheet, and a frame, stop it as walls from diffuser to LED sheet. An opening without a known control is
// open as a whole. A screw's head closes its hole. What the eye sees of the plane of the tips through an opening is each sheet's hole,
// front and back, thrown onto that plane from the eye, less the shadows of what stands in between: plane geometry, with curves
// flattened to within tolerance. The eyes are taken at places so near each other that their lines meet the tips' plane less than
// spread apart.
//
// Left out: a hole that is no convex shape and whose walls hide something between its front and its back; other LEDs as obstacles;
// light that comes by way of a matt or shining surface, but for the diffuser's edge.
package stray

import (
	"math"
	"slices"
	"sort"

	"lampblack/panel"
	"lampblack/panel/geom"
	"lampblack/panel/seat"
	"lampblack/panel/work"
)

// Stack is the sheets, and the LEDs in the last of them.
type Stack struct {
	seat.Stack
	Tips   geom.Nm // of the LEDs below the LED sheet's front; negative: they stand out
	Opaque bool    // nothing is seen through the LED sheet itself
}

// tips is the depth of the LEDs' tips.
func (s Stack) tips() geom.Nm {
	led, _ := s.Span(panel.LEDSheet)
	return led + s.Tips
}

// Kind is what a gap is.
type Kind uint8

const (
	Opening Kind = iota // a hole of the panel for something that the project does not name
	Seated              // one with a control of the project
	Slot                // for a screw, whose head does not cover all of it
	Mount               // a round one, without a screw that fits
	Rim                 // the panel's edge, past which the eye looks between the sheets
)

// String returns what people call the gap.
func (k Kind) String() string { return [...]string{"opening", "control", "slot", "mount", "rim"}[k] }

// Gap is a way by which light may come to the eyes.
type Gap struct {
	Kind Kind
	Of   int     // index into the panel's openings or mounts
	At   geom.Pt // of its middle; of the rim, where it is nearest
}

// Sight is an LED that is seen through a gap.
type Sight struct {
	LED   int // index into Panel.LEDs
	Gap   Gap
	Share float64 // of its tip's disc that is seen, at most
	Eye   Eye     // from where that is
	From  float64 // share of the places of the eyes from which something of it is seen
	Move  geom.Nm // away from the gap, so that it is hidden from all of them; 0: no way up to farthest
}

const (
	tolerance = 6 * geom.Micrometre
	least     = 0.005 // of a tip's disc: what is less is within the tolerance of flattening
	pace      = geom.Millimetre / 2
	farthest  = 40 * geom.Millimetre // that moving an LED is tried
)

// Seen returns the LEDs that are seen, gap by gap in the panel's order, LEDs in theirs. bare are the mounts that no screw closes.
func Seen(w *work.Watch, p panel.Panel, s Stack, eyes Eyes, bare []int) []Sight {
	box := p.Outline.Box()
	if box.Empty() || len(p.LEDs) == 0 {
		return nil
	}
	v := viewing{p: p, s: s, tip: s.tips(), eyes: eyes.places(box.Centre(), s.tips())}
	v.reach = eyes.reach(box, v.tip)
	var out []Sight
	for i, o := range p.Openings {
		g := Gap{Opening, i, o.Box().Centre()}
		if _, ok := p.ControlAt(i); ok {
			g.Kind = Seated
		} else if o.Mount {
			g.Kind = Slot
		}
		out = append(out, v.through(w, g, o.Contour)...)
	}
	for _, i := range bare {
		m := p.Mounts[i]
		out = append(out, v.through(w, Gap{Mount, i, m.At}, geom.Circle(m.At, m.D))...)
	}
	return append(out, v.past(w)...)
}

// viewing is a panel that is looked at.
type viewing struct {
	p     panel.Panel
	s     Stack
	tip   geom.Nm
	eyes  []Eye
	reach geom.Nm // how far beside a gap something may be seen at the tips' depth
}

// through returns what is seen through a hole of the face.
func (v viewing) through(w *work.Watch, g Gap, hole geom.Contour) []Sight {
	around := hole.Box().Grown(v.reach)
	near := v.near(func(d geom.Box) bool { return around.Touches(d) })
	if len(near) == 0 {
		return nil
	}
	layers := v.layers(g, hole, around)
	if layers == nil {
		return nil
	}
	solid := v.solids(g, around)
	if closed(hole.Ring(tolerance), solid) {
		return nil
	}
	layers = thinned(layers)
	return v.sights(w, g, near, look{
		may: func(e Eye, at geom.Pt, d geom.Nm) bool { return v.may(e, layers, at, d) },
		at:  func(e Eye) view { return v.view(e, layers, solid) },
	})
}

// look is one way of looking at the plane of the tips.
type look struct {
	may func(e Eye, at geom.Pt, d geom.Nm) bool // says quickly whether something of a disc could be seen
	at  func(Eye) view
}

// looks is what all eyes see in one way. Views are worked out where they are wanted: most eyes see no LED at all.
type looks struct {
	look
	eyes  []Eye
	views []view
	done  []bool
}

// looked returns what the eyes see, worked out for those that may see one of the LEDs where they are.
func (v viewing) looked(w *work.Watch, leds []int, l look) looks {
	out := looks{l, v.eyes, make([]view, len(v.eyes)), make([]bool, len(v.eyes))}
	work.Bands(len(v.eyes), func(from, to int) {
		for k := from; k < to; k++ {
			w.Look()
			if slices.ContainsFunc(leds, func(i int) bool { return l.may(v.eyes[k], v.p.LEDs[i].At, v.p.LEDs[i].D) }) {
				out.views[k], out.done[k] = l.at(v.eyes[k]), true
			}
		}
	})
	return out
}

// sees reports whether an eye sees something of a disc.
func (l *looks) sees(w *work.Watch, k int, at geom.Pt, d geom.Nm) bool {
	if !l.done[k] {
		if !l.may(l.eyes[k], at, d) {
			return false
		}
		w.Look()
		l.views[k], l.done[k] = l.at(l.eyes[k]), true
	}
	return l.views[k].touches(at, d)
}

// past returns what is seen past the panel's edge, below the diffuser.
func (v viewing) past(w *work.Watch) []Sight {
	edge := v.p.Outline.Ring(tolerance)
	_, back := v.s.Span(panel.DiffuserSheet)
	between := float64(v.reach) * float64(v.tip-back) / float64(v.tip)
	near := v.near(func(d geom.Box) bool { return edge.DistTo(d.Centre()) < between+float64(d.W()/2) })
	if len(near) == 0 {
		return nil
	}
	all := geom.NewRegion(geom.Rect(v.p.Outline.Box().Grown(v.reach + farthest)).Ring(tolerance))
	return v.sights(w, Gap{Kind: Rim}, near, look{
		may: func(e Eye, at geom.Pt, d geom.Nm) bool {
			return !slices.ContainsFunc([]geom.Nm{0, back}, func(depth geom.Nm) bool {
				r := thrown(e, v.tip, edge, depth)
				return r.Locate(at) == geom.Inside && r.DistTo(at) > float64(d/2+tolerance)
			})
		},
		at: func(e Eye) view { return view{any: all.Minus(shadow(e, v.tip, edge, 0, back))}.boxed() },
	})
}

// near returns the LEDs whose disc's box is wanted.
func (v viewing) near(wanted func(geom.Box) bool) []int {
	var out []int
	for i, h := range v.p.LEDs {
		if wanted(geom.BoxOf(h.At).Grown(h.D / 2)) {
			out = append(out, i)
		}
	}
	return out
}

// sights returns which of the LEDs are seen.
func (v viewing) sights(w *work.Watch, g Gap, leds []int, how look) []Sight {
	seen := v.looked(w, leds, how)
	var out []Sight
	for _, i := range leds {
		h := v.p.LEDs[i]
		one, from := Sight{LED: i, Gap: g}, 0
		for k := range v.eyes {
			w.Step()
			if !seen.sees(w, k, h.At, h.D) {
				continue
			}
			w.Look()
			share := seen.views[k].share(h, v.behind(v.eyes[k], h), v.framed(v.eyes[k], h))
			if share < least {
				continue
			}
			if from++; share > one.Share {
				one.Share, one.Eye = share, v.eyes[k]
			}
		}
		if from == 0 {
			continue
		}
		one.From = float64(from) / float64(len(v.eyes))
		one.Gap.At, one.Move = v.moved(w, one.Gap, h, &seen)
		out = append(out, one)
	}
	return out
}

// behind returns what an LED's own hole in the LED sheet lets be seen of the plane of its tip; nil where that hides nothing.
func (v viewing) behind(e Eye, h panel.Hole) geom.Ring {
	front, _ := v.s.Span(panel.LEDSheet)
	if !v.s.Opaque || v.tip <= front {
		return nil
	}
	return thrown(e, v.tip, geom.Circle(h.At, h.D).Ring(tolerance), front)
}

// framed returns what of the plane of the tips a frame hides, as far as that may be of an LED. It fills the gap, so that whatever light
// it stops goes in or out at one of its walls.
func (v viewing) framed(e Eye, h panel.Hole) geom.Region {
	if len(v.p.Frame) == 0 {
		return nil
	}
	_, back := v.s.Span(panel.DiffuserSheet)
	front, _ := v.s.Span(panel.LEDSheet)
	to := min(front, v.tip)
	if to <= back {
		return nil
	}
	disc := geom.BoxOf(h.At).Grown(h.D / 2)
	var walls []geom.Ring
	for _, r := range v.p.Frame.Rings() {
		a, b := thrown(e, v.tip, r, back), thrown(e, v.tip, r, to)
		for i := range r {
			k := (i + 1) % len(r)
			if side := (geom.Ring{a[i], a[k], b[k], b[i]}); side.SignedArea2() != 0 && side.Box().Touches(disc) {
				walls = append(walls, side)
			}
		}
	}
	return geom.UnionOf(walls...)
}

// moved returns the middle of the gap, of the rim the point that is nearest to the LED, and how far the LED must go from there.
func (v viewing) moved(w *work.Watch, g Gap, h panel.Hole, seen *looks) (from geom.Pt, by geom.Nm) {
	from = g.At
	away := h.At.Sub(from)
	if g.Kind == Rim {
		best := math.Inf(1)
		for _, s := range v.p.Outline.Ring(tolerance).Segments() {
			if d := s.DistTo(h.At); d < best {
				best, from = d, s.Nearest(h.At)
			}
		}
		if away = h.At.Sub(from); v.p.Outline.Ring(tolerance).Locate(h.At) == geom.Outside {
			away = away.Neg()
		}
	}
	if away == (geom.Vec{}) {
		return from, 0 // it stands in the middle of the opening
	}
	hidden := func(n int) bool {
		w.Look()
		k := float64(geom.Nm(n)*pace) / away.Len()
		at := h.At.Add(geom.Vec{X: geom.Nm(math.Round(float64(away.X) * k)), Y: geom.Nm(math.Round(float64(away.Y) * k))})
		for k := range v.eyes {
			if w.Step(); seen.sees(w, k, at, h.D) {
				return false
			}
		}
		return true
	}
	// What is once hidden stays so farther on.
	n := sort.Search(int(farthest/pace)+1, hidden)
	if n > int(farthest/pace) {
		return from, 0
	}
	return from, geom.Nm(n) * pace
}
