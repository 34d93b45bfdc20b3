package picture

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"lampblack/export/scene"
	"lampblack/led/part"
	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
	"lampblack/panel/lettering"
	"lampblack/panel/read"
)

// Colours of the survey's picture, on paper: each role its own, what is not used pale, what is wrong red.
const (
	sheetFill   scene.Colour = 0xf1e8d6
	openingInk  scene.Colour = 0x41719c
	mountInk    scene.Colour = 0x3c8265
	bodyInk     scene.Colour = 0x96703c
	roomInk     scene.Colour = 0xb9894f
	boardInk    scene.Colour = 0x7a8a2e
	letterInk   scene.Colour = 0x7d4487
	printInk    scene.Colour = 0x2f7f86
	lampInk     scene.Colour = 0xb86a0c
	lampFill    scene.Colour = 0xf6c875
	windowInk   scene.Colour = 0x8a6d00
	windowFill  scene.Colour = 0xfff0b0
	unusedInk   scene.Colour = 0xa9a196
	wrongInk    scene.Colour = 0xcf2f24
	doubtfulInk scene.Colour = 0xd98b00
	askInk      scene.Colour = 0x9b1fb5
)

// Measures of the survey's picture, on paper.
const (
	surveyMargin = 8 * geom.Millimetre
	surveyHead   = 13 * geom.Millimetre
	surveyFoot   = 8 * geom.Millimetre
	viewPad      = 6 * geom.Millimetre  // round the drawing, for numbers
	leastView    = 90 * geom.Millimetre // high, however long the list is
	keyStep      = 5 * geom.Millimetre  // from row to row of the legend
	// Enough for any panel; a drawing with more points is shown without what is not used.
	mostPoints = 300_000
	mostMarks  = 200
	mostTexts  = 5000
)

// sketch is the drawing's frame, in mm, scaled to the page: y up, origin at the lower left of the view.
type sketch struct {
	faces     *lettering.Faces // nil: the plain one
	x0, y0, k float64
	f         scene.Frame
}

func (s sketch) pt(x, y float64) geom.Pt {
	return geom.Pt{X: geom.MM((x - s.x0) * s.k), Y: geom.MM((y - s.y0) * s.k)}
}

// line is a line of the drawing on the page's scale.
func (s sketch) line(l *read.Line) geom.Contour {
	c := make(geom.Contour, 0, len(l.Path.Vertices))
	for _, v := range l.Path.Vertices {
		c = append(c, geom.Vertex{Pt: s.pt(v.X, v.Y), Bulge: v.Bulge})
	}
	return c
}

// closed is a closed line.
func (s sketch) closed(l *read.Loop) geom.Contour {
	if l.Round {
		return geom.Circle(s.pt(l.Centre.X, l.Centre.Y), geom.MM(l.D*s.k))
	}
	return drawable(s.line(&read.Line{Path: l.Path}))
}

// words is a text as an area.
func (s sketch) words(t *read.Words) geom.Region {
	return s.faces.Outline(panel.Text{
		Text: t.Text.Text, At: s.pt(t.Text.At.X, t.Text.At.Y), Height: geom.MM(t.Text.Height * s.k), Angle: t.Text.Angle, Width: t.Text.Width,
		Span: geom.MM(t.Text.Span * s.k), Anchor: panel.Anchor{H: panel.HAlign(t.Text.H), V: panel.VAlign(t.Text.V)}, Mirror: t.Text.Mirror,
		Slant: t.Text.Slant, Font: t.Text.Font, Block: t.Text.Block,
	})
}

// SurveyPage returns the drawing as a survey sees it: each thing in its role, what is not used pale, open ends ringed; numbers
// at the things, and a list of what each number stands for: questions, errors and warnings, and what things are taken for
// and why. It is laid out for A4, upright or across, whichever shows the drawing larger; only a long list is longer.
// Large drawings are shown smaller, small ones larger; the scale is told. Texts are in the faces that they get.
func SurveyPage(r read.Report, findings diag.List, faces *lettering.Faces) scene.Page {
	x0, y0, x1, y1, cut := viewOf(r)
	w, h := max(x1-x0, 1e-3), max(y1-y0, 1e-3)
	list := surveyList(sketch{}, r, findings)
	keys := surveyKeys(r, findings)
	p := surveyPaper(list, keys, w, h)
	s := sketch{x0: x0, y0: y0, k: p.k}
	if faces != nil { // lines of letters are as wide as they are drawn
		scaled := *faces
		scaled.Stroke = geom.Nm(math.Round(float64(max(faces.Stroke, 0)) * p.k))
		s.faces = &scaled
	}
	wide, high := geom.MM(w*p.k), geom.MM(h*p.k)
	left0 := (p.wide - wide) / 2
	below := p.high - surveyHead - viewPad - high
	s.f = scene.Frame{Box: geom.Box{Min: geom.Pt{X: -left0, Y: -below}, Max: geom.Pt{X: p.wide - left0, Y: high + surveyHead + viewPad}}}
	d := newDrawing(nil, s.f.Box.W(), s.f.Box.H(), r.File+": survey")
	d.ground(paper)

	name := r.File
	if i := strings.LastIndexAny(name, `/\`); i >= 0 {
		name = name[i+1:]
	}
	d.letters(surveyMargin, 9*geom.Millimetre, 3*geom.Millimetre, left, ink, clipped(name, 48))
	d.letters(p.wide-surveyMargin, 9*geom.Millimetre, textHeight, right, edgeInk, fmt.Sprintf("%s × %s mm, drawn %s", long(w), long(h), times(p.k)))

	top := surveyHead
	d.open("view").Clip = scene.Rect(left0-2*geom.Millimetre, top+viewPad-2*geom.Millimetre, wide+4*geom.Millimetre, high+4*geom.Millimetre)
	less := d.things(s, r)
	d.close()
	view := geom.Box{Min: geom.Pt{X: surveyMargin / 2, Y: top}, Max: geom.Pt{X: p.wide - surveyMargin/2, Y: top + high + 2*viewPad}}
	d.flags(s, r, surveyList(s, r, findings), newRoom(geom.Box{Max: geom.Pt{X: d.page.W, Y: d.page.H}}, view))

	y := view.Max.Y + 4*geom.Millimetre
	d.surveyKey(keys, surveyMargin, y, p.wide-surveyMargin)
	y += geom.Nm(p.rows) * keyStep
	if len(list) > 0 {
		d.entries(p.columns, surveyMargin, y, p.column, p.rest)
	}
	note := ""
	switch {
	case cut == 1:
		note = "1 more thing lies far outside this view"
	case cut > 1:
		note = fmt.Sprintf("%d more things lie far outside this view", cut)
	case less:
		note = "the drawing has very many points: what is not used is left out here"
	}
	d.letters(p.wide-surveyMargin, d.page.H-3*geom.Millimetre, textHeight, right, edgeInk, note)
	return d.page
}

// surveySheet is the paper of a survey's picture.
type surveySheet struct {
	wide, high geom.Nm
	k          float64 // of the drawing
	rows       int     // of the legend
	column     geom.Nm // of the list
	columns    [][]setEntry
	rest       int // entries that have no room
}

// surveyPaper lays the page out upright and across, and returns what shows the drawing larger on A4.
func surveyPaper(list []noted, keys []keyItem, w, h float64) surveySheet {
	d := newDrawing(nil, 0, 0, "") // to measure with
	var best surveySheet
	shown := 0.0
	for _, a4 := range [...][2]geom.Nm{{a4Wide, 297 * geom.Millimetre}, {297 * geom.Millimetre, a4Wide}} {
		p := surveySheet{wide: a4[0], column: a4[0] - 2*surveyMargin}
		n := 1
		if a4[0] > a4[1] {
			n, p.column = 2, (p.column-listGap)/2
		}
		p.rows = d.surveyKey(keys, surveyMargin, 0, p.wide-surveyMargin)
		fixed := surveyHead + 2*viewPad + geom.Nm(p.rows)*keyStep + 4*geom.Millimetre + surveyFoot
		least := min(geom.MM(min(20, (p.wide-2*surveyMargin).MM()/w)*h), leastView)
		high := geom.Nm(0)
		p.columns, high, p.rest = columned(d.set(list, p.column), n, max(a4[1]-fixed-least, 40*geom.Millimetre))
		room := max(a4[1]-fixed-high, least)
		p.k = min((p.wide-2*surveyMargin).MM()/w, room.MM()/h, 20)
		p.high = fixed + high + geom.MM(h*p.k)
		if k := p.k * min(1, a4[1].MM()/p.high.MM()); k > shown*1.05 {
			best, shown = p, k
		}
	}
	return best
}

// times tells the scale of a picture.
func times(k float64) string {
	switch {
	case math.Abs(k-1) < 0.005:
		return "at true size"
	case k > 1:
		return fmt.Sprintf("%.3g : 1", k)
	}
	return "1 : " + long(1/k)
}

// long writes a length or a ratio with at most two decimals, large ones in full.
func long(v float64) string {
	digits := 2
	if v >= 1000 {
		digits = 0
	}
	return part.Trimmed(v, digits)
}

// viewOf returns the part of the drawing that is shown, and how many loops lie outside it: all of it, but when the
// panels would be lost in it, they with some room round them.
func viewOf(r read.Report) (x0, y0, x1, y1 float64, cut int) {
	b := r.Extents
	x0, y0, x1, y1 = b.Min.X, b.Min.Y, b.Max.X, b.Max.Y
	for i := range r.Texts {
		t := &r.Texts[i]
		if math.Abs(t.Text.At.X)+math.Abs(t.Text.At.Y) < 1e7 {
			x0, y0, x1, y1 = min(x0, t.Text.At.X), min(y0, t.Text.At.Y), max(x1, t.Text.At.X), max(y1, t.Text.At.Y+t.Text.Height)
		}
	}
	px0, py0, px1, py1 := math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
	for _, l := range r.Loops {
		if l.Role == panel.RoleOutline {
			px0, py0, px1, py1 = min(px0, l.Box.Min.X), min(py0, l.Box.Min.Y), max(px1, l.Box.Max.X), max(py1, l.Box.Max.Y)
		}
	}
	for _, l := range r.Sheets {
		px0, py0, px1, py1 = min(px0, l.Box.Min.X), min(py0, l.Box.Min.Y), max(px1, l.Box.Max.X), max(py1, l.Box.Max.Y)
	}
	size := max(px1-px0, py1-py0)
	if !(size > 0) || max(x1-x0, y1-y0) < 6*size {
		return x0, y0, x1, y1, 0
	}
	room := float64(size / 4)
	x0, y0, x1, y1 = max(x0, px0-room), max(y0, py0-room), min(x1, px1+room), min(y1, py1+room)
	for _, l := range r.Loops {
		if l.Box.Min.X > x1 || l.Box.Max.X < x0 || l.Box.Min.Y > y1 || l.Box.Max.Y < y0 {
			cut++
		}
	}
	return x0, y0, x1, y1, cut
}

// things draws loops, lines and texts; less when what is not used had to be left out.
func (d *drawing) things(s sketch, r read.Report) (less bool) {
	points := 0
	for _, l := range r.Loops {
		points += len(l.Path.Vertices)
	}
	for _, l := range r.Lines {
		points += len(l.Path.Vertices)
	}
	less = points > mostPoints
	mm := geom.MM
	line := func(c scene.Colour, width float64, dashes ...geom.Nm) scene.Stroke {
		return scene.Stroke{Paint: scene.Solid(c), Width: mm(width), Dashes: dashes, Join: scene.RoundJoin}
	}
	loops := func(role panel.Role, fill scene.Paint, how scene.Stroke) {
		p := &scene.Path{Name: string(role), Fill: fill, Stroke: how, EvenOdd: role == panel.RoleWindow}
		for i := range r.Loops {
			l := &r.Loops[i]
			if l.Role != role {
				continue
			}
			p.Shapes = append(p.Shapes, s.f.Contours(s.closed(l))...)
		}
		d.add(p)
	}
	lines := func(role panel.Role, how scene.Stroke) {
		p := &scene.Path{Open: true, Stroke: how}
		for i := range r.Lines {
			l := &r.Lines[i]
			if l.Role != role {
				continue
			}
			if len(l.Path.Vertices) > 1 {
				p.Shapes = append(p.Shapes, s.f.Contours(s.line(l))...)
			}
		}
		d.add(p)
	}
	loops(panel.RoleOutline, scene.Solid(sheetFill), line(ink, 0.6))
	d.moreSheets(s, r, line(ink, 0.35, mm(2.4), mm(1)))
	loops(panel.RoleWindow, scene.Solid(windowFill), line(windowInk, 0.4))
	loops(panel.RoleOpening, scene.Solid(paper), line(openingInk, 0.4))
	loops(panel.RoleMount, scene.Solid(paper), line(mountInk, 0.5))
	loops(panel.RoleBody, scene.Paint{}, line(bodyInk, 0.35, mm(1.8), mm(1)))
	rooms := &scene.Path{Name: "room", Stroke: line(roomInk, 0.3, mm(0.5), mm(0.7))}
	for _, p := range r.Panels {
		for _, q := range p.Room {
			c := make(geom.Contour, 0, len(q.Contour))
			for _, v := range q.Contour {
				c = append(c, geom.Vertex{Pt: s.pt(p.Origin.X+v.X.MM(), p.Origin.Y+v.Y.MM()), Bulge: v.Bulge})
			}
			rooms.Shapes = append(rooms.Shapes, s.f.Contours(drawable(c))...)
		}
	}
	if len(rooms.Shapes) > 0 {
		d.add(rooms)
	}
	loops(panel.RoleBoard, scene.Paint{}, line(boardInk, 0.35, mm(4), mm(1), mm(1), mm(1)))
	loops(panel.RoleLED, scene.Solid(lampFill), line(lampInk, 0.4))
	if !less {
		unused := line(unusedInk, 0.3, mm(0.8), mm(0.6))
		loops("", scene.Paint{}, unused)
		lines("", unused)
	}
	d.inked(s, r, panel.RoleLettering, letterInk, mm(0.4))
	for _, role := range panel.PrintRoles() {
		d.inked(s, r, role, printInk, mm(0.3))
	}
	for i, t := range r.Texts {
		if i == mostTexts {
			break
		}
		colour := unusedInk
		switch {
		case t.Role.Printed():
			colour = printInk
		case t.Role != "":
			colour = letterInk
		}
		g := s.words(&r.Texts[i])
		if len(g) > 0 {
			d.add(&scene.Path{Label: strings.ReplaceAll(t.Text.Text, "\n", " "), Shapes: s.f.Region(g), Fill: scene.Solid(colour)})
		}
	}
	return less
}

// inked draws what is engraved or printed as it comes out: areas filled, lines with a pen, dashed ones dashed as on the sheets.
func (d *drawing) inked(s sketch, r read.Report, role panel.Role, c scene.Colour, pen geom.Nm) {
	how := scene.Stroke{Paint: scene.Solid(c), Width: pen, Join: scene.RoundJoin}
	areas := &scene.Path{Name: string(role), Fill: scene.Solid(c), EvenOdd: true, Stroke: scene.Stroke{Paint: scene.Solid(c), Width: 100 * geom.Micrometre, Join: scene.RoundJoin}}
	closed, open := &scene.Path{Stroke: how}, &scene.Path{Open: true, Stroke: how.Round()}
	dashed := &scene.Path{Fill: scene.Solid(c)}
	strokes := func(all []read.Stroke) {
		for _, one := range all {
			line := panel.Symbol{Width: pen, Closed: one.Path.Closed, Runs: one.Runs, Shape: drawable(s.line(&read.Line{Path: one.Path}))}
			for _, v := range one.Dashes {
				line.Dashes = append(line.Dashes, geom.MM(v*s.k))
			}
			dashed.Shapes = append(dashed.Shapes, s.f.Region(lettering.SymbolRegion(line, pen))...)
		}
	}
	for i := range r.Loops {
		switch l := &r.Loops[i]; {
		case l.Role != role:
		case l.Filled:
			areas.Shapes = append(areas.Shapes, s.f.Contours(s.closed(l))...)
		case l.Strokes != nil:
			strokes(l.Strokes)
		default:
			closed.Shapes = append(closed.Shapes, s.f.Contours(s.closed(l))...)
		}
	}
	for i := range r.Lines {
		switch l := &r.Lines[i]; {
		case l.Role != role || len(l.Path.Vertices) < 2:
		case l.Strokes != nil:
			strokes(l.Strokes)
		default:
			open.Shapes = append(open.Shapes, s.f.Contours(s.line(l))...)
		}
	}
	for _, p := range []*scene.Path{areas, closed, open, dashed} {
		if len(p.Shapes) > 0 {
			d.add(p)
		}
	}
}

// otherSheets returns the other sheets of panels of which several are drawn side by side.
func otherSheets(r read.Report) []read.Sheet {
	return slices.DeleteFunc(slices.Clone(r.Sheets), func(l read.Sheet) bool { return l.First || l.Over })
}

// moreSheets draws them.
func (d *drawing) moreSheets(s sketch, r read.Report, how scene.Stroke) {
	p := &scene.Path{Name: "sheets", Fill: scene.Solid(sheetFill), Stroke: how}
	for _, l := range otherSheets(r) {
		c := make(geom.Contour, 0, len(l.Path.Vertices))
		for _, v := range l.Path.Vertices {
			c = append(c, geom.Vertex{Pt: s.pt(v.X, v.Y), Bulge: v.Bulge})
		}
		p.Shapes = append(p.Shapes, s.f.Contours(drawable(c))...)
	}
	if len(p.Shapes) > 0 {
		d.add(p)
	}
}

// drawable drops bulges of edges that the scale has shrunk to nothing.
func drawable(c geom.Contour) geom.Contour {
	for i := range c {
		if c[i].Pt == c[(i+1)%len(c)].Pt && len(c) > 2 {
			c[i].Bulge = 0
		}
	}
	return c
}

// flags rings open ends, marks where questions, errors and warnings are, and writes the numbers of the list at its things.
func (d *drawing) flags(s sketch, r read.Report, list []noted, free *room) {
	d.open("open-ends")
	for i, e := range r.Open {
		if i == 2000 {
			break
		}
		if at := s.f.Pt(s.pt(e.At.X, e.At.Y)); s.seen(at) {
			d.line(disc(at.X, at.Y, geom.MM(1.2)), scene.Line(wrongInk, boldPen))
			free.area(geom.Box{Min: at, Max: at}.Grown(geom.MM(1.2)))
		}
	}
	d.close()
	s.drawnOn(r, free)
	d.open("notes-findings")
	n := 0
	for _, e := range list {
		for _, p := range e.places {
			if e.flag == noFlag || n == mostMarks || !free.within.Touches(p.box) {
				continue
			}
			n++
			m := p.box.Centre()
			how := scene.Stroke{Paint: scene.Solid(e.ink), Width: geom.MM(0.5), Join: scene.RoundJoin}
			if e.flag == ringFlag {
				const off = 800 * geom.Micrometre
				shape := disc(m.X, m.Y, p.box.W()/2+off)
				if !p.round {
					b := p.box.Grown(off)
					shape = []geom.Contour{rounded(b.Min.X, b.Min.Y, b.W(), b.H(), 2*off)}
				}
				d.line(shape, how)
				free.line(shape[0])
				continue
			}
			d.line(triangle(m.X, m.Y-geom.MM(1.9), geom.MM(1.6), geom.MM(2.8)), how)
			free.area(p.box)
		}
	}
	d.close()
	d.open("notes-numbers")
	for _, e := range list {
		d.numbers(free, e)
	}
	d.close()
}

// drawnOn marks where the drawing is.
func (s sketch) drawnOn(r read.Report, free *room) {
	points := 0
	for i := range r.Loops {
		l := &r.Loops[i]
		if points += len(l.Path.Vertices); points > mostPoints {
			return
		}
		for _, c := range s.f.Contours(s.closed(l)) {
			if b := c.Box(); l.Round && b.W() < 3*geom.Millimetre {
				free.area(b)
			}
			free.line(c)
		}
	}
	for i := range r.Lines {
		l := &r.Lines[i]
		if points += len(l.Path.Vertices); points > mostPoints {
			return
		}
		free.lineOpen(s.f.Contours(drawable(s.line(l))))
	}
	for i := range r.Texts {
		if i == mostTexts {
			break
		}
		if b := s.words(&r.Texts[i]).Box(); !b.Empty() {
			free.area(s.f.Contours(geom.Rect(b))[0].Box())
		}
	}
}

// triangle returns a triangle of the page on its base: its tip, half its base, its height.
func triangle(x, y, half, high geom.Nm) []geom.Contour {
	return []geom.Contour{scene.Through(x, y, x+half, y+high, x-half, y+high)}
}

// seen reports whether a place lies on the page.
func (s sketch) seen(at geom.Pt) bool {
	return geom.Box{Max: geom.Pt{X: s.f.Box.W(), Y: s.f.Box.H()}}.Contains(at)
}

// keyItem is an item of the legend: a sample and how many of it there are.
type keyItem struct {
	n         int
	one, many string
	stroke    scene.Stroke
	fill      scene.Paint
	mark      bool
}

// surveyKeys returns what there is to explain.
func surveyKeys(r read.Report, findings diag.List) []keyItem {
	n := map[panel.Role]int{}
	for _, l := range r.Loops {
		n[l.Role]++
	}
	words, rooms, sheets := 0, 0, len(otherSheets(r))
	for _, p := range r.Panels {
		rooms += len(p.Room)
	}
	for _, t := range r.Texts {
		switch {
		case t.Role.Printed() || t.Role == "":
			n[t.Role]++
		default:
			words++
		}
	}
	for _, l := range r.Lines {
		n[l.Role]++
	}
	marked, asked := [3]int{}, 0
	for _, f := range findings {
		if f.Question != nil {
			asked += len(f.Question.At)
			continue
		}
		if f.Severity != diag.Note && f.Place.At != nil {
			marked[f.Severity]++
		}
	}
	const pen = 400 * geom.Micrometre
	return []keyItem{
		{n[panel.RoleOutline], "outline", "outlines", scene.Line(ink, pen), scene.Solid(sheetFill), false},
		{sheets, "more sheet of it", "more sheets of panels", scene.Line(ink, pen).Dashed(geom.MM(1), geom.MM(0.6)), scene.Solid(sheetFill), false},
		{n[panel.RoleLED], "LED hole", "LED holes", scene.Line(lampInk, pen), scene.Solid(lampFill), false},
		{n[panel.RoleOpening], "opening", "openings", scene.Line(openingInk, pen), scene.Solid(paper), false},
		{n[panel.RoleMount], "mount", "mounts", scene.Line(mountInk, pen), scene.Solid(paper), false},
		{n[panel.RoleBody], "body", "bodies", scene.Line(bodyInk, pen).Dashed(geom.MM(1), geom.MM(0.6)), scene.Paint{}, false},
		{rooms, "room kept free behind an opening", "rooms kept free behind openings", scene.Line(roomInk, pen).Dashed(geom.MM(0.5), geom.MM(0.5)), scene.Paint{}, false},
		{n[panel.RoleBoard], "board edge", "board edges", scene.Line(boardInk, pen).Dashed(geom.MM(1), geom.MM(0.6)), scene.Paint{}, false},
		{n[panel.RoleLettering] + words, "piece of lettering", "pieces of lettering", scene.Line(letterInk, pen), scene.Solid(letterInk), false},
		{n[panel.RoleWindow], "edge of windows", "edges of windows", scene.Line(windowInk, pen), scene.Solid(windowFill), false},
		{n[panel.RolePrint] + n[panel.RolePrintBack], "thing printed on the board", "things printed on the board", scene.Line(printInk, pen), scene.Paint{}, false},
		{n[""], "thing not used", "things not used", scene.Line(unusedInk, pen).Dashed(geom.MM(0.8), geom.MM(0.6)), scene.Paint{}, false},
		{len(r.Open), "open end", "open ends", scene.Line(wrongInk, pen), scene.Paint{}, false},
		{asked, "thing in question", "things in question", scene.Line(askInk, pen), scene.Paint{}, false},
		{marked[diag.Error], "error", "errors", scene.Line(wrongInk, pen), scene.Paint{}, true},
		{marked[diag.Warning], "warning", "warnings", scene.Line(doubtfulInk, pen), scene.Paint{}, true},
	}
}

// surveyKey writes what the colours mean and how many there are, and returns how many rows it took.
func (d *drawing) surveyKey(keys []keyItem, x0, y, x1 geom.Nm) (rows int) {
	rows = 1
	x := x0
	for _, k := range keys {
		if k.n == 0 {
			continue
		}
		label := strconv.Itoa(k.n) + " " + k.many
		if k.n == 1 {
			label = "1 " + k.one
		}
		room := 4*geom.Millimetre + d.Wide(label, textHeight)
		if x > x0 && x+room > x1 {
			x, y = x0, y+keyStep
			rows++
		}
		if k.mark {
			d.fill(disc(x+geom.Millimetre, y-textHeight/2, geom.MM(1.3)), k.stroke.Paint.Colour) // as their numbers are
		} else {
			d.add(&scene.Path{Shapes: disc(x+geom.Millimetre, y-textHeight/2, geom.MM(1.1)), Fill: k.fill, Stroke: k.stroke})
		}
		d.letters(x+3200*geom.Micrometre, y, textHeight, left, edgeInk, label)
		x += room + 4*geom.Millimetre
	}
	return rows
}
