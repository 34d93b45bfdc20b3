package pdf

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

func svg(body string) []byte {
	return []byte(`<?xml version="1.0"?><svg xmlns="http://www.w3.org/2000/svg" width="20mm" height="10mm" viewBox="0 0 20 10">` + body + `</svg>`)
}

// drawn returns the page's content after its first line, which turns millimetres into points.
func drawn(t *testing.T, body string) string {
	t.Helper()
	w, h, content := render(svg(body))
	require.Equal(t, 20.0, w)
	require.Equal(t, 10.0, h)
	first, rest, ok := strings.Cut(string(content), "\n")
	require.True(t, ok)
	require.Equal(t, "2.83465 0 0 -2.83465 0 28.34646 cm", first) // 72/25.4; ISO 32000-1, 8.3.2.3: 1/72 inch, Y up
	return rest
}

// Operators of ISO 32000-1, 8.5: m l c h, f and f* fill, S strokes, B does both; rg and RG colours, w width, d dashes.
func TestShapes(t *testing.T) {
	require.Equal(t, "0.000 0.000 0.000 rg 1 2 m 3 4 l 5 4 l 5 6 l h f\n", drawn(t, `<path d="M1 2L3 4H5V6Z"/>`))
	require.Equal(t, "1.000 0.000 0.502 rg 1 2 m 2 4 l 2.5 4 l h f*\n", drawn(t, `<path d="m1 2l1 2h.5z" fill="#ff0080" fill-rule="evenodd"/>`))
	require.Equal(t, "0.000 0.000 1.000 RG 0.3 w 1 J 0 j [2 1] 0 d 0 0 m 1 1 l S\n",
		drawn(t, `<g fill="none" stroke="#0000ff"><path d="M0 0L1 1" stroke-width="0.3" stroke-linecap="round" stroke-dasharray="2 1"/></g>`))
	require.Equal(t, "q\n1 0 0 1 3 4 cm\n2 0 0 2 0 0 cm\n0.000 0.000 0.000 rg 1 1 m 3 1 l 3 2 l 1 2 l h f\nQ\n",
		drawn(t, `<g transform="translate(3 4) scale(2)"><rect x="1" y="1" width="2" height="1"/></g>`))
	require.Equal(t, "q\n1 0 0 1 5 0 cm\n1.000 0.000 0.000 rg 0 0 m 1 0 l h f\nQ\n",
		drawn(t, `<g fill="#ff0000"><use href="#a" x="5"/></g><defs><path id="a" d="M0 0L1 0Z"/></defs>`))
	require.Empty(t, drawn(t, `<path d="M0 0L1 1" fill="none"/><path d=""/><title>t</title>`))
}

// Arcs: ends, and every point of the curves within 0.03 % of the radius from the circle.
func TestArcs(t *testing.T) {
	for _, c := range []struct {
		data   string
		cx, cy float64
		n      int
	}{
		{"M1 0A1 1 0 0 1 0 1", 0, 0, 1},  // a quarter, clockwise on the page
		{"M1 0A1 1 0 0 0 0 -1", 0, 0, 1}, // and the other way
		{"M1 0A1 1 0 1 0 0 1", 0, 0, 3},  // the long way round
		{"M1 0A1 1 0 1 1 -1 0", 0, 0, 2}, // half
		{"M0 0A1 1 0 0 1 1 1", 0, 1, 1},
	} {
		body := drawn(t, `<path d="`+c.data+`" fill="none" stroke="#000000"/>`)
		body = body[strings.Index(body, "0 d ")+4:]
		require.Equal(t, c.n, strings.Count(body, " c "), c.data)
		var x, y float64
		_, err := fmt.Sscanf(body, "%g %g m", &x, &y)
		require.NoError(t, err)
		body = body[strings.Index(body, "m ")+2:]
		for range c.n {
			var p [6]float64
			_, err := fmt.Sscanf(body, "%g %g %g %g %g %g c", &p[0], &p[1], &p[2], &p[3], &p[4], &p[5])
			require.NoError(t, err)
			body = body[strings.Index(body, "c ")+2:]
			for k := range 21 {
				s := float64(k) / 20
				at := func(a, b, c, d float64) float64 {
					u := 1 - s
					return u*u*u*a + 3*u*u*s*b + 3*u*s*s*c + s*s*s*d
				}
				require.InDelta(t, 1, math.Hypot(at(x, p[0], p[2], p[4])-c.cx, at(y, p[1], p[3], p[5])-c.cy), 3e-4, c.data)
			}
			x, y = p[4], p[5]
		}
	}
}

// What it cannot draw it refuses; nothing is left out in silence.
func TestRefuses(t *testing.T) {
	for _, body := range []string{
		`<text>x</text>`, `<path d="M0 0Q1 1 2 2"/>`, `<path d="M0 0L1 1" opacity="0.5"/>`, `<g transform="rotate(5)"/>`,
		`<g clip-path="url(#a)"/>`, `<path d="M0 0L1 1" fill="red"/>`, `<use href="#gone"/>`, `<rect rx="1" width="1" height="1"/>`,
	} {
		require.Panics(t, func() { render(svg(body)) }, body)
	}
}
