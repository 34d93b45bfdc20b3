package route

import (
	"fmt"
	"os"
	"strings"

	"lampblack/board"
	"lampblack/led"
	"lampblack/panel/geom"
)

// dumpSVG writes a plain picture of a board, for the eyes of who works on the router.
func dumpSVG(b board.Board, path string) {
	var s strings.Builder
	bx := b.Outline.Box()
	fmt.Fprintf(&s, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="%g %g %g %g" width="%g"><rect x="-1000" y="-1000" width="3000" height="3000" fill="#fff"/>`, bx.Min.X.MM()-1, -bx.Max.Y.MM()-1, bx.W().MM()+2, bx.H().MM()+2, 1600.)
	poly := func(r geom.Ring, style string) {
		fmt.Fprintf(&s, `<path d="M`)
		for _, p := range r {
			fmt.Fprintf(&s, "%g %g ", p.X.MM(), -p.Y.MM())
		}
		fmt.Fprintf(&s, `Z" %s/>`, style)
	}
	poly(b.Outline.Ring(2000), `fill="#f4f4ea" stroke="#888" stroke-width=".15"`)
	for _, c := range b.Cutouts {
		poly(c.Ring(2000), `fill="#ccc" stroke="#888" stroke-width=".15"`)
	}
	for _, h := range b.Holes {
		fmt.Fprintf(&s, `<circle cx="%g" cy="%g" r="%g" fill="#bbb"/>`, h.At.X.MM(), -h.At.Y.MM(), h.D.MM()/2)
	}
	col := func(n led.NetID, on geom.Side) string {
		m := map[geom.Side][3]string{geom.Top: {"#c0392b", "#e67e22", "#8e44ad"}, geom.Bottom: {"#2058b0", "#0a9", "#444"}}[on]
		switch n {
		case 1:
			return m[1]
		case 2:
			return m[2]
		}
		return m[0]
	}
	for _, p := range b.Parts {
		for _, q := range p.Pads {
			c := "#b08d2a"
			if !q.Through {
				c = "#7aa"
			}
			poly(q.Contour(0).Ring(2000), `fill="`+c+`" fill-opacity=".7"`)
		}
		fmt.Fprintf(&s, `<text x="%g" y="%g" font-size="1" text-anchor="middle">%s</text>`, p.At.X.MM(), -p.At.Y.MM()+2.2, p.Ref)
	}
	for _, on := range []geom.Side{geom.Bottom, geom.Top} {
		for _, t := range b.Tracks {
			if t.On != on {
				continue
			}
			fmt.Fprintf(&s, `<polyline fill="none" stroke-linecap="round" stroke-linejoin="round" stroke-opacity=".75" stroke="%s" stroke-width="%g" points="`, col(t.Net, on), t.Width.MM())
			for _, p := range t.Path {
				fmt.Fprintf(&s, "%g,%g ", p.X.MM(), -p.Y.MM())
			}
			s.WriteString(`"/>`)
		}
	}
	for _, v := range b.Vias {
		fmt.Fprintf(&s, `<circle cx="%g" cy="%g" r="%g" fill="#000"/>`, v.At.X.MM(), -v.At.Y.MM(), v.D.MM()/2)
	}
	s.WriteString("</svg>")
	os.WriteFile(path, []byte(s.String()), 0o644)
}
