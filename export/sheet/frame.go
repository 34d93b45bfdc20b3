package sheet

import (
	"context"

	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/work"
)

// Frame returns the sheet that fills the gap between LED sheet and diffuser where the panel has walls: Panel.Frame, in one piece or in
// several.
func Frame(ctx context.Context, p panel.Panel, opt Options) Sheet {
	opt.Laser = opt.Laser.orUsual()
	s := Sheet{of: p.Name, what: "frame", box: p.Outline.Box(), nested: true, opt: opt}
	work.Until(ctx, func(w *work.Watch) {
		var j job
		for _, piece := range p.Frame {
			j.outer = append(j.outer, moved(piece.Outer.Contour(arcTolerance), opt.Kerf/2)...)
			for _, h := range piece.Holes {
				j.inner = append(j.inner, moved(h.Reversed().Contour(arcTolerance), -opt.Kerf/2)...)
			}
		}
		j.inner, j.outer = inOrder(w, j.inner, s.box.Min), inOrder(w, j.outer, s.box.Min)
		s.cut = j
	})
	return s
}

// CheckFrame tells of a frame that is no frame, or not one.
func CheckFrame(panel string, s Sheet) diag.List {
	var l diag.List
	switch n := len(s.cut.outer); {
	case n == 0:
		l.Add(diag.Warning, "sheet-no-frame", "nothing is left of the frame's walls").About(diag.PanelKey(panel, "frame"), "defaults.frame").Fix("give it wider walls")
	case n > 1:
		l.Add(diag.Note, "sheet-frame-pieces", "the frame comes in %d pieces", n).About(diag.PanelKey(panel, "frame"), "defaults.frame").
			Fix("glue each to the LED sheet where the picture of the sheets has it, the one along the rim first; wider walls join what is near")
	}
	return l.WithPanel(panel)
}
