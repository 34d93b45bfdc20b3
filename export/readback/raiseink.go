package readback

import (
	"slices"

	"lampblack/board"
	"lampblack/export"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
)

// legend lifts the silkscreen: draws and flashes are strokes, regions areas. What is cleared by anything but a region that touches no
// line before it, as some programs clear the pads at the end, is judged by neither: it and the ink that it touches are left out, which
// is told.
func (u *raiser) legend() {
	for _, side := range geom.BothSides() {
		l, _ := u.art.Layer(export.SilkscreenTop + export.Function(side))
		rubbed := rubber(l)
		whole := func(b geom.Box) bool {
			for _, c := range rubbed {
				if c.Touches(b) {
					return false
				}
			}
			return true
		}
		if len(rubbed) > 0 {
			at := rubbed[0].Centre()
			u.found.Add(diag.Note, "readback-legend-cleared", "silkscreen is cleared after lines were printed: there it is not judged").
				At(at.X.MM(), at.Y.MM()).Fix("nothing to do")
		}
		for _, d := range u.darks(l, func(geom.Pt) {}) {
			if !whole(d.box) {
				continue
			}
			for _, p := range d.polygons(u.watch) {
				u.b.Ink = append(u.b.Ink, board.Ink{On: side, Fill: p})
			}
		}
		for _, c := range chains(l) {
			if w := l.Apertures[c.o.Aperture].W; w > 0 && !c.o.Clear && whole(c.path.Box().Grown(w/2)) {
				u.b.Legend = append(u.b.Legend, board.Stroke{On: side, Width: w, Path: c.path})
			}
		}
		for _, o := range l.Objects {
			if o.Op == export.Flash && !o.Clear && l.Apertures[o.Aperture].W > 0 && whole(geom.BoxOf(o.To).Grown(l.Apertures[o.Aperture].W/2)) {
				u.b.Legend = append(u.b.Legend, board.Stroke{On: side, Width: l.Apertures[o.Aperture].W, Path: geom.Polyline{o.To}})
			}
		}
	}
}

// rubber returns the boxes of what clears ink and is no region that leaves all lines before it alone, as holes of areas do.
func rubber(l export.Layer) []geom.Box {
	var out, lines []geom.Box
	for _, o := range l.Objects {
		if o.Op == export.Region {
			box := o.Contour.Box()
			if o.Clear && slices.ContainsFunc(lines, box.Touches) {
				out = append(out, box)
			}
			continue
		}
		a := l.Apertures[o.Aperture]
		box := geom.BoxOf(o.To)
		if o.Op == export.Draw {
			box = geom.Arc{From: o.From, To: o.To, Bulge: o.Bulge}.Box()
		}
		box = box.Grown(max(a.W, a.H) / 2)
		if lines = append(lines, box); o.Clear {
			out = append(out, box)
		}
	}
	return out
}
