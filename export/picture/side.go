package picture

import (
	"context"
	"fmt"
	"slices"

	"lampblack/board"
	"lampblack/board/height"
	"lampblack/export/scene"
	"lampblack/export/scene/svg"
	"lampblack/panel"
	"lampblack/panel/geom"
	"lampblack/panel/work"
)

// SideView is a panel as it is put together, cut through along a line.
type SideView struct {
	Panel  panel.Panel
	Boards []board.Board
	Cut    height.Cut
	Told   geom.Nm // how deep the case is behind the face's front; 0: not told
	Behind geom.Nm // where the boards that the line meets end, behind the face's front; 0: it meets none
}

// Side returns the side view: sheets and boards cut along the line, with all that it meets, at scale and the front up; pale what
// stands beside the line; distances from sheet to sheet and the depth of the whole; and where the line lies.
func Side(ctx context.Context, v SideView) []byte {
	return wanted(ctx, func(w *work.Watch) []byte { return svg.Encode(w, sidePage(w, v, false)) })
}

// Colours of the side view: they differ in lightness too, since it is printed.
const (
	acrylicFill  scene.Colour = 0xe3edf3
	opalFill     scene.Colour = 0xf7f7f7
	plateFill    scene.Colour = 0xc2c2c2
	laminateFill scene.Colour = 0x9cb59c
	lensFill     scene.Colour = 0xf3c9bd
	plugFill     scene.Colour = 0xb9aec9
	wireFill     scene.Colour = 0xd9b06c
	steelFill    scene.Colour = 0xc9c5bd
	solderFill   scene.Colour = 0xa9a9a9
	controlFill  scene.Colour = 0xe6dfcf
	handleFill   scene.Colour = 0x9a9285
	beyondFill   scene.Colour = 0xeeebe4
)

// Measures of the side view, on paper.
const (
	sideLeft  = 38 * geom.Millimetre // for the distances
	sideRight = 38 * geom.Millimetre // for the depths
	sideAbove = 3 * geom.Millimetre
	planWide  = 80 * geom.Millimetre
	planHigh  = 42 * geom.Millimetre
	hatchStep = 1200 * geom.Micrometre
)

// side is a side view in the making.
type side struct {
	*drawing
	v     SideView
	f     scene.Frame // X along the line, Y before the face's front
	scale int         // halves
}

// sideScale returns how much larger than life a side view is drawn, in halves, so that it comes onto A4 across where it can.
func sideScale(long, deep geom.Nm) int {
	for _, twice := range []int{6, 5, 4, 3} {
		if scaled(long, twice)+sideLeft+sideRight <= a4High-2*sheetMargin && scaled(deep, twice) <= 90*geom.Millimetre {
			return twice
		}
	}
	return 2
}

// sidePage is the side view on a sheet of paper to print, or no larger than it is.
func sidePage(watch *work.Watch, v SideView, print bool) scene.Page {
	long, deep := v.Cut.Len(), max(v.Cut.Depth, v.Told)+v.Cut.Before
	scale := sideScale(long, deep)
	f := scene.Frame{Box: geom.Box{Min: geom.Pt{Y: -max(v.Cut.Depth, v.Told)}, Max: geom.Pt{X: long, Y: v.Cut.Before}}, Halves: scale}
	s := side{newDrawing(watch, 0, 0, v.Panel.Name+": side view"), v, f, scale}
	notes := s.notes(v.Cut.Pieces)
	under := geom.Nm(rowsOf(notes))*lineStep + 5*geom.Millimetre
	w := max(sideLeft+f.Scaled(long)+sideRight, planWide+90*geom.Millimetre)
	h := sideAbove + f.Scaled(deep) + under + 8*geom.Millimetre + planHigh
	s.page.W, s.page.H = w+2*sheetMargin, h+sheetHead+2*sheetMargin
	ground := paper
	if print {
		s.page.W, s.page.H = paperFor(w, h)
		ground = white
	}
	s.ground(ground)
	s.heading(v.Panel.Name+" — side view", fmt.Sprintf("cut along A–B, %s%s mm long, drawn %s, the front up", stepped(v.Cut), millimetres(v.Cut.Len()), ratio(scale)))
	x := (s.page.W-w)/2 + sideLeft
	y := sheetMargin + sheetHead + sideAbove
	s.f.At = geom.Pt{X: x, Y: y}
	s.beyond()
	s.layers()
	s.pieces()
	s.turns()
	s.ends()
	s.distances()
	s.depths()
	bottom := y + f.Scaled(deep)
	s.noted(notes, bottom+3*geom.Millimetre)
	s.plan(geom.Pt{X: (s.page.W - w) / 2, Y: bottom + under + 8*geom.Millimetre})
	s.words((s.page.W-w)/2+planWide+8*geom.Millimetre, bottom+under+10*geom.Millimetre, w-planWide-8*geom.Millimetre)
	x, y = (s.page.W-w)/2+planWide+8*geom.Millimetre, s.page.H-sheetMargin-5*geom.Millimetre
	if print {
		x = sheetMargin
	}
	s.bar(x, y, scale, "50 mm")
	return s.page
}

// stepped says in how many steps a cut goes; nothing of a straight one.
func stepped(c height.Cut) string {
	switch n := len(c.Steps()); n {
	case 0:
		return ""
	case 1:
		return "with one step, "
	default:
		return fmt.Sprintf("with %d steps, ", n)
	}
}

// block is a part of the line between two depths.
func block(r height.Range, from, to geom.Nm) geom.Contour {
	return geom.Rect(geom.BoxOf(geom.Pt{X: r.From, Y: -to}, geom.Pt{X: r.To, Y: -from}))
}

// beyond draws pale what stands beside the line.
func (s *side) beyond() {
	var shapes []geom.Contour
	for _, q := range s.v.Cut.Beyond {
		switch q.What {
		case height.Lead, height.Pin, height.Joint:
			continue
		}
		if s.seen(q).To > s.seen(q).From {
			shapes = append(shapes, block(s.seen(q), q.From, q.To))
		}
	}
	s.open("beyond").Label = "what stands beside the line"
	for _, c := range shapes {
		s.fill(s.f.Contours(c), beyondFill)
	}
	s.close()
}

// seen is what of a piece is seen between the ends of the line.
func (s *side) seen(q height.Slice) height.Range {
	return height.Range{From: max(0, q.Along.From), To: min(s.v.Cut.Len(), q.Along.To)}
}

// layers draws sheets and boards: faint where they lie beside the line, hatched where it goes through them.
func (s *side) layers() {
	s.open("sheets")
	defer s.close()
	long := s.v.Cut.Len()
	for _, y := range s.v.Cut.Layers {
		r := height.Range{From: max(0, y.Extent.From), To: min(long, y.Extent.To)}
		if r.To > r.From {
			s.add(&scene.Path{Shapes: s.f.Contours(block(r, y.From, y.To)), Fill: scene.Solid(white), Stroke: scene.Line(faint, crossPen)})
		}
	}
	for i, y := range s.v.Cut.Layers {
		var cut []geom.Contour
		for _, r := range y.Cut {
			cut = append(cut, block(r, y.From, y.To))
		}
		if len(cut) == 0 {
			continue
		}
		shapes := s.f.Contours(cut...)
		fill, hatched := layerFill(y)
		s.open("").Label = y.Name
		s.fill(shapes, fill)
		if hatched {
			s.hatch(shapes, i%2 == 1)
		}
		s.line(shapes, scene.Line(ink, finePen))
		s.close()
	}
}

// layerFill returns the colour of a sheet, and whether it is hatched.
func layerFill(y height.Layer) (scene.Colour, bool) {
	switch {
	case y.Board:
		return laminateFill, false
	case y.Name == "diffuser":
		return opalFill, true
	case y.Name == "plate":
		return plateFill, false
	}
	return acrylicFill, true
}

// hatch draws thin lines aslant across shapes of the page, to the other side for every second sheet.
func (s *side) hatch(shapes []geom.Contour, back bool) {
	g := s.open("")
	g.Clip = shapes
	box := geom.EmptyBox()
	for _, c := range shapes {
		box = box.Union(c.Box())
	}
	var lines [][]geom.Nm
	h := box.H()
	for x := (box.Min.X - h) / hatchStep * hatchStep; x < box.Max.X+h; x += hatchStep {
		if back {
			lines = append(lines, []geom.Nm{x, box.Min.Y, x + h, box.Max.Y})
		} else {
			lines = append(lines, []geom.Nm{x, box.Max.Y, x + h, box.Min.Y})
		}
	}
	s.runs(scene.Line(faint, crossPen), lines...)
	s.close()
}

// order is how pieces lie over each other: what is put on last covers what it is put on.
func order(what string) int {
	return slices.Index([]string{height.Spacer, height.Body, "terminals", height.Wire, height.Plug, height.Joint, height.Lead, height.Pin, height.Flange,
		height.Washer, "lock washer", height.Nut, "bush", height.Shank, "shaft", "handle", height.Lens, height.Head}, what)
}

// pieces draws what the line cuts.
func (s *side) pieces() {
	s.open("parts")
	defer s.close()
	all := slices.Clone(s.v.Cut.Pieces)
	slices.SortStableFunc(all, func(a, b height.Slice) int { return order(a.What) - order(b.What) })
	for _, q := range all {
		c := block(q.Along, q.From, q.To)
		if r := (q.Along.To - q.Along.From) / 2; q.What == height.Lens && q.From+r < q.To {
			c = geom.Contour{
				{Pt: geom.Pt{X: q.Along.From, Y: -q.To}}, {Pt: geom.Pt{X: q.Along.To, Y: -q.To}},
				{Pt: geom.Pt{X: q.Along.To, Y: -q.From - r}, Bulge: 1}, {Pt: geom.Pt{X: q.Along.From, Y: -q.From - r}},
			}
		}
		s.add(&scene.Path{Label: q.Of + ": " + q.What, Shapes: s.f.Contours(c), Fill: scene.Solid(pieceFill(q.Piece)), Stroke: scene.Line(ink, finePen)})
	}
}

// pieceFill returns the colour of a piece.
func pieceFill(q height.Piece) scene.Colour {
	switch q.What {
	case height.Lens:
		return lensFill
	case height.Flange:
		return map[height.Whose]scene.Colour{height.LED: lensFill, height.Control: steelFill}[q.Whose]
	case height.Plug:
		return plugFill
	case height.Wire:
		return wireFill
	case height.Joint:
		return solderFill
	case "handle":
		return handleFill
	case height.Body:
		return map[height.Whose]scene.Colour{height.LED: lensFill, height.Resistor: resFill, height.Connector: connFill, height.Control: controlFill}[q.Whose]
	case "terminals":
		return controlFill
	}
	return steelFill
}
