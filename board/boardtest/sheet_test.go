package boardtest_test

import (
	"fmt"
	"strings"

	"lampblack/board"
	"lampblack/led"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
)

// contactSheet draws boards in rows of five, each with its figures: copper on the top red, on the bottom blue, findings ringed.
func contactSheet(runs []outcome) []byte {
	const cell, head, cols = 380.0, 34.0, 5
	rows := (len(runs) + cols - 1) / cols
	var s strings.Builder
	fmt.Fprintf(&s, `<svg xmlns="http://www.w3.org/2000/svg" width="%g" height="%g" font-family="sans-serif" font-size="11">`+"\n", cell*cols, (cell+head)*float64(rows))
	s.WriteString(`<rect width="100%" height="100%" fill="white"/>` + "\n")
	for i, o := range runs {
		x, y := cell*float64(i%cols), (cell+head)*float64(i/cols)
		fmt.Fprintf(&s, `<text x="%g" y="%g">seed %d: %d LEDs, %s, signal %.2f, vias %d+%d, errors %d</text>`+"\n", x+6, y+13, o.Seed, len(o.Panel.LEDs), o.Shape,
			o.routed.SignalRatio, o.routed.SignalVias, o.routed.Vias-o.routed.SignalVias, o.found.Count(diag.Error))
		fmt.Fprintf(&s, `<text x="%g" y="%g">%s %s %s hops %.2f</text>`+"\n", x+6, y+27, o.Request.Defaults.Kind.Name, o.stage, first(o), o.hops())
		box := o.Panel.Outline.Box().Grown(geom.Millimetre)
		k := (cell - 8) / max(box.W().MM(), box.H().MM())
		fmt.Fprintf(&s, `<g transform="translate(%g %g) scale(%g %g) translate(%g %g)" fill="none">`+"\n", x+4, y+head, k, -k, -box.Min.X.MM(), -box.Max.Y.MM())
		drawBoard(&s, o)
		s.WriteString("</g>\n")
	}
	s.WriteString("</svg>\n")
	return []byte(s.String())
}

func first(o outcome) string {
	for _, f := range append(o.refusal[:len(o.refusal):len(o.refusal)], o.found...) {
		if f.Severity == diag.Error {
			return f.Code
		}
	}
	return ""
}

func drawBoard(s *strings.Builder, o outcome) {
	b := o.board
	path(s, o.Panel.Outline.Ring(geom.FlattenTolerance*100), true, `stroke="#bbb" stroke-width="0.2"`)
	for _, c := range b.Keepout {
		path(s, c.Ring(geom.FlattenTolerance*100), true, `fill="#eee"`)
	}
	for _, c := range append([]geom.Contour{b.Outline}, b.Cutouts...) {
		path(s, c.Ring(geom.FlattenTolerance*100), true, `stroke="black" stroke-width="0.2"`)
	}
	for _, h := range b.Holes {
		fmt.Fprintf(s, `<circle cx="%g" cy="%g" r="%g" stroke="black" stroke-width="0.15"/>`+"\n", h.At.X.MM(), h.At.Y.MM(), h.D.MM()/2)
	}
	if areas := showAreas(b); areas {
		for _, a := range b.Areas {
			for _, r := range a.Fill.Rings() {
				path(s, r, true, fmt.Sprintf(`stroke="%s" stroke-width="0.1" opacity="0.5"`, colour(a.On, a.Net)))
			}
		}
	}
	for _, t := range b.Tracks {
		path(s, geom.Ring(t.Path), false, fmt.Sprintf(`stroke="%s" stroke-width="%g" stroke-linecap="round" stroke-linejoin="round" opacity="0.8"`, colour(t.On, t.Net), t.Width.MM()))
	}
	for _, p := range b.Parts {
		path(s, p.Body, true, `stroke="#888" stroke-width="0.12"`)
		for _, d := range p.Pads {
			path(s, d.Contour(0).Ring(geom.FlattenTolerance*50), true, `fill="#333" fill-opacity="0.7"`)
		}
	}
	for _, v := range b.Vias {
		fmt.Fprintf(s, `<circle cx="%g" cy="%g" r="%g" fill="#0a0"/>`+"\n", v.At.X.MM(), v.At.Y.MM(), v.D.MM()/2)
	}
	for _, f := range append(o.refusal[:len(o.refusal):len(o.refusal)], o.found...) {
		if f.Place.At != nil && f.Severity == diag.Error {
			fmt.Fprintf(s, `<circle cx="%g" cy="%g" r="3" stroke="#f0f" stroke-width="0.8"/>`+"\n", f.Place.At.X, f.Place.At.Y)
		}
	}
}

// showAreas: outlines of areas only add to what one can see on small boards.
func showAreas(b board.Board) bool { return len(b.Parts) < 40 }

func colour(on geom.Side, net led.NetID) string {
	switch {
	case on == geom.Top && net == led.Return:
		return "#f88"
	case on == geom.Top && net == led.Supply:
		return "#fa0"
	case on == geom.Top:
		return "#c00"
	case net == led.Supply:
		return "#6af"
	case net == led.Return:
		return "#6cc"
	}
	return "#00c"
}

func path(s *strings.Builder, r geom.Ring, shut bool, style string) {
	s.WriteString(`<path d="`)
	for i, p := range r {
		c := "L"
		if i == 0 {
			c = "M"
		}
		fmt.Fprintf(s, "%s%.3f %.3f", c, p.X.MM(), p.Y.MM())
	}
	if shut {
		s.WriteString("Z")
	}
	fmt.Fprintf(s, `" %s/>`+"\n", style)
}
