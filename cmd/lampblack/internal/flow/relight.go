package flow

import (
	"context"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"lampblack/board/shape"
	"lampblack/cmd/lampblack/internal/project"
	"lampblack/export/bundle"
	"lampblack/export/filename"
	"lampblack/led"
	"lampblack/led/light"
	"lampblack/led/part"
	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
)

// Ask is what `relight` is asked for.
type Ask struct {
	Panel string  // its name
	Count int     // LEDs in all; 0: as few as reach Even
	Even  float64 // minimum to mean over the lettering
	Keep  bool    // the present LEDs stay
	Seed  uint64
	Step  func(done, total int) // as Settings.Step, while LEDs are placed
}

// Relit is a panel with its LEDs placed anew, and what follows from that. DXF is meaningful only without an Error finding in
// Findings.
type Relit struct {
	Panel         string
	Path          string // of the drawing
	Entry         int    // of the project
	Plan          light.Plan
	Before, After Outcome // of the whole console; only this panel's board is built
	DXF           []byte  // the drawing with the LEDs replaced
	Findings      diag.List
	Unreadable    bool
}

// Relight places the LEDs of one panel anew and runs the stages before and after. Its error is ctx's: then nothing is relit.
func (e *Engine) Relight(ctx context.Context, p project.Project, set Settings, ask Ask) (Relit, error) {
	set.Pack, set.Only = false, ask.Panel
	r := Relit{Panel: ask.Panel}
	s := &session{ctx: ctx, engine: e, project: p, set: set}
	return r.promptly(ctx, func() { r.relight(s, ask) })
}

// promptly returns r as f fills it, with a fault of ours in f among its findings. Its error is ctx's.
func (r *Relit) promptly(ctx context.Context, f func()) (Relit, error) {
	fault, err := promptly(ctx, f)
	if err != nil {
		return Relit{}, err
	}
	if fault != nil {
		r.Findings = append(r.Findings, *fault.In(r.Path, 0).Of(r.Panel))
	}
	return *r, nil
}

// relight fills r. Once the session's context is done what it comes to means nothing.
func (r *Relit) relight(s *session, ask Ask) {
	ctx, p := s.ctx, s.project
	r.Before = s.design()
	var old panel.Panel
	var built Built
	found := false
	for i := range r.Before.Built {
		if b := &r.Before.Built[i]; strings.EqualFold(b.Panel.Name, ask.Panel) {
			old, built, found = b.Panel, *b, true
			old.LEDs = slices.DeleteFunc(slices.Clone(old.LEDs), func(h panel.Hole) bool { return h.Placed }) // by relight's own light
			r.Panel, s.set.Only = old.Name, old.Name
		}
	}
	if r.Before.Circuit.Boards != nil {
		s.boards(&r.Before)
	}
	s.finish(&r.Before)
	r.Unreadable = r.Before.Unreadable
	if !found {
		r.Findings = ownErrors(r.Before.Findings, ask.Panel)
		if !r.Findings.HasErrors() {
			var names []string
			for _, b := range r.Before.Built {
				names = append(names, b.Panel.Name)
			}
			r.Findings.Add(diag.Error, "relight-no-panel", "there is no panel named %s", ask.Panel).
				Of(ask.Panel).Fix("the panels are %s", strings.Join(names, ", "))
		}
		return
	}
	settings := s.settingsOf(old.Name)
	r.Entry, _ = s.drawn(old)
	r.Path = p.Path(r.Entry)
	opt := light.Options{Stack: p.Stack, Current: settings.CurrentOf(settings.Kind.Name), Count: ask.Count, Even: ask.Even, Keep: ask.Keep, Seed: ask.Seed, Step: ask.Step}
	if of, _, ok := s.engraved(old); ok {
		opt.Engraving = of.areas()
	}
	var kinds []lamps
	var names []string // of sets
	place := func(all []light.Lamp) (light.Plan, diag.List) { return light.PlaceKinds(ctx, old, opt, all) }
	if sets := p.SetsOf(old.Name); len(sets) > 0 {
		var l diag.List
		if kinds, l = s.setLamps(built, old, p.Panels[r.Entry], sets, settings); l.HasErrors() {
			r.Findings = s.shifted(l, []panel.Panel{old})
			return
		}
		for _, g := range sets {
			names = append(names, g.Name)
		}
		place = func(all []light.Lamp) (light.Plan, diag.List) { return placedSets(ctx, old, opt, all, settings, names) }
	} else {
		kinds = kindsOn(old, settings.Kind, p)
		for i := range kinds {
			k := &kinds[i]
			k.seats = s.seats(built, k.Kind, k.Hole)
			k.Spacing = k.seats.Spacing
		}
	}
	// Places are good only with a board: where they have none, those that hinder it are left free, and LEDs stand farther apart.
	var taken []geom.Ring
	for try := 1; ; try++ {
		r.Findings = nil
		var l diag.List
		r.Plan, l = placedIn(ctx, kinds, taken, place)
		r.Findings = s.shifted(l.WithPanel(old.Name), []panel.Panel{old})
		if r.Findings.HasErrors() && try > 1 {
			r.refuse()
		}
		if r.Findings.HasErrors() || ctx.Err() != nil {
			return
		}
		r.redraw(s, old)
		if r.Findings.HasErrors() || ctx.Err() != nil {
			return
		}
		var err error
		if r.After, err = s.engine.Build(ctx, p, r.redrawn(s.set)); err != nil || r.proven() {
			return
		}
		if try == mostPlaced {
			r.refuse()
			return
		}
		widest := geom.Nm(0)
		for i := range kinds {
			widest = max(widest, kinds[i].Spacing)
			kinds[i].Spacing = kinds[i].Spacing * 9 / 8
		}
		taken = append(taken, r.hindering(old, widest)...)
	}
}

// lamps are the LEDs of a kind, and where boards have room for them.
type lamps struct {
	light.Lamp
	seats shape.Seats
}

// kindsOn returns the kinds that a panel's LEDs have, in the order in which they are drawn: the usual one where no rule tells another,
// and where there are none.
func kindsOn(p panel.Panel, usual part.LED, of project.Project) []lamps {
	var out []lamps
	for _, h := range p.LEDs {
		if slices.ContainsFunc(out, func(k lamps) bool { return strings.EqualFold(k.Name, h.Kind) }) {
			continue
		}
		kind, ok := of.Kind(h.Kind)
		if !ok {
			kind = usual
		}
		own := p
		own.LEDs = ofKind(p.LEDs, h.Kind)
		out = append(out, lamps{Lamp: light.Lamp{Name: h.Kind, Kind: kind, Hole: holeOf(own, kind)}})
	}
	if len(out) == 0 {
		out = []lamps{{Lamp: light.Lamp{Kind: usual, Hole: holeOf(p, usual)}}}
	}
	return out
}

// ofKind returns the LEDs for which rules tell that kind.
func ofKind(leds []panel.Hole, kind string) []panel.Hole {
	var out []panel.Hole
	for _, h := range leds {
		if strings.EqualFold(h.Kind, kind) {
			out = append(out, h)
		}
	}
	return out
}

// mostPlaced bounds how often LEDs are placed before their boards are given up.
const mostPlaced = 3

// placedIn places LEDs where a board has room for them however they are turned, or else where it has if they are turned rightly; place
// does it in the rooms that the lamps have.
func placedIn(ctx context.Context, kinds []lamps, taken []geom.Ring, place func([]light.Lamp) (light.Plan, diag.List)) (light.Plan, diag.List) {
	not := geom.UnionOf(taken...)
	in := func(room func(shape.Seats) geom.Region) (light.Plan, diag.List) {
		var all []light.Lamp
		for _, k := range kinds {
			k.Room = room(k.seats).Minus(not)
			all = append(all, k.Lamp)
		}
		return place(all)
	}
	plan, l := in(func(s shape.Seats) geom.Region { return s.Ample })
	if !l.HasErrors() || ctx.Err() != nil {
		return plan, l
	}
	if more, m := in(func(s shape.Seats) geom.Region { return s.Tight }); !m.HasErrors() {
		return more, m
	}
	return plan, l
}

// redrawn returns the settings with which the panel's drawing is the new one.
func (r *Relit) redrawn(set Settings) Settings {
	set.Only = r.Panel
	load := set.load
	set.Fonts = set.fontsIn
	set.Read = func(path string) ([]byte, error) {
		if path == r.Path {
			return r.DXF, nil
		}
		return load(path)
	}
	return set
}

// proven reports whether the panel has all its boards.
func (r *Relit) proven() bool {
	for _, b := range r.After.Built {
		if b.Panel.Name == r.Panel {
			return b.Stopped == "" && len(b.Boards) > 0
		}
	}
	return false
}

// hindering returns the room round those places that an error of the board names.
func (r *Relit) hindering(p panel.Panel, spacing geom.Nm) []geom.Ring {
	var out []geom.Ring
	for _, f := range ownErrors(r.After.Findings, r.Panel) {
		for _, f := range f.Each() {
			if at := f.Place.At; at != nil {
				out = append(out, geom.Circle(onPanel(p, *at), spacing).Ring(geom.FlattenTolerance))
			}
		}
	}
	return out
}

// refuse tells that no board came of any placement, and why.
func (r *Relit) refuse() {
	why := ownErrors(r.After.Findings, r.Panel)
	f := r.Findings.Add(diag.Error, "relight-no-board", "with its LEDs placed anew no board of %s can be built, so that nothing is changed: the LEDs were placed %d times", r.Panel, mostPlaced).
		In(r.Path, 0).Of(r.Panel)
	if len(why) > 0 {
		f.Text += "; the last board failed as " + why[0].Text
	}
	f.Fix("ask for fewer LEDs, or make the room that the other findings name; %s tells whether the board as drawn can be built", diag.Deed{Typed: "'lampblack check'", Clicked: "the view Boards"})
	r.Findings = append(r.Findings, why...)
	r.DXF = nil
}

// ownErrors returns the errors that hinder the named panel: its own, and those of no panel.
func ownErrors(l diag.List, name string) diag.List {
	var out diag.List
	for _, f := range l {
		if f.Severity == diag.Error && (f.Panel == "" || strings.EqualFold(f.Panel, name)) {
			out = append(out, f)
		}
	}
	return out
}

// settingsOf returns what LEDs a panel gets.
func (s *session) settingsOf(name string) led.Settings {
	req := s.request
	if len(req.Panels) == 0 { // before it is made
		req = Request(s.project, s.drawings)
	}
	for _, q := range req.Panels {
		if q.Panel == name {
			return q
		}
	}
	return req.Defaults
}

// holeOf returns the diameter of most of the panel's LED holes, or the kind's.
func holeOf(p panel.Panel, k part.LED) geom.Nm {
	count := map[geom.Nm]int{}
	best := geom.MM(k.HoleMM)
	for _, h := range p.LEDs {
		if count[h.D]++; count[h.D] > count[best] {
			best = h.D
		}
	}
	return best
}

// seats returns where LEDs may be on the panel's boards.
func (s *session) seats(b Built, k part.LED, hole geom.Nm) shape.Seats {
	if len(b.Boards) == 0 {
		return shape.SeatsOf(footing(b.Panel), k.Package, hole, s.project.Rules, s.project.Laminate)
	}
	var all shape.Seats
	for _, m := range b.Boards {
		one := m.Part.Panel
		one.Unclosed = b.Panel.Unclosed
		seats := shape.SeatsOf(one, k.Package, hole, s.project.Rules, s.project.Laminate)
		all.Ample, all.Tight, all.Spacing = all.Ample.Or(seats.Ample), all.Tight.Or(seats.Tight), max(all.Spacing, seats.Spacing)
	}
	return all
}

// FreeName returns the name of a file beside the drawing that there is none of yet: dome.dxf gives dome-relit.dxf, then
// dome-relit-2.dxf; taken reports names that are there.
func FreeName(drawing string, taken func(string) bool) string {
	ext := filepath.Ext(drawing)
	base := filename.Beside(strings.TrimSuffix(bundle.Original(filepath.ToSlash(drawing)), ext), bundle.Relit+ext)
	for n := 1; ; n++ {
		name := base + bundle.Relit
		if n > 1 {
			name += "-" + strconv.Itoa(n)
		}
		if name = filepath.FromSlash(name + ext); !taken(name) {
			return name
		}
	}
}
