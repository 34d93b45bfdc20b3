package read

import (
	"cmp"
	"context"
	"math"
	"slices"

	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/dxf"
	"lampblack/panel/work"
)

// Report is what a survey tells of a drawing. Lengths are mm in the drawing's own frame.
type Report struct {
	File    string
	Version string // "AC1015", empty when the file doesn't tell
	Release string // "R12", "2000"
	Binary  bool
	Units   dxf.Units
	Extents dxf.Box // of all curves

	Counts  []Count // entities by type and layer, blocks expanded
	Layers  []dxf.Layer
	Loops   []Loop
	Circles []Circles
	Texts   []Words
	Lines   []Line // open lines
	Open    []OpenEnd
	Skipped []dxf.Skip
	Groups  []Group // what things are taken for, and why
	Left    []Left  // what has no use
	Guessed bool    // the drawing has none of our layers, roles come from shapes
	Ruled   bool    // rules of the project sort by shape

	// Proposal is what a project file could say of a drawing whose roles were guessed, so that nothing need be.
	Proposal []Proposed

	Sheets   []Sheet // of panels of which several are drawn
	Together Sheets  // what was assumed of outlines of one size, where that is a question

	Panels []panel.Panel // what Panels makes of it
}

// Sheet is one of several sheets of a panel, at its place in the drawing.
type Sheet struct {
	Kind  string // "face", "LED sheet"; "sheet" where nothing tells
	Named string // what tells its name, empty for nothing
	Layer string
	Box   dxf.Box
	Path  dxf.Path
	First bool // its frame is the panel's
	Over  bool // it is drawn over others, on a layer of its own
}

// Count is how many entities of a type lie on a layer, and what they are taken for.
type Count struct {
	Type  string
	Layer string
	Role  panel.Role // empty: not used
	N     int
}

// Drawn is how a thing is drawn, as rules name it: on layer HOLES, in colour red, in block SWITCH.
type Drawn struct {
	Layer  string
	Colour uint32 // its own, as dxf.Entity has it
	Block  string // empty: none
}

func drawnAs(e *dxf.Entity) Drawn { return Drawn{e.Layer, e.Colour, e.Block} }

// Loop is a closed curve.
type Loop struct {
	Drawn
	Handle    string
	Role      panel.Role
	AreaMM2   float64
	Perimeter float64
	Box       dxf.Box
	Round     bool
	Centre    dxf.XY  // of a round one
	D         float64 // of a round one
	Path      dxf.Path
	Filled    bool     // engraved or printed as an area
	Strokes   []Stroke // how its line is drawn where that is not through

	ground *ground
}

// Ruled returns the rule of the project that gives the loop its role; ok is false where none does.
func (l *Loop) Ruled() (rule Rule, ok bool) {
	if l.ground == nil || l.ground.rule == nil {
		return Rule{}, false
	}
	return *l.ground.rule, true
}

// Stroke is a part of a line as it is drawn, that is dashed or beside dashed ones.
type Stroke struct {
	Path   dxf.Path
	Dashes []float64 // as dxf.Pen has them, mm; nil: drawn through
	Runs   bool
}

// strokesOf returns how a line is drawn, nil where that is through: each of its entities by itself, since dashes begin and end with these.
func strokesOf(from *dxf.Entity, pens []*dxf.Entity) []Stroke {
	if pens == nil {
		pens = []*dxf.Entity{from}
	}
	var out []Stroke
	done, dashed := map[*dxf.Entity]bool{}, false
	for _, e := range pens {
		if done[e] {
			continue
		}
		done[e] = true
		one := Stroke{Path: e.Path}
		if e.Pen != nil && e.Pen.Dashes != nil {
			one.Dashes, one.Runs, dashed = e.Pen.Dashes, e.Pen.Runs, true
		}
		out = append(out, one)
	}
	if !dashed {
		return nil
	}
	return out
}

// filledIn returns the closed lines among lettering and print that are areas.
func filledIn(w *work.Watch, sheets []sheet, opt Options) map[loopKey]bool {
	out := map[loopKey]bool{}
	for i := range sheets {
		s := &sheets[i]
		for _, k := range []inked{{s.texts, s.closed, s.lines}, s.print[0], s.print[1]} {
			filled, _ := areas(w, s, k, largestFirst(w, k.closed), opt)
			for n := range k.closed {
				if filled[n] {
					out[k.closed[n].key()] = true
				}
			}
		}
	}
	return out
}

// reported returns a loop at its place in the drawing, as a survey tells it.
func (l *loop) reported(r panel.Role) Loop {
	at := *l
	if l.pose != (pose{}) {
		at = l.posed(l.pose.back())
	}
	return Loop{
		Drawn: drawnAs(l.from), Handle: l.from.Handle, Role: r, AreaMM2: l.area, Perimeter: l.path.Perimeter(),
		Box: at.box, Round: l.round, Centre: at.c, D: l.d, Path: at.path, Strokes: strokesOf(l.from, l.pens), ground: l.ground,
	}
}

// Words is a text of the drawing, and what it is taken for.
type Words struct {
	Drawn
	Text dxf.Text
	Role panel.Role
}

// Line is a line that does not close, or one on a layer that is ignored, and what it is taken for.
type Line struct {
	Drawn
	Path    dxf.Path
	Role    panel.Role
	Filling bool     // it bounds a filled area
	Strokes []Stroke // how it is drawn where that is not through
}

// Circles counts round loops of one diameter.
type Circles struct {
	D    float64
	N    int
	Role panel.Role // what they are taken for; empty when they are not used or taken for several things
}

// OpenEnd is an end that meets no other, of a shape that is open there. Straight lines by themselves, as ticks of a dial, are
// none, nor what is engraved or lies without a role beside the panels: no shape is open where these end.
type OpenEnd struct {
	At     dxf.XY
	Layer  string
	Handle string
	Line   int
}

// Survey tells what a drawing holds and what Panels makes of it; the findings are Panels's. Once ctx is done what it
// returns means nothing.
func Survey(ctx context.Context, d dxf.Drawing, opt Options) (rep Report, l diag.List) {
	work.Until(ctx, func(w *work.Watch) { rep, l = surveyed(w, d, opt) })
	return rep, l
}

func surveyed(w *work.Watch, d dxf.Drawing, opt Options) (Report, diag.List) {
	r := interpreted(w, d, opt)
	rep := Report{
		File: d.Name, Version: d.Version, Release: dxf.Release(d.Version).Known(), Binary: d.Binary,
		Units: r.drawing.Units, Extents: r.drawing.Extents(), Layers: d.Layers, Skipped: r.drawing.Skipped, Guessed: r.layers.none, Ruled: len(r.layers.rules) > 0,
		Panels: r.panels, Proposal: r.proposal,
	}
	if rep.Extents.Empty() {
		rep.Extents = dxf.Box{}
	}
	taken, why := takenFor(r.sheets)
	rep.Counts = counts(&r.drawing, r.layers)
	engraved := map[*dxf.Entity]panel.Role{}
	original := func(e *dxf.Entity) *dxf.Entity {
		if o := r.stack.copies[e]; o != nil {
			return o
		}
		return e
	}
	for _, s := range r.sheets {
		put := func(role panel.Role, k inked) {
			for _, p := range k.lines {
				engraved[p.from] = role
			}
			for _, e := range k.texts {
				engraved[original(e)] = role
			}
		}
		put(panel.RoleLettering, inked{texts: s.texts, lines: s.lines})
		for side, k := range s.print {
			put(panel.PrintRoles()[side], k)
		}
	}
	filled := filledIn(w, r.sheets, opt)
	all := joins(r.lines)
	marks := r.lines.used[panel.RoleLettering].open
	ticks := newGrid(w, 1, 2*len(marks)) // a dial's scale ends where its ticks do
	for i := range marks {
		ticks.add(marks[i].end(false))
		ticks.add(marks[i].end(true))
	}
	for n, j := range all {
		free := n == len(all)-1
		loops := j.loops
		for _, l := range j.outers {
			if _, used := taken[l.key()]; used {
				loops = append(slices.Clip(loops), l)
			}
		}
		for i := range loops {
			w.Step()
			l := loops[i].reported(taken[loops[i].key()])
			l.Filled = filled[loops[i].key()]
			rep.Loops = append(rep.Loops, l)
		}
		for i := range j.open {
			w.Step()
			p := &j.open[i]
			line := Line{Path: p.pose.back().path(p.path), Drawn: drawnAs(p.from), Role: engraved[p.from], Strokes: strokesOf(p.from, p.pens)}
			rep.Lines = append(rep.Lines, line)
		}
		for i := range j.framed {
			l := j.framed[i].reported("")
			l.ground = &ground{why: []string{"they are the drawing's frame, or its title block"}}
			rep.Loops = append(rep.Loops, l)
		}
		for _, e := range openAt(w, j) {
			at := j.open[e.of].pose.back().point(e.at)
			ticked := false
			ticks.near(e.at, snap, func(k int) { ticked = ticked || marks[k/2].end(k&1 == 1).Dist(e.at) <= snap })
			if ticked || engraved[j.open[e.of].from] != "" || free && r.beside(e.at) {
				continue
			}
			rep.Open = append(rep.Open, OpenEnd{at, e.from.Layer, e.from.Handle, e.from.Line})
		}
	}
	for i := range r.stack.twins {
		t := &r.stack.twins[i]
		l := t.loop.reported(taken[r.stack.kept[t.as]])
		l.Filled = filled[r.stack.kept[t.as]]
		if l.Role != "" {
			l.ground = &ground{why: []string{"they are on another sheet of the panel too"}}
			if g := why[r.stack.kept[t.as]]; g != nil {
				l.ground.asked = g.asked
			}
		}
		rep.Loops = append(rep.Loops, l)
	}
	for _, es := range [][]*dxf.Entity{r.things.byRole[panel.RoleIgnore], r.things.fills} {
		for _, e := range es {
			w.Step()
			if p := e.Path; len(p.Vertices) > 1 {
				if p.Closed {
					p = dxf.Path{Vertices: append(slices.Clip(p.Vertices), dxf.Vertex{XY: p.Vertices[0].XY})}
				}
				rep.Lines = append(rep.Lines, Line{Path: p, Drawn: drawnAs(e), Filling: e.Fill})
			}
		}
	}
	for i := range r.stack.leaves {
		l := &r.stack.leaves[i]
		rep.Sheets = append(rep.Sheets, Sheet{Kind: l.kind.String(), Named: l.named, Layer: l.outline.from.Layer, Box: l.outline.box, Path: l.outline.path, First: l.pose == pose{}, Over: l.layer != ""})
	}
	if r.stack.asked {
		rep.Together = SheetsApart
		if len(r.stack.leaves) > 0 {
			rep.Together = SheetsTogether
			if slices.ContainsFunc(r.stack.leaves, func(l leaf) bool { return l.unsure && l.pose.mirrors() }) {
				rep.Together = SheetsMirrored
			}
		}
	}
	slices.SortStableFunc(rep.Loops, func(a, b Loop) int {
		w.Step()
		return cmp.Compare(b.AreaMM2, a.AreaMM2)
	})
	for i := range r.findings { // whoever only looks wants to see it, whatever its size, but in the unit that it has
		lies := func(s sheet) bool { return s.name == r.findings[i].Panel && s.unitLies(r.drawing.Units) }
		if f := &r.findings[i]; (f.Code == panelTooLarge || f.Code == panelTooSmall) && !slices.ContainsFunc(r.sheets, lies) {
			f.Severity = diag.Warning
		}
	}
	rep.Circles = circlesOf(rep.Loops)
	for i := range r.drawing.Entities {
		if e := &r.drawing.Entities[i]; e.Text != nil {
			rep.Texts = append(rep.Texts, Words{Text: *e.Text, Drawn: drawnAs(e), Role: engraved[e]})
		}
	}
	rep.Groups, rep.Left = r.grouped(w, &rep)
	return rep, r.findings
}

// beside reports whether a place is outside every panel, where what has no role is left out on purpose: a title block, a
// remark, a detail. Where there is no panel nobody knows.
func (r *reading) beside(at dxf.XY) bool { return len(r.sheets) > 0 && sheetAt(r.sheets, at) < 0 }

// joins returns the joined curves: by role, then those without one.
func joins(c lines) []joined {
	var out []joined
	for _, role := range panel.Roles() {
		if j, ok := c.used[role]; ok {
			out = append(out, j)
		}
	}
	return append(out, c.free)
}

// loopKey tells loops apart, whichever way they were come by.
type loopKey struct {
	from *dxf.Entity
	area float64
	box  dxf.Box
}

func (l *loop) key() loopKey { return loopKey{l.from, l.area, l.box} }

// takenFor maps loops to the roles that they got, and to why where that is known.
func takenFor(sheets []sheet) (map[loopKey]panel.Role, map[loopKey]*ground) {
	out, why := map[loopKey]panel.Role{}, map[loopKey]*ground{}
	put := func(role panel.Role, ls ...loop) {
		for i := range ls {
			out[ls[i].key()] = role
			if ls[i].ground != nil {
				why[ls[i].key()] = ls[i].ground
			}
		}
	}
	for _, s := range sheets {
		put(panel.RoleOutline, s.outline)
		put(panel.RoleLED, s.leds...)
		put(panel.RoleMount, s.mounts...)
		put(panel.RoleMount, s.slots...)
		put(panel.RoleOpening, s.openings...)
		put(panel.RoleBody, s.bodies...)
		put(panel.RoleWindow, s.windows...)
		put(panel.RoleBoard, s.boards...)
		put(panel.RoleLettering, s.closed...)
		for side, k := range s.print {
			put(panel.PrintRoles()[side], k.closed...)
		}
	}
	return out, why
}

func counts(d *dxf.Drawing, ls layers) []Count {
	index := map[Count]int{}
	var out []Count
	for i := range d.Entities {
		e := &d.Entities[i]
		k := Count{Type: e.Type, Layer: e.Layer, Role: ls.role[lowered(e.Layer)]}
		n, ok := index[k]
		if !ok {
			n = len(out)
			index[k] = n
			out = append(out, k)
		}
		out[n].N++
	}
	slices.SortFunc(out, func(a, b Count) int {
		return cmp.Or(cmp.Compare(a.Layer, b.Layer), cmp.Compare(a.Type, b.Type), cmp.Compare(a.Role, b.Role))
	})
	return out
}

// circlesOf counts round loops by diameter, to a hundredth of a millimetre.
func circlesOf(ls []Loop) []Circles {
	index := map[float64]int{}
	var out []Circles
	for _, l := range ls {
		if !l.Round {
			continue
		}
		d := math.Round(l.D*100) / 100
		i, ok := index[d]
		if !ok {
			i = len(out)
			index[d] = i
			out = append(out, Circles{D: d, Role: l.Role})
		}
		out[i].N++
		if out[i].Role != l.Role {
			out[i].Role = ""
		}
	}
	slices.SortFunc(out, func(a, b Circles) int { return cmp.Compare(a.D, b.D) })
	return out
}
