package sheet

import (
	"context"
	"slices"

	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
	"lampblack/panel/work"
)

// Frame returns the sheet that fills the gap between LED sheet and diffuser where the panel has walls: Panel.Frame, in one piece or in
// several. Pieces within a piece are cut before the window that they lie in, with which they would drop.
func Frame(ctx context.Context, p panel.Panel, opt Options) Sheet {
	s := frameOf(p, opt)
	s.nested = true
	work.Until(ctx, func(w *work.Watch) {
		for _, c := range layered(walls(p)) {
			j := job{}
			j.add(c.pieces, opt)
			if c.depth == 0 {
				s.cut.inner, s.cut.outer = append(s.cut.inner, inOrder(w, j.inner, s.box.Min)...), inOrder(w, j.outer, s.box.Min)
			} else {
				s.cut.inner = slices.Concat(s.cut.inner, inOrder(w, j.inner, s.box.Min), inOrder(w, j.outer, s.box.Min))
			}
		}
	})
	return s
}

// FramePieces returns the same, each piece by itself: they need not be cut from one place of the stock.
func FramePieces(ctx context.Context, p panel.Panel, opt Options) []Sheet {
	var out []Sheet
	work.Until(ctx, func(w *work.Watch) {
		for _, piece := range walls(p) {
			s := frameOf(p, opt)
			s.cut.add(geom.Region{piece}, opt)
			s.cut.inner = inOrder(w, s.cut.inner, s.box.Min)
			out = append(out, s)
		}
	})
	return out
}

// hair is how much wider slots are in a frame, so that no sliver is left between them and the round holes that it has there.
const hair = 20 * geom.Micrometre

// walls are those of the panel with the slots of the LED sheet, to which they are glued.
func walls(p panel.Panel) geom.Region {
	g := p.Frame
	for _, s := range p.Slots {
		if s.Sheet == panel.LEDSheet {
			g = g.Minus(geom.NewRegion(s.Shape(p.Mounts[s.Mount].D + hair).Ring(geom.FlattenTolerance)))
		}
	}
	return g
}

func frameOf(p panel.Panel, opt Options) Sheet {
	opt.Laser = opt.Laser.orUsual()
	return Sheet{of: p.Name, what: "frame", box: p.Outline.Box(), opt: opt}
}

// add adds the cuts of pieces.
func (j *job) add(g geom.Region, opt Options) {
	for _, piece := range g {
		j.outer = append(j.outer, moved(piece.Outer.Contour(arcTolerance), opt.Kerf/2)...)
		for _, h := range piece.Holes {
			j.inner = append(j.inner, moved(h.Reversed().Contour(arcTolerance), -opt.Kerf/2)...)
		}
	}
}

// deep is pieces that lie in as many others.
type deep struct {
	depth  int
	pieces geom.Region
}

// layered returns the pieces by how many others they lie in, the deepest first.
func layered(g geom.Region) []deep {
	var out []deep
	for _, piece := range g {
		depth := 0
		for _, o := range g {
			if o.Outer.Locate(piece.Outer[0]) == geom.Inside {
				depth++
			}
		}
		i := slices.IndexFunc(out, func(d deep) bool { return d.depth == depth })
		if i < 0 {
			i, out = len(out), append(out, deep{depth: depth})
		}
		out[i].pieces = append(out[i].pieces, piece)
	}
	slices.SortFunc(out, func(a, b deep) int { return b.depth - a.depth })
	return out
}

// CheckFrame tells of a frame that is no frame, or not one.
func CheckFrame(p panel.Panel) diag.List {
	var l diag.List
	switch n := len(p.Frame); {
	case n == 0:
		l.Add(diag.Warning, "sheet-no-frame", "nothing is left of the frame's walls").About(diag.PanelKey(p.Name, "frame"), "defaults.frame").Fix("give it wider walls")
	case n > 1:
		l.Add(diag.Note, "sheet-frame-pieces", "the frame comes in %d pieces", n).About(diag.PanelKey(p.Name, "frame"), "defaults.frame").
			Fix("glue each to the LED sheet where the picture of the sheets has it, the one along the rim first; wider walls join what is near")
	}
	return l.WithPanel(p.Name)
}
