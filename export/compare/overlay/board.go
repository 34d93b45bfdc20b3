package overlay

import (
	"slices"

	"lampblack/export"
	"lampblack/export/compare"
	"lampblack/export/readback"
	"lampblack/panel/geom"
	"lampblack/panel/work"
)

// line is how wide edges and bodies are drawn, which have no width of their own.
const line = 300 * geom.Micrometre

// Boards returns what differs of two boards that lie in one place: first edge, holes and parts together, then layer by layer. told says
// whether a kind of change was told, by its code: openings of masks and paste that only follow others make no picture.
func Boards(w *work.Watch, was, is readback.Pack, told func(code string) bool) []Pair {
	frame := readback.Enclosed(is.Artwork)
	if len(frame) == 0 {
		frame = readback.Enclosed(was.Artwork)
	}
	var out []Pair
	if p := pairOf("edge, holes and parts", features(was.Artwork), features(is.Artwork)); !p.Same() {
		out = append(out, p)
	}
	for _, l := range []struct {
		f    export.Function
		code string
		what string
	}{
		{export.CopperTop, "", "copper on the top"}, {export.CopperBottom, "", "copper on the bottom"},
		{export.SilkscreenTop, "print", "silkscreen on the top"}, {export.SilkscreenBottom, "print", "silkscreen on the bottom"},
		{export.SoldermaskTop, "mask", "openings of the soldermask on the top"}, {export.SoldermaskBottom, "mask", "openings of the soldermask on the bottom"},
		{export.PasteTop, "paste", "paste on the top"}, {export.PasteBottom, "paste", "paste on the bottom"},
	} {
		w.Look()
		if l.code != "" && !told(l.code) {
			continue
		}
		a, _ := was.Artwork.Layer(l.f)
		b, _ := is.Artwork.Layer(l.f)
		gone, added := readback.Apart(a, b, compare.Rounding)
		if len(gone)+len(added) > 0 {
			out = append(out, Pair{Title: l.what, Both: readback.Image(a).Minus(gone), Gone: gone, New: added, Edge: frame})
		}
	}
	return out
}

// band is the edge of an area as a line.
func band(g geom.Region) geom.Region { return g.Grown(line / 2).Minus(g.Shrunk(line / 2)) }

// features are what a hand feels of a board: its edge, its holes and the bodies of its parts.
func features(a export.Artwork) geom.Region {
	out := band(readback.Enclosed(a))
	var holes []geom.Ring
	for _, d := range a.Drills {
		for _, h := range d.Hits {
			if t := d.Tools[h.Tool]; t.Function != "ViaDrill" {
				holes = append(holes, geom.Circle(h.At, t.D).Ring(geom.FlattenTolerance))
			}
		}
	}
	out = out.Or(geom.UnionOf(holes...))
	for _, f := range []export.Function{export.ComponentTop, export.ComponentBottom} {
		l, ok := a.Layer(f)
		if !ok {
			continue
		}
		l.Apertures = slices.Clone(l.Apertures)
		for i := range l.Apertures {
			l.Apertures[i].W = line
		}
		l.Objects = slices.DeleteFunc(slices.Clone(l.Objects), func(o export.Object) bool {
			return o.Op != export.Draw || l.Apertures[o.Aperture].Function != "ComponentOutline,Body"
		})
		out = out.Or(readback.Image(l))
	}
	return out
}
