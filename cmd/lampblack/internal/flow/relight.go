package flow

import (
	"cmp"
	"context"
	"math"
	"path/filepath"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"lampblack/board/shape"
	"lampblack/cmd/lampblack/internal/project"
	"lampblack/export/bundle"
	"lampblack/led"
	"lampblack/led/light"
	"lampblack/led/part"
	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/dxf"
	"lampblack/panel/geom"
)

// Ask is what `relight` is asked for.
type Ask struct {
	Panel string  // its name
	Count int     // LEDs in all; 0: as few as reach Even
	Even  float64 // minimum to mean over the lettering
	Keep  bool    // the present LEDs stay
	Seed  uint64
	Step  func(done, total int)
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

// Relight places the LEDs of one panel anew and runs the stages before and after. Its error is ctx's.
func (e *Engine) Relight(ctx context.Context, p project.Project, set Settings, ask Ask) (Relit, error) {
	set.Pack, set.Only = false, ask.Panel
	r := Relit{Panel: ask.Panel}
	var err error
	s := &session{ctx: ctx, engine: e, project: p, set: set}
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
		return r, ctx.Err()
	}
	settings := s.settingsOf(old.Name)
	for i, d := range s.drawings {
		for _, q := range d.Panels {
			if q.Name == old.Name {
				r.Entry, r.Path = i, p.Path(i)
			}
		}
	}
	opt := light.Options{
		Stack: p.Stack, Kind: settings.Kind, Current: settings.Current, Hole: holeOf(old, settings.Kind),
		Count: ask.Count, Even: ask.Even, Keep: ask.Keep, Seed: ask.Seed, Step: ask.Step,
	}
	if f := guard(func() {
		opt.Room, opt.Spacing = s.room(built, settings.Kind, opt.Hole)
		var l diag.List
		r.Plan, l = light.Place(ctx, old, opt)
		r.Findings = append(r.Findings, s.shifted(l.WithPanel(old.Name), []panel.Panel{old})...)
	}); f != nil {
		r.Findings = append(r.Findings, *f)
	}
	if r.Findings.HasErrors() {
		return r, ctx.Err()
	}
	r.redraw(ctx, s, old, set)
	if r.Findings.HasErrors() {
		return r, ctx.Err()
	}
	after := set
	after.Only = old.Name
	after.Read = func(path string) ([]byte, error) {
		if path == r.Path {
			return r.DXF, nil
		}
		if set.Read != nil {
			return set.Read(path)
		}
		return ReadFile(path)
	}
	r.After, err = e.Build(ctx, p, after)
	return r, err
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
	req := Request(s.project, s.drawings)
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

// room returns where the middle of an LED may be on the panel's boards, and how far two must be apart.
func (s *session) room(b Built, k part.LED, hole geom.Nm) (geom.Region, geom.Nm) {
	var room geom.Region
	spacing := geom.Nm(0)
	for _, m := range b.Boards {
		one := m.Part.Panel
		one.Unclosed = b.Panel.Unclosed
		seats := shape.SeatsOf(one, k.Package, hole, s.project.Rules, s.project.Laminate)
		room, spacing = room.Or(seats.Ample), max(spacing, seats.Spacing)
	}
	return room, spacing
}

// redraw writes the drawing with the LEDs replaced, and reads it back: all but the LEDs must mean the same.
func (r *Relit) redraw(ctx context.Context, s *session, old panel.Panel, set Settings) {
	fail := func(code, format string, args ...any) *diag.Finding {
		return r.Findings.Add(diag.Error, code, format, args...).In(r.Path, 0).Of(old.Name)
	}
	load := set.Read
	if load == nil {
		load = ReadFile
	}
	src, err := load(r.Path)
	if err != nil {
		fail(fileCode(err), "%s", fileText(err, r.Path)).Fix("check that the drawing is still there")
		r.Unreadable = true
		return
	}
	entry := s.project.Panels[r.Entry]
	d, _ := dxf.Read(ctx, src, r.Path)
	if ctx.Err() != nil {
		return
	}
	per := d.Units.MMPerUnit
	if u, ok := dxf.UnitNamed(entry.Units); ok && entry.Units != "" {
		d = d.Scaled(u.MMPerUnit / per)
		per = u.MMPerUnit
	}
	keep := map[geom.Pt]bool{}
	for _, h := range r.Plan.LEDs {
		for _, o := range old.LEDs {
			if h.At == o.At {
				keep[h.At] = true
			}
		}
	}
	layer := "led"
	var drop []int
	blocks := false
	for _, h := range old.LEDs {
		c := dxf.XY{X: h.At.X.MM() + old.Origin.X, Y: h.At.Y.MM() + old.Origin.Y}
		for i := range d.Entities {
			if e := &d.Entities[i]; draws(e, c, h.D.MM()/2) {
				layer = e.Layer
				switch {
				case keep[h.At]:
				case e.Block != "":
					blocks = true
				default:
					drop = append(drop, e.Line)
				}
			}
		}
	}
	if blocks {
		fail("relight-in-block", "LEDs of %s are drawn in a block, so that they cannot be moved one by one", old.Name).
			Fix("explode the block in your CAD program, save the drawing and try again")
		return
	}
	if len(old.LEDs) == 0 {
		for _, l := range entry.Layers {
			if l.Role == string(panel.RoleLED) {
				layer = l.Name
			}
		}
	}
	var add []dxf.Circle
	for _, h := range r.Plan.LEDs {
		if !keep[h.At] {
			add = append(add, dxf.Circle{Layer: layer, At: dxf.XY{X: h.At.X.MM() + old.Origin.X, Y: h.At.Y.MM() + old.Origin.Y}, D: h.D.MM()})
		}
	}
	r.DXF, err = dxf.Redrawn(src, drop, add, per)
	if err != nil {
		fail("relight-drawing", "the drawing cannot be written anew: %v", err).
			Fix("save it from your CAD program as ASCII DXF with the LEDs as plain circles, and try again")
		return
	}
	panels, l, _ := interpret(s.ctx, r.DXF, r.Path, Options(s.project, entry))
	for _, q := range panels {
		if q.Name == old.Name && sameBut(old, q, r.Plan.LEDs) {
			return
		}
	}
	f := fail("relight-drawing", "the drawing written anew would not mean the same: its LEDs are drawn in a way that cannot be replaced")
	if e := l.Err(); e != nil {
		f.Text += " (" + e.Error() + ")"
	}
	f.Fix("draw each LED hole as one circle on the led layer, and try again")
	r.DXF = nil
}

// draws reports whether an entity is a circle, or a piece of one, of radius r round c, mm.
func draws(e *dxf.Entity, c dxf.XY, r float64) bool {
	if e.Text != nil || len(e.Path.Vertices) < 2 {
		return false
	}
	const tolerance = 2e-3
	vs := e.Path.Vertices
	for i, v := range vs {
		if math.Abs(v.Dist(c)-r) > tolerance {
			return false
		}
		// A straight piece may be part of a circle drawn with many corners, but not a line across it.
		next := vs[(i+1)%len(vs)]
		if mid := v.Add(next.XY).Times(0.5); v.Bulge == 0 && (e.Path.Closed || i+1 < len(vs)) && math.Abs(mid.Dist(c)-r) > r/20 {
			return false
		}
	}
	b := e.Path.Box()
	return b.Min.X > c.X-r-tolerance && b.Min.Y > c.Y-r-tolerance && b.Max.X < c.X+r+tolerance && b.Max.Y < c.Y+r+tolerance
}

// sameBut reports whether two readings of a panel differ in nothing but the LEDs, and those are at the places wanted.
func sameBut(old, now panel.Panel, want []panel.Hole) bool {
	if len(now.LEDs) != len(want) {
		return false
	}
	order := func(hs []panel.Hole) []panel.Hole {
		out := slices.Clone(hs)
		slices.SortFunc(out, func(a, b panel.Hole) int { return cmp.Or(cmp.Compare(a.At.X, b.At.X), cmp.Compare(a.At.Y, b.At.Y)) })
		return out
	}
	a, b := order(now.LEDs), order(want)
	for i := range a {
		if a[i].At.Dist(b[i].At) > 1000 || a[i].D-b[i].D > 1000 || b[i].D-a[i].D > 1000 {
			return false
		}
	}
	old.LEDs, now.LEDs, old.Drawing, now.Drawing, old.BodyDepth = nil, nil, "", "", now.BodyDepth // the last is the project's
	return reflect.DeepEqual(old, now)
}

// FreeName returns the name of a file beside the drawing that there is none of yet: dome.dxf gives dome-relit.dxf, then
// dome-relit-2.dxf; taken reports names that are there.
func FreeName(drawing string, taken func(string) bool) string {
	ext := filepath.Ext(drawing)
	base := strings.TrimSuffix(bundle.Original(filepath.ToSlash(drawing)), ext)
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
