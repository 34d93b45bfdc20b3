package flow

import (
	"context"
	"errors"
	"fmt"
	"image"
	"slices"
	"strings"
	"sync"

	"lampblack/board/shape"
	"lampblack/cmd/lampblack/internal/memo"
	"lampblack/cmd/lampblack/internal/project"
	"lampblack/export/picture"
	"lampblack/led"
	"lampblack/led/light"
	"lampblack/led/part"
	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
	"lampblack/panel/lettering"
	"lampblack/panel/work"
)

// Dark is a panel in the dark, set up for LEDs that are moved by hand. It is for as long as the project and its drawings are the same.
//
// Its LEDs shine with the currents that the circuit gives them. Moved ones keep theirs; one that is added has the mean of its kind. What
// strings and resistors come to with LEDs elsewhere is known once they are on the drawing.
type Dark struct {
	Panel panel.Panel // with its LEDs as they are
	Areas *lettering.Engraving
	Kinds []Lamps     // that its LEDs have, in the order in which they are drawn
	Sets  []light.Set // of them, where there are several

	pale   float64
	wiring led.Wiring
	room   *darkroom
}

// Lamps are the LEDs of one kind on a panel, and where they may be.
type Lamps struct {
	Name    string // as the panel's LEDs have it; empty: the usual kind
	Kind    part.LED
	Hole    geom.Nm // diameter of new holes
	Current part.Amp
	shape.Seats
}

// Dark sets up the panel of that name. Its error is ctx's, or tells in a builder's words why there is nothing to see.
func (e *Engine) Dark(ctx context.Context, p project.Project, set Settings, name string) (*Dark, error) {
	s := &session{ctx: ctx, engine: e, project: p, set: set, supplyOnly: true}
	d, why := &Dark{}, error(nil)
	fault, err := promptly(ctx, func() { why = d.setUp(s, name) })
	switch {
	case err != nil:
		return nil, err
	case fault != nil:
		return nil, errors.New(fault.Text)
	}
	return d, why
}

func (d *Dark) setUp(s *session, name string) error {
	out := s.design()
	b := builtNamed(out, name)
	if b == nil {
		return lost(out.Findings, name)
	}
	of, fault, ok := s.engraved(b.Panel)
	if fault != nil {
		return errors.New(fault.Text)
	}
	if !ok {
		return s.ctx.Err()
	}
	d.Panel, d.Areas, d.Sets, d.wiring = b.Panel, of.areas(), s.setsOf(b.Panel.Name), glowing(b.Wiring())
	d.pale = s.glowIn(of, memo.Kept[lightOut]{}).Pale
	settings := s.settingsOf(b.Panel.Name)
	for _, k := range kindsOn(b.Panel, settings.Kind, s.project) {
		one := Lamps{Name: k.Name, Kind: k.Kind, Hole: k.Hole, Current: settings.CurrentOf(k.Kind.Name), Seats: s.seats(*b, k.Kind, k.Hole)}
		sum, n := part.Amp(0), 0
		for _, l := range d.wiring.LEDs {
			if b.Panel.LEDs[l.Hole].Kind == k.Name {
				sum, n = sum+d.wiring.Strings[l.String].Nominal, n+1
			}
		}
		if n > 0 {
			one.Current = (sum / part.Amp(n)).Rounded()
		}
		d.Kinds = append(d.Kinds, one)
	}
	bare := of.Panel
	bare.LEDs = nil
	d.room = s.engine.darkroom(s.ctx, darkIn{bare, of.Lettering, s.project.Stack})
	return s.ctx.Err()
}

// builtNamed returns the panel of that name; nil where there is none.
func builtNamed(o Outcome, name string) *Built {
	for i := range o.Built {
		if strings.EqualFold(o.Built[i].Panel.Name, name) {
			return &o.Built[i]
		}
	}
	return nil
}

// lost tells why there is no panel of a name.
func lost(l diag.List, name string) error {
	for _, f := range ownErrors(l, name) {
		return fmt.Errorf("%s cannot be lit yet: %s", name, f.Text)
	}
	return fmt.Errorf("there is no panel named %s", name)
}

// LED is one that somebody puts somewhere, in the panel's frame.
type LED struct {
	At   geom.Pt
	Kind string // as Lamps has it
}

// LEDs are those of the panel as it is.
func (d *Dark) LEDs() []LED {
	var out []LED
	for _, h := range d.Panel.LEDs {
		out = append(out, LED{h.At, h.Kind})
	}
	return out
}

// placed returns the holes of LEDs, each as wide as the one that it was, and how they are lit.
func (d *Dark) placed(leds []LED) ([]panel.Hole, led.Wiring, error) {
	var holes []panel.Hole
	w := led.Wiring{Panel: d.Panel.Name}
	before := make(map[int]led.LED, len(d.wiring.LEDs)) // by hole
	for _, l := range d.wiring.LEDs {
		before[l.Hole] = l
	}
	left := make([]int, len(d.Panel.LEDs)) // holes that nobody stands in yet
	for i := range left {
		left[i] = i
	}
	was := make([]int, len(leds)) // the hole that each had; -1: it is new
	take := func(i int, same func(panel.Hole) bool) {
		was[i] = -1
		if k := slices.IndexFunc(left, func(h int) bool { return same(d.Panel.LEDs[h]) }); k >= 0 {
			was[i] = left[k]
			left = slices.Delete(left, k, k+1)
		}
	}
	for i, l := range leds {
		take(i, func(h panel.Hole) bool { return h.At == l.At && h.Kind == l.Kind })
	}
	for i, l := range leds {
		if was[i] < 0 {
			take(i, func(h panel.Hole) bool { return h.Kind == l.Kind })
		}
	}
	for i, l := range leds {
		k := slices.IndexFunc(d.Kinds, func(k Lamps) bool { return k.Name == l.Kind })
		if k < 0 {
			return nil, w, fmt.Errorf("%s has no LEDs of the kind %q", d.Panel.Name, l.Kind)
		}
		h, kind, current := panel.Hole{At: l.At, D: d.Kinds[k].Hole, Kind: l.Kind}, d.Kinds[k].Kind, d.Kinds[k].Current
		if was[i] >= 0 {
			h.D = d.Panel.LEDs[was[i]].D
			if o, ok := before[was[i]]; ok {
				kind, current = o.Kind, d.wiring.Strings[o.String].Nominal
			}
		}
		holes = append(holes, h)
		w.LEDs = append(w.LEDs, led.LED{Hole: i, Kind: kind, String: led.StringID(i)})
		w.Strings = append(w.Strings, led.String{LEDs: []int{i}, Nominal: current})
	}
	return holes, w, nil
}

// Lit is the panel's light with LEDs at these places.
func (d *Dark) Lit(ctx context.Context, leds []LED) (light.Field, error) {
	holes, w, err := d.placed(leds)
	if err != nil {
		return light.Field{}, err
	}
	f := d.room.rig.Field(ctx, holes, w, d.Sets)
	return f, ctx.Err()
}

// Seen are two pictures of one size: the panel without its lettering, and as it would be if all of it were lettering. Where lettering
// is, the second is seen, so that it stays sharp however near one looks.
type Seen struct {
	Ground, Lettering *image.RGBA
	Box               geom.Box // that they show, in the panel's frame
}

// Dark and Day show a field of the panel, as glow.png and day.png do, at so many pixels a millimetre.

func (d *Dark) Dark(ctx context.Context, f light.Field, perMM float64) Seen {
	return d.seen(ctx, perMM, func(v *picture.View) (ground, letters *image.RGBA) { return v.Dark(ctx, f) })
}

func (d *Dark) Day(ctx context.Context, f light.Field, perMM float64) Seen {
	return d.seen(ctx, perMM, func(v *picture.View) (ground, letters *image.RGBA) { return v.Day(ctx, f, d.pale) })
}

func (d *Dark) seen(ctx context.Context, perMM float64, show func(*picture.View) (ground, letters *image.RGBA)) (s Seen) {
	if v := d.room.view(ctx, perMM); v != nil {
		s.Ground, s.Lettering = show(v)
		s.Box = v.Box()
	}
	return s
}

// darkIn is what a darkroom is of: a panel without its LEDs.
type darkIn struct {
	Panel     panel.Panel
	Lettering memo.Kept[engraveOut]
	Stack     light.Stack
}

// darkroom is what of a panel in the dark does not depend on its LEDs: it is kept while they are moved, from one drawing to the next.
type darkroom struct {
	in  darkIn
	rig *light.Rig

	mu    sync.Mutex
	perMM float64
	last  *picture.View // at that many pixels a millimetre
}

// mostDark is how many panels are kept in the dark: one goes to and fro between a few.
const mostDark = 3

// darkroom returns the one for a panel, kept or new; nil once ctx is done.
func (e *Engine) darkroom(ctx context.Context, in darkIn) *darkroom {
	e.mu.Lock()
	defer e.mu.Unlock()
	var key memo.Sum
	if !work.Until(ctx, func(w *work.Watch) { key = memo.SumOf(w, in) }) {
		return nil
	}
	if i := slices.IndexFunc(e.dark, func(k keptDark) bool { return k.key == key }); i >= 0 {
		k := e.dark[i]
		e.dark = append(slices.Delete(e.dark, i, i+1), k)
		return k.room
	}
	rig := light.NewRig(ctx, in.Panel, in.Lettering.Value.Engraving, in.Stack)
	if rig == nil {
		return nil
	}
	room := &darkroom{in: in, rig: rig}
	if e.dark = append(e.dark, keptDark{key, room}); len(e.dark) > mostDark {
		e.dark = slices.Delete(e.dark, 0, 1)
	}
	return room
}

// keptDark is a darkroom and the sum of what it is of.
type keptDark struct {
	key  memo.Sum
	room *darkroom
}

// view returns the panel as so many pixels a millimetre; nil once ctx is done.
func (r *darkroom) view(ctx context.Context, perMM float64) *picture.View {
	r.mu.Lock()
	defer r.mu.Unlock()
	if r.last == nil || r.perMM != perMM {
		if v := picture.NewView(ctx, r.in.Panel, r.in.Lettering.Value.Engraving, perMM); v != nil {
			r.last, r.perMM = v, perMM
		}
	}
	return r.last
}

// Move writes the drawing of a panel with its LEDs at places that somebody chose. Nothing is placed, and nothing built: of what Relight
// gives there is the drawing, what goes before it, and the LEDs as the plan. Its error is ctx's.
func (e *Engine) Move(ctx context.Context, p project.Project, set Settings, name string, leds []LED) (Relit, error) {
	s := &session{ctx: ctx, engine: e, project: p, set: set, supplyOnly: true}
	r := Relit{Panel: name}
	return r.promptly(ctx, func() { r.move(s, leds) })
}

func (r *Relit) move(s *session, leds []LED) {
	r.Before = s.design()
	b := builtNamed(r.Before, r.Panel)
	if b == nil {
		r.Findings.Add(diag.Error, "relight-no-panel", "%v", lost(r.Before.Findings, r.Panel)).Of(r.Panel)
		return
	}
	old := b.Panel
	r.Panel = old.Name
	r.Entry, _ = s.drawn(old)
	r.Path = s.project.Path(r.Entry)
	settings := s.settingsOf(old.Name)
	d := Dark{Panel: old, wiring: b.Wiring()}
	for _, k := range kindsOn(old, settings.Kind, s.project) {
		d.Kinds = append(d.Kinds, Lamps{Name: k.Name, Kind: k.Kind, Hole: k.Hole})
	}
	holes, _, err := d.placed(leds)
	if err != nil {
		r.Findings.Add(diag.Error, "relight-kinds", "%v", err).Of(old.Name)
		return
	}
	old.LEDs = slices.DeleteFunc(slices.Clone(old.LEDs), func(h panel.Hole) bool { return h.Placed })
	if sets := s.project.SetsOf(old.Name); len(sets) > 0 && len(old.LEDs) == 0 {
		// LEDs that Lampblack placed are drawn from now on, each as the drawing can tell its set.
		named, l := s.setLamps(*b, old, s.project.Panels[r.Entry], sets, settings)
		if r.Findings = append(r.Findings, s.shifted(l, []panel.Panel{old})...); l.HasErrors() {
			return
		}
		for i := range holes {
			for _, k := range named {
				if strings.EqualFold(k.Kind.Name, holes[i].Kind) {
					holes[i].Kind = k.Name
				}
			}
		}
	}
	if r.misplaced(s, old, holes); r.Findings.HasErrors() {
		return
	}
	r.Plan.LEDs = holes
	r.redraw(s, old)
}

// misplaced tells LEDs whose holes would be none.
func (r *Relit) misplaced(s *session, p panel.Panel, holes []panel.Hole) {
	if len(holes) == 0 {
		r.Findings.Add(diag.Error, "relight-no-led", "%s would have no LED left", p.Name).Of(p.Name).
			Fix("leave one; a panel that is to have none is told so by place: no in its entry, once none is drawn")
	}
	var in []geom.Ring
	for _, o := range p.Openings {
		in = append(in, o.Ring(geom.FlattenTolerance))
	}
	for _, m := range p.Mounts {
		in = append(in, geom.Circle(m.At, m.D).Ring(geom.FlattenTolerance))
	}
	face := geom.NewRegion(p.Outline.Ring(geom.FlattenTolerance)).Minus(geom.UnionOf(in...))
	for i, h := range holes {
		where := fmt.Sprintf("at x %.2f, y %.2f mm", h.At.X.MM()+p.Origin.X, h.At.Y.MM()+p.Origin.Y)
		if len(geom.NewRegion(geom.Circle(h.At, h.D).Ring(geom.FlattenTolerance)).Minus(face)) > 0 {
			r.Findings.Add(diag.Error, "relight-no-hole", "an LED %s would be drilled through an edge or into an opening", where).In(r.Path, 0).Of(p.Name).
				Fix("leave the sheet some material all round its hole")
		}
		for _, o := range holes[:i] {
			if h.At.Dist(o.At) < float64(h.D+o.D)/2 {
				r.Findings.Add(diag.Error, "relight-no-hole", "the hole of an LED %s would meet that of another one", where).In(r.Path, 0).Of(p.Name).
					Fix("move one of them away, or delete it")
			}
		}
	}
}
