package lettering

import (
	"lampblack/panel"
	"lampblack/panel/geom"
)

// Stroke is the usual width of an engraved line, to which the drawing gives none: what a CO2 laser that is defocused for
// engraving burns (common practice).
const Stroke = 300 * geom.Micrometre

// SymbolRegion returns the area of a drawn symbol: the inside of a filled shape less its holes, by the even-odd rule, or a line
// drawn with a tool of the symbol's width, or else of width stroke. A filled shape without inside is drawn as a line.
func SymbolRegion(s panel.Symbol, stroke geom.Nm) geom.Region {
	if len(s.Shape) == 0 {
		return nil
	}
	if g := s.Area(); len(g) > 0 {
		return g
	}
	if s.Width > 0 {
		stroke = s.Width
	}
	if stroke <= 0 {
		return nil
	}
	t := tool{stroke, s.Flat}
	if len(s.Shape) == 1 {
		return geom.NewRegion(t.dot(s.Shape[0].Pt))
	}
	var strips []geom.Ring
	for _, r := range ways(s) {
		strips = append(strips, t.drawn(r, s.Dashes)...)
	}
	return geom.UnionOf(strips...)
}
