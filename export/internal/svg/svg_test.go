package svg

import (
	"encoding/xml"
	"io"
	"math"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/panel/geom"
)

func TestNum(t *testing.T) {
	for _, c := range []struct {
		v      geom.Nm
		digits int
		want   string
	}{
		{0, 4, "0"}, {49, 4, "0"}, {-49, 4, "0"}, {50, 4, "0.0001"}, {-50, 4, "-0.0001"}, {1_500_000, 4, "1.5"},
		{-12_345_678, 3, "-12.346"}, {999_999_999, 4, "1000"}, {geom.MaxCoord, 4, "1073.7418"}, {1, 6, "0.000001"},
		{123_456, 0, "0"}, {500_000, 0, "1"},
	} {
		require.Equal(t, c.want, Num(c.v, c.digits), "%d", c.v)
		f, err := strconv.ParseFloat(Num(c.v, c.digits), 64)
		require.NoError(t, err)
		require.InDelta(t, c.v.MM(), f, 0.5*math.Pow10(-c.digits)+1e-12)
	}
}

// A quarter circle that turns counter-clockwise on the panel. SVG 1.1, section 8.3.8: sweep flag 1 turns toward
// positive angles, and with Y down those run clockwise.
func TestArcs(t *testing.T) {
	c := geom.Contour{{Pt: geom.PtMM(10, 0), Bulge: math.Sqrt2 - 1}, {Pt: geom.PtMM(0, 10)}, {}}
	f := Frame{Box: geom.Box{Max: geom.PtMM(20, 20)}}
	require.Equal(t, "M10 20A10 10 0 0 0 0 10L0 20Z", f.Path(c))
	f.Mirror = true
	require.Equal(t, "M10 20A10 10 0 0 1 20 10L20 20Z", f.Path(c))
	require.Equal(t, "M10 20A10 10 0 0 1 20 10L20 20", f.Open(c))

	f.Mirror = false
	c[0].Bulge = -3 // more than half a turn, clockwise
	require.Contains(t, f.Path(c), " 0 1 1 0 10")
	require.Equal(t, "M2 15A3 3 0 0 0 8 15A3 3 0 0 0 2 15Z", f.Path(geom.Circle(geom.PtMM(5, 5), geom.MM(6))))
}

func TestRings(t *testing.T) {
	f := Frame{Box: geom.Box{Max: geom.PtMM(20, 20)}}
	require.Equal(t, "M1 19l2 0 0 -2Z", f.Rings(geom.Ring{geom.PtMM(1, 1), geom.PtMM(3, 1), geom.PtMM(3, 3)}))
	require.Equal(t, "M1 19h0", f.Line(geom.Polyline{geom.PtMM(1, 1)}))
	require.Equal(t, "", f.Rings(nil, geom.Ring{{}, {}}))
	require.Equal(t, "", f.Path(nil)+f.Open(nil)+f.Line(nil))

	// A thousand short steps must end where they should: the rounding of a step is not carried on.
	f.Digits = 2
	var l geom.Polyline
	for i := range 1001 {
		l = append(l, geom.Pt{X: geom.Nm(i) * 7777})
	}
	x := 0.0
	for i, s := range splitNumbers(f.Line(l)) {
		if i%2 == 0 {
			x += s
		}
	}
	require.InDelta(t, 7.777, x, 0.0051)
}

func splitNumbers(s string) (out []float64) {
	num := ""
	for _, r := range s + " " {
		if r == '-' || r == '.' || r >= '0' && r <= '9' {
			num += string(r)
			continue
		}
		if v, err := strconv.ParseFloat(num, 64); err == nil {
			out = append(out, v)
		}
		num = ""
	}
	return out
}

func TestDocumentIsXML(t *testing.T) {
	var w Writer
	w.Start(geom.MM(10), geom.MM(5), `a "title" <&> `+"\x00\x07\ufffe", "")
	w.Open("g", "id", `x"y`, "class", "")
	w.Text("text", "a\nb")
	w.Empty("path", "d", "M0 0")
	w.Close("g")
	out := string(w.End())
	require.NotContains(t, out, "class")
	d := xml.NewDecoder(strings.NewReader(out))
	depth := 0
	for {
		tok, err := d.Token()
		if err == io.EOF {
			break
		}
		require.NoError(t, err)
		switch tok.(type) {
		case xml.StartElement:
			depth++
		case xml.EndElement:
			depth--
		}
	}
	require.Zero(t, depth)
}

// A second point that rounds to the first must not make the third one absolute.
func TestRingWithEqualFirstPoints(t *testing.T) {
	f := Frame{Box: geom.Box{Max: geom.PtMM(10, 10)}, Digits: 2}
	require.Equal(t, "M5 5l1 0 0 -1Z", f.Rings(geom.Ring{geom.PtMM(5, 5), geom.PtMM(5.001, 5), geom.PtMM(6, 5), geom.PtMM(6, 6)}))
}
