package flow

import (
	"context"
	"time"

	"lampblack/board"
	"lampblack/board/bare"
	"lampblack/board/check"
	"lampblack/board/copper"
	"lampblack/board/fill"
	"lampblack/board/legend"
	"lampblack/board/place"
	"lampblack/board/route"
	"lampblack/board/shape"
	"lampblack/cmd/lampblack/internal/memo"
	"lampblack/led"
	"lampblack/led/light"
	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
	"lampblack/panel/lettering"
	"lampblack/panel/work"
)

// All stages, in the order of the flow. What each takes is above it, what it gives below; see stage for when that still holds.
//
//	reading                                  of each drawing
//	font                                     of each font file
//	controls                                 of each panel that is told what sits in its openings: whether that goes together
//	boards                                   of each panel: which boards it has
//	frame                                    of each panel that is to have walls in its gap
//	circuit                                  of the console, which knows boards
//	lettering, stray light, shares, light    of each panel, and beside it
//	shape, place, route, fill, copper, print, legend, check    of each board, side by side
//	settle, judge                            of the console: currents with the boards' own copper
//	screws, heights, sheets, side view, template, panel solid, glow    of each panel
//	lower, pack, read back, pictures, board solid, service map, lists  of each board, side by side
//	order                                    of each array of boards
//	pieces, nest, stock, nests               of each panel, kind of sheet, sheet of stock, the console: where there is stock
//	ends                                     of each panel: its light with sheets as thin and as thick as they may come out
//	marks                                    of each panel whose findings have places
//	trial pieces, parts, laser, guide, chain, console, console solid, report    of the console
//
// boardStages are those of a panel, for progress.
var boardStages = []string{
	engraving.name, straying.name, sharing.name, lighting.name, shaping.name, placing.name, routing.name, spotting.name, filling.name, resisting.name, inscribing.name, printing.name, checking.name,
	lowering.name, packing.name, fastening.name, rising.name, cutting.name, siding.name, drawing.name, boardSolid.name, serving.name, templating.name, panelSolid.name, glow.name, listing.name, readingBack.name,
}

// sightStages are those of them whose files are only looked at or read.
var sightStages = []string{drawing.name, boardSolid.name, serving.name, templating.name, panelSolid.name, glow.name}

// perBoard is how many stages a panel goes through.
func (s *session) perBoard() int {
	if s.set.Later {
		return len(boardStages) - len(sightStages)
	}
	return len(boardStages)
}

// partsIn is the panel without what is engraved, and what bounds its boards.
type partsIn struct {
	Panel panel.Panel
	Rules board.Rules
}

type partsOut struct {
	says
	Parts []shape.Part
}

// parting finds which boards a panel has.
var parting = stage[partsIn, partsOut]{"boards", func(_ context.Context, in partsIn) partsOut {
	all, l := shape.Parts(in.Panel, in.Rules)
	return partsOut{says{l}, all}
}}

type engraveIn struct {
	Lettering []panel.Text
	Symbols   []panel.Symbol
	Stroke    geom.Nm // of lines
	Faces     facesIn
}

func (s *session) engraveIn(p panel.Panel) engraveIn {
	return engraveIn{p.Lettering, p.Symbols, s.project.Stroke, s.lettered}
}

type engraveOut struct {
	says
	*lettering.Engraving
}

// engraving makes the lettering of a panel areas, for its light, its sheets and all pictures.
var engraving = stage[engraveIn, engraveOut]{"lettering", func(ctx context.Context, in engraveIn) (out engraveOut) {
	work.Until(ctx, func(w *work.Watch) {
		out.Engraving = lettering.Engraved(w, panel.Panel{Lettering: in.Lettering, Symbols: in.Symbols}, in.Faces.faces(in.Stroke), in.Stroke)
	})
	return out
}}

// engraved is a panel, wherever it stands, with its lettering as areas.
type engraved struct {
	Panel     panel.Panel
	Lettering memo.Kept[engraveOut]
}

// engraved returns a panel of the console with its lettering as areas; ok is false where there are none, as for a stage.
func (s *session) engraved(p panel.Panel) (e engraved, fault *diag.Finding, ok bool) {
	e.Panel = sheets(p)
	e.Lettering, fault, ok = engraving.run(s, p.Name, s.engraveIn(p))
	return e, fault, ok
}

// areas is the lettering's.
func (e engraved) areas() *lettering.Engraving { return e.Lettering.Value.Engraving }

// lightIn is the panel with its lettering, and its LEDs with their currents rounded.
type lightIn struct {
	Of     engraved
	Wiring led.Wiring
	Stack  light.Stack
	Limits light.Limits
	Sets   []light.Set // of its LEDs, where there are several
}

type lightOut struct {
	says
	Field light.Field
}

var lighting = stage[lightIn, lightOut]{"light", func(ctx context.Context, in lightIn) lightOut {
	f := light.Evaluate(ctx, in.Of.Panel, in.Of.areas(), in.Wiring, in.Stack)
	if len(in.Sets) > 0 {
		f = light.BySet(ctx, in.Of.Panel, in.Of.areas(), f, in.Stack, in.Sets)
	}
	var l diag.List
	work.Until(ctx, func(w *work.Watch) { l = light.JudgeSets(w, in.Of.Panel, in.Of.areas(), f, in.Stack, in.Limits) })
	return lightOut{says{l}, f}
}}

// shapeIn is the panel without what is engraved, and what its board is made of.
type shapeIn struct {
	Panel    panel.Panel
	Wiring   led.Wiring
	Rules    board.Rules
	Least    board.Floors
	Laminate board.Laminate
}

func (s *session) shapeIn(foot panel.Panel, w led.Wiring) shapeIn {
	return shapeIn{foot, w, s.project.Rules, s.project.Least, s.project.Laminate}
}

type boardOut struct {
	says
	Board board.Board
}

var shaping = stage[shapeIn, boardOut]{"shape", func(_ context.Context, in shapeIn) boardOut {
	b, l := shape.Derive(in.Panel, in.Wiring, in.Rules, in.Least, in.Laminate)
	return boardOut{says{l}, b}
}}

type placeIn struct {
	Shaped memo.Kept[boardOut]
	Panel  panel.Panel
	Wiring led.Wiring
	Wish   place.Options
}

type placeOut struct {
	says
	Board   board.Board
	Figures place.Figures
}

var placing = stage[placeIn, placeOut]{"place", func(ctx context.Context, in placeIn) placeOut {
	return placedAsWished(ctx, in)
}}

// routeIn is a placed board, and what it was placed from, for other ways when its tracks find no room.
type routeIn struct {
	Placed memo.Kept[placeOut]
	placeIn
	Again bool // with less room than at first
}

type routeOut struct {
	says
	Board    board.Board
	Placed   place.Figures
	Routed   route.Figures
	Reversed bool // the strings run the other way round
	Anew     bool // the parts were placed anew, and what the first placing told is void
}

var routing = stage[routeIn, routeOut]{"route", func(ctx context.Context, in routeIn) routeOut {
	b, f, l := route.Route(ctx, in.Placed.Value.Board, route.Options{})
	out := routeOut{says: says{l}, Board: b, Placed: in.Placed.Value.Figures, Routed: f}
	if l.HasErrors() {
		out = tryOthers(ctx, in, out)
	}
	if !out.Findings.HasErrors() {
		out.Findings = append(out.Findings, turned(in.placeIn, out.Board)...)
	}
	return out
}}

// spotIn is a routed board, and the bare pads that it is to have.
type spotIn struct {
	Routed    memo.Kept[routeOut]
	Probes    []led.Probe
	Fiducials bool
}

var spotting = stage[spotIn, boardOut]{"spots", func(ctx context.Context, in spotIn) boardOut {
	out := boardOut{Board: in.Routed.Value.Board}
	if in.Fiducials {
		out.Board, out.Findings = bare.Fiducials(ctx, out.Board)
	}
	out.Board = bare.TestPoints(ctx, out.Board, in.Probes)
	return out
}}

type fillIn struct{ Spotted memo.Kept[boardOut] }

type fillOut struct {
	says
	Board   board.Board
	Figures fill.Figures
}

var filling = stage[fillIn, fillOut]{"fill", func(ctx context.Context, in fillIn) fillOut {
	b, f, l := fill.Fill(ctx, in.Spotted.Value.Board, fill.Usual())
	return fillOut{says{l}, b, f}
}}

type copperIn struct {
	Filled memo.Kept[fillOut]
	Supply []led.Group
}

type copperOut struct {
	says
	Figures copper.Figures // zero without both connectors
}

var resisting = stage[copperIn, copperOut]{"copper", func(ctx context.Context, in copperIn) copperOut {
	f, _ := copper.Through(ctx, in.Filled.Value.Board, in.Supply, copper.Usual())
	return copperOut{Figures: f}
}}

// legendIn is a board and the words on it; Items come from Print.
type legendIn struct {
	Filled memo.Kept[fillOut]
	Words  legend.Options
	Print  memo.Kept[inscribeOut]
}

var printing = stage[legendIn, boardOut]{"legend", func(ctx context.Context, in legendIn) boardOut {
	in.Words.Items = in.Print.Value.Items
	b, fig := legend.Print(ctx, in.Filled.Value.Board, in.Words)
	return boardOut{says{fig.Told}, b}
}}

type checkIn struct {
	Board  memo.Kept[boardOut]
	Wiring led.Wiring
	Behind *heightIn // what is free behind it; nil: not told
}

type checkOut struct {
	says
	Figures check.Figures
}

var checking = stage[checkIn, checkOut]{"check", func(ctx context.Context, in checkIn) checkOut {
	b := in.Board.Value.Board
	l := append(check.Audit(ctx, b, in.Wiring), check.Mountable(b)...)
	if in.Behind != nil {
		l = append(l, in.Behind.of(b).Behind(in.Behind.Told)...)
	}
	return checkOut{says{l}, check.Measure(ctx, b)}
}}

// board makes the boards of a panel and proves them; its light is computed beside.
func (w *way) board(b *Built, c led.Circuit) {
	if b.Unlit {
		return
	}
	wishes, told := w.s.wishes(b, c)
	w.found = append(w.found, told...)
	before := b.Wiring() // boards turn their strings round while the light is computed
	names, of := b.groups()
	branches := []branch{{b.Panel.Name, func(w *way) { w.light(b, before, names, of) }}}
	for k := range b.Boards {
		m := &b.Boards[k]
		m.print, m.given = w.s.inscribeIn(b, k), w.s.given(b.Panel)
		branches = append(branches, branch{m.Name(), func(w *way) {
			w.layOut(m, b.Panel.Name, wishes[k])
			w.stuck(m)
		}})
	}
	w.parted(branches...)
}

// light computes a panel's light, and ahead of its turn all that hangs on that alone: a core has nothing better to do while
// another one routes.
//
// names are the groups' and of is each LED's, if there are any.
func (w *way) light(b *Built, wiring led.Wiring, names []string, of []int) {
	areas, ok := through(w, engraving, w.s.engraveIn(b.Panel), func(engraveOut) {})
	if !ok {
		return
	}
	whole := engraved{sheets(b.Panel), areas}
	if _, ok := through(w, straying, w.s.strayIn(b.Panel, wiring), func(o strayOut) { b.sights = o.Sights }); !ok {
		return
	}
	if b.shares, ok = through(w, sharing, w.s.sharesIn(wiring, whole), func(o sharesOut) {
		full := light.Scaled(o.Shares, wiring)
		b.Words = light.Without(full, wiring, w.s.setsOf(b.Panel.Name))
		if b.Spills = nil; names != nil {
			b.Spills = light.Spills(full, of, len(names))
			w.found = append(w.found, light.JudgeSpills(b.Panel.Name, b.Spills, names)...)
		}
	}); !ok {
		return
	}
	if b.lit, ok = through(w, lighting, w.s.lightIn(wiring, whole), func(o lightOut) { b.Field = o.Field }); ok {
		_, _, _ = glow.run(w.s, b.Panel.Name, w.s.glowIn(whole, b.lit)) // a fault is told at its turn
		_, _, _ = cutting.run(w.s, b.Panel.Name, w.s.cutIn(w.name, whole))
	}
}

func (s *session) lightIn(w led.Wiring, whole engraved) lightIn {
	return lightIn{whole, glowing(w), s.project.Stack, s.project.Light, s.setsOf(whole.Panel.Name)}
}

// setsOf returns the sets of LEDs of a panel.
func (s *session) setsOf(panel string) []light.Set {
	var out []light.Set
	for _, g := range s.project.SetsOf(panel) {
		if k, ok := s.project.Kind(g.LEDs[0]); ok {
			out = append(out, light.Set{Name: g.Name, RGB: k.RGB})
		}
	}
	return out
}

// layOut makes a board of the panel. Where it comes to nothing with the room that is guessed behind openings, it is tried with
// half of that and with none: a guess must cost no board.
func (w *way) layOut(m *Made, panel string, wish place.Options) {
	before, foot := *m, footing(m.Part.Panel)
	w.layOutOn(m, foot, panel, wish)
	if w.stopped == "" || w.stopped == shaping.name || w.s.ctx.Err() != nil {
		return // in shaping, rooms have given way already
	}
	for _, part := range []geom.Nm{2, 0} {
		less, n := lessRoom(foot, part)
		if n == 0 {
			return
		}
		one := before
		try := way{s: w.s, name: w.name, again: true}
		try.layOutOn(&one, less, panel, wish)
		if try.stopped == "" || part == 0 {
			if try.stopped == "" {
				tellLess(&try.found, foot, n, part)
			}
			*m, w.found, w.stopped = one, try.found, try.stopped
			return
		}
	}
}

func (w *way) layOutOn(m *Made, foot panel.Panel, panel string, wish place.Options) {
	s, p := w.s, w.s.project
	m.made = wired(m.Wiring, p.Laminate.Copper)
	shaped, ok := through(w, shaping, s.shapeIn(foot, m.made), func(boardOut) {})
	if !ok {
		return
	}
	from, before := placeIn{shaped, foot, m.made, wish}, len(w.found)
	placed, ok := through(w, placing, from, func(o placeOut) { m.Board, m.Placed = o.Board, o.Figures })
	if !ok {
		return
	}
	routed, ok := through(w, routing, routeIn{placed, from, w.again}, func(o routeOut) {
		m.Board, m.Placed, m.Routed = o.Board, o.Placed, o.Routed
		if o.Anew {
			w.found = w.found[:before]
		}
		if o.Reversed {
			m.Wiring, m.made = m.Wiring.Reversed(), m.made.Reversed()
		}
	})
	if !ok {
		return
	}
	spots := spotIn{Routed: routed, Fiducials: p.Fiducials}
	if p.TestPoints {
		spots.Probes = m.made.Probes()
	}
	spotted, ok := through(w, spotting, spots, func(o boardOut) { m.Board = o.Board })
	if !ok {
		return
	}
	filled, ok := through(w, filling, fillIn{spotted}, func(o fillOut) { m.Board, m.Filled = o.Board, o.Figures })
	if !ok {
		return
	}
	words := legend.Options{Name: m.Name(), Revision: p.Revision, Supply: m.Wiring.Label, Date: s.day(), Given: m.given}
	groups := m.made.Conductors()
	w.parted(
		branch{w.name, func(w *way) {
			through(w, resisting, copperIn{filled, groups}, func(o copperOut) { m.Copper = o.Figures })
		}},
		branch{w.name, func(w *way) {
			print, ok := through(w, inscribing, m.print, func(inscribeOut) {})
			if !ok {
				return
			}
			if m.proven, ok = through(w, printing, legendIn{filled, words, print}, func(o boardOut) { m.Board = o.Board }); ok {
				through(w, checking, checkIn{m.proven, m.made, s.behind(panel)}, func(o checkOut) { m.Figures = o.Figures })
			}
		}},
	)
}

// date is the date that files carry; zero: none.
func (s *session) date() time.Time {
	if !s.set.Date.IsZero() {
		return s.set.Date
	}
	return s.project.Date
}

// day is the date as people read it; empty without one.
func (s *session) day() string {
	if d := s.date(); !d.IsZero() {
		return d.Format(time.DateOnly)
	}
	return ""
}
