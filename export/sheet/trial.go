package sheet

import (
	"context"
	"fmt"

	"lampblack/panel"
	"lampblack/panel/geom"
)

// Trial pieces are cut before anything else, to measure what the laser does: KerfGauge and EngravingLadder.

// The kerf gauge is a frame about a window that is cut into pieces. Pushed together they leave a gap as wide as all cuts: each cut
// between two pieces takes a kerf, that round the window half of one from either end, and half of one from the frame. With the
// window from x0 to x1 and n pieces the last one ends at x1 - (n + 1/2) kerf, from the line that was drawn.
const (
	gaugePieces = 20
	gaugePiece  = 5.0 // mm, as drawn
	gaugeLeft   = 12.0
	gaugeLow    = 10.0
	gaugeHigh   = 25.0
	gaugeMarks  = 10   // of its scale, beside that of nothing
	gaugeMark   = 0.05 // mm of kerf from mark to mark
)

// KerfGauge returns the piece that measures how wide the laser cuts, of which opt's kerf moves nothing. Its scale is read where
// the last piece ends, in tenths of a millimetre.
func KerfGauge(ctx context.Context, opt Options) Sheet {
	right := gaugeLeft + gaugePieces*gaugePiece
	p := panel.Panel{Name: "Trial piece", Outline: plate(right+12, 44)}
	window := geom.Rect(geom.Box{Min: geom.PtMM(gaugeLeft, gaugeLow), Max: geom.PtMM(right, gaugeHigh)})
	for i := range gaugeMarks + 1 {
		x := right - (gaugePieces+0.5)*float64(i)*gaugeMark
		high := 1.4
		if i%2 == 0 {
			high = 2.4
			p.Lettering = append(p.Lettering, label(x, gaugeHigh+3.6, 1.6, panel.Centre, fmt.Sprint(i/2)))
		}
		p.Symbols = append(p.Symbols, bar(x, gaugeHigh+0.6, 0.15, high))
	}
	p.Lettering = append(p.Lettering,
		label(gaugeLeft, 36, 3.5, panel.Left, "KERF"),
		label(right, 36, 2.2, panel.Right, "tenths of a millimetre, where the last piece ends"),
		label(gaugeLeft, 4, 2.2, panel.Left, "push all pieces together to this side"),
	)
	opt.Kerf, opt.Behind = 0, false
	s := Face(ctx, p, nil, opt)
	s.what, s.painted = "kerf gauge", false
	s.cut.inner = []geom.Contour{window}
	for i := 1; i < gaugePieces; i++ {
		x := gaugeLeft + float64(i)*gaugePiece
		s.cut.open = append(s.cut.open, geom.Contour{{Pt: geom.PtMM(x, gaugeLow)}, {Pt: geom.PtMM(x, gaugeHigh)}})
	}
	return s
}

// What the engraving ladder tries, mm: widths of lines, of what is left between two fields, and heights of capitals.
var (
	ladderLines   = [...]float64{0.05, 0.1, 0.15, 0.2, 0.25, 0.3, 0.4, 0.5, 0.6, 0.8}
	ladderBridges = [...]float64{0.1, 0.15, 0.2, 0.25, 0.3, 0.4, 0.5, 0.6}
	ladderLetters = [...]float64{1.5, 2, 2.5, 3, 4, 5, 6}
)

// EngravingLadder returns the painted piece that shows what the laser engraves: lines from thin to wide, paint left between two
// fields, letters from small to large, and a field that tells frosted engraving from clear.
func EngravingLadder(ctx context.Context, opt Options) Sheet {
	p := panel.Panel{Name: "Trial piece", Outline: plate(132, 78)}
	p.Lettering = append(p.Lettering, label(6, 70, 3.5, panel.Left, "ENGRAVING"), label(126, 70, 2.2, panel.Right, "widths in mm"),
		label(6, 62, 2.2, panel.Left, "lines"), label(6, 41, 2.2, panel.Left, "paint left between"), label(6, 20, 2.2, panel.Left, "capitals"),
		label(126, 41, 2.2, panel.Right, "field"))
	for i, w := range ladderLines {
		x := 10 + 12*float64(i)
		p.Symbols = append(p.Symbols, bar(x, 50, w, 9))
		p.Lettering = append(p.Lettering, label(x, 46, 2, panel.Centre, fmt.Sprint(w)))
	}
	for i, w := range ladderBridges {
		x := 10 + 12*float64(i)
		p.Symbols = append(p.Symbols, bar(x-1.5-w/2, 29, 3, 9), bar(x+1.5+w/2, 29, 3, 9))
		p.Lettering = append(p.Lettering, label(x, 25, 2, panel.Centre, fmt.Sprint(w)))
	}
	p.Symbols = append(p.Symbols, bar(116, 25, 20, 13))
	x := 6.0
	for _, h := range ladderLetters {
		p.Lettering = append(p.Lettering, label(x, 9, h, panel.Left, "Beg8"), label(x, 4, 2, panel.Left, fmt.Sprint(h)))
		x += 3*h + 5
	}
	s := Face(ctx, p, nil, opt)
	s.what = "engraving ladder"
	return s
}

// plate is the edge of a trial piece, mm.
func plate(w, h float64) geom.Contour { return geom.Rect(geom.Box{Max: geom.PtMM(w, h)}) }

// bar is an upright bar about x, from y up, mm.
func bar(x, y, w, h float64) panel.Symbol {
	return panel.Symbol{Closed: true, Filled: true, Shape: geom.Rect(geom.Box{Min: geom.PtMM(x-w/2, y), Max: geom.PtMM(x+w/2, y+h)})}
}

// label is words on a trial piece, mm.
func label(x, y, h float64, to panel.HAlign, words string) panel.Text {
	return panel.Text{Text: words, At: geom.PtMM(x, y), Height: geom.MM(h), Width: 1, Anchor: panel.Anchor{H: to}}
}
