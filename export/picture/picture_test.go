package picture

import (
	"encoding/xml"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/board"
	"lampblack/export/scene"
	"lampblack/export/scene/typeset"
	"lampblack/led"
	"lampblack/panel/geom"
)

// desk is a hand-made board of 60 by 40 mm: two LEDs on the top, a resistor and a connector on the bottom, a track on
// each side, a via, an area with a gap round a pad, a cutout and a mount hole, all left of the middle.
func desk() board.Board {
	at := geom.PtMM
	lamp := func(ref string, x, y float64) board.Part {
		return board.Part{
			Ref: ref, Kind: board.LED, Value: "red-3mm", Footprint: "radial-3mm", At: at(x, y),
			Pads: []board.Pad{
				{Pin: "2", Function: "A", At: at(x-1.27, y), Shape: board.Round, W: geom.MM(1.8), H: geom.MM(1.8), Through: true, Drill: geom.MM(0.9), Mask: geom.MM(0.05)},
				{Pin: "1", Function: "K", At: at(x+1.27, y), Shape: board.Square, W: geom.MM(1.8), H: geom.MM(1.8), Through: true, Drill: geom.MM(0.9), Mask: geom.MM(0.05)},
			},
			Body: geom.Circle(at(x, y), geom.MM(3.8)).Ring(geom.FlattenTolerance),
		}
	}
	chip := board.Part{
		Ref: "R1", Kind: board.Resistor, Value: "470R", Footprint: "r-1206", At: at(10, 20), On: geom.Bottom,
		Pads: []board.Pad{
			{Pin: "1", At: at(8.5, 20), Shape: board.Square, W: geom.MM(1.1), H: geom.MM(1.8), On: geom.Bottom, Mask: geom.MM(0.05)},
			{Pin: "2", At: at(11.5, 20), Shape: board.Square, W: geom.MM(1.1), H: geom.MM(1.8), On: geom.Bottom, Mask: geom.MM(0.05)},
		},
		Body: geom.Straight(at(8.4, 19.2), at(11.6, 19.2), at(11.6, 20.8), at(8.4, 20.8)).Ring(1),
	}
	b := board.Board{
		Name:    "desk",
		Outline: geom.Rect(geom.Box{Max: at(60, 40)}),
		Cutouts: []geom.Contour{geom.Rect(geom.Box{Min: at(40, 10), Max: at(50, 30)}).Reversed()},
		Nets:    []led.Net{{}, {Name: "V+"}, {Name: "0V"}},
		Parts:   []board.Part{lamp("D1", 10, 30), lamp("D2", 17, 30), chip},
		Holes:   []board.Hole{{At: at(5, 5), D: geom.MM(3.2)}},
		Tracks: []board.Track{
			{Net: 1, On: geom.Top, Width: geom.MM(0.5), Path: geom.Polyline{at(11.27, 30), at(15.73, 30)}},
			{Net: 1, On: geom.Bottom, Width: geom.MM(0.8), Path: geom.Polyline{at(11.5, 20), at(18.27, 25), at(18.27, 30)}},
		},
		Vias:   []board.Via{{Net: 1, At: at(20, 12), Drill: geom.MM(0.4), D: geom.MM(0.9)}},
		Areas:  []board.Area{{Net: 2, On: geom.Top, Fill: geom.Polygon{Outer: geom.Rect(geom.Box{Min: at(1, 1), Max: at(38, 39)}).Ring(1), Holes: []geom.Ring{geom.Circle(at(8.73, 30), geom.MM(2.4)).Reversed().Ring(geom.FlattenTolerance)}}}},
		Legend: []board.Stroke{{On: geom.Top, Width: geom.MM(0.15), Path: geom.Polyline{at(5, 36), at(9, 36)}}},
	}
	return b
}

// element is one element of an SVG document.
type element struct {
	name string
	attr map[string]string
	path []string // names and ids of what it stands in
}

func elements(t *testing.T, doc []byte) []element {
	t.Helper()
	var out []element
	var path []string
	d := xml.NewDecoder(strings.NewReader(string(doc)))
	for {
		tok, err := d.Token()
		if err == io.EOF {
			return out
		}
		require.NoError(t, err)
		switch e := tok.(type) {
		case xml.StartElement:
			el := element{e.Name.Local, map[string]string{}, append([]string(nil), path...)}
			for _, a := range e.Attr {
				el.attr[a.Name.Local] = a.Value
			}
			out = append(out, el)
			path = append(path, e.Name.Local+"#"+el.attr["id"])
		case xml.EndElement:
			path = path[:len(path)-1]
		}
	}
}

func all(t *testing.T) map[string][]byte {
	return map[string][]byte{"top": Top(t.Context(), desk(), ""), "bottom": Bottom(t.Context(), desk(), ""), "assembly": Assembly(t.Context(), desk())}
}

// A picture must show everywhere: every reference inside it is answered, and nothing is asked of elsewhere.
func TestSelfContained(t *testing.T) {
	for name, doc := range all(t) {
		ids, used := map[string]bool{}, map[string]bool{}
		for _, e := range elements(t, doc) {
			if id := e.attr["id"]; id != "" {
				require.False(t, ids[id], "%s: two things are called %s", name, id)
				ids[id] = true
			}
			for k, v := range e.attr {
				if k == "href" {
					require.True(t, strings.HasPrefix(v, "#"), v)
					used[v[1:]] = true
				}
				if s, ok := strings.CutPrefix(v, "url(#"); ok {
					used[strings.TrimSuffix(s, ")")] = true
				}
				require.NotContains(t, v, "NaN")
			}
			require.NotContains(t, []string{"image", "style", "script", "text"}, e.name)
		}
		for u := range used {
			require.True(t, ids[u], "%s: no %s", name, u)
		}
	}
}

// The bottom is seen from behind: what is on the left from the front is on the right.
func TestBottomIsMirrored(t *testing.T) {
	hole := func(doc []byte) float64 { // the mount hole is the second circle-like subpath of the clip path
		for _, e := range elements(t, doc) {
			if e.name == "path" && e.path[len(e.path)-1] == "clipPath#clip-1" {
				for _, s := range strings.Split(e.attr["d"], "M") {
					if strings.Contains(s, "A1.6 1.6") {
						x, err := strconv.ParseFloat(strings.Fields(s)[0], 64)
						require.NoError(t, err)
						return x
					}
				}
			}
		}
		t.Fatal("no mount hole in the clip path")
		return 0
	}
	top, bottom := hole(Top(t.Context(), desk(), "")), hole(Bottom(t.Context(), desk(), ""))
	// Circles are drawn from their leftmost point on the panel: 5 - 1.6 from the board's left edge.
	require.InDelta(t, around.MM()+3.4, top, 1e-6)
	require.InDelta(t, around.MM()+60-3.4, bottom, 1e-6)
}

// Every drilled hole is cut out of the board, once, so that the background shows.
func TestHolesGoThrough(t *testing.T) {
	b := desk()
	require.Len(t, material(b), 1+1+1+4+1)
	b.Vias = append(b.Vias, b.Vias[0])
	require.Len(t, material(b), 8, "a hole drilled twice must not fill itself again")
	area := 0.0
	for i, c := range material(b) {
		if i == 0 {
			area += c.Area()
		} else {
			area -= c.Area()
		}
	}
	require.InDelta(t, 60*40-10*20-math.Pi/4*(3.2*3.2+4*0.9*0.9+0.4*0.4), area, 1e-6)
}

func TestSidesShowTheirOwn(t *testing.T) {
	top, bottom := string(Top(t.Context(), desk(), "")), string(Bottom(t.Context(), desk(), ""))
	require.Contains(t, top, `stroke-width="0.5"`)
	require.NotContains(t, top, `stroke-width="0.8"`)
	require.Contains(t, bottom, `stroke-width="0.8"`)
	require.NotContains(t, bottom, `stroke-width="0.5"`)
	require.Contains(t, top, scene.CoatOf("").Legend.String())
	require.Len(t, openings(desk(), geom.Top), 4)
	require.Len(t, openings(desk(), geom.Bottom), 6)
}

// A board is drawn in its soldermask, on which the silkscreen, the tracks and what is behind the board can be told apart: WCAG 2
// asks for a contrast of 4.5 between letters and what is behind them.
func TestSoldermasksAreShown(t *testing.T) {
	light := func(c scene.Colour) float64 { // relative luminance, WCAG 2.2
		r, g, b := c.RGB()
		part := func(v uint8) float64 {
			if x := float64(v) / 255; x > 0.04045 {
				return math.Pow((x+0.055)/1.055, 2.4)
			}
			return float64(v) / 255 / 12.92
		}
		return 0.2126*part(r) + 0.7152*part(g) + 0.0722*part(b)
	}
	contrast := func(a, b scene.Colour) float64 {
		x, y := light(a), light(b)
		return (max(x, y) + 0.05) / (min(x, y) + 0.05)
	}
	seen := map[string]bool{}
	for _, word := range []string{"white", "green", "black"} {
		c := scene.CoatOf(word)
		for name, doc := range map[string][]byte{"top": Top(t.Context(), desk(), word), "bottom": Bottom(t.Context(), desk(), word)} {
			require.Contains(t, string(doc), c.Mask.String(), "%s, %s", word, name)
			require.False(t, seen[name+string(doc)])
			seen[name+string(doc)] = true
		}
		require.Greater(t, contrast(c.Legend, c.Mask), 4.5, word)
		require.Greater(t, contrast(c.Legend, c.Area), 4.5, word)
		require.Greater(t, contrast(c.Legend, c.Track), 4.0, word)
		require.Greater(t, contrast(c.Track, c.Mask), 1.5, word)
		require.Greater(t, contrast(night, c.Mask), 1.5, word)
	}
	require.Equal(t, Top(t.Context(), desk(), "white"), Top(t.Context(), desk(), ""))
}

func TestAssemblyNamesEveryPart(t *testing.T) {
	found := map[string]int{}
	for _, e := range elements(t, Assembly(t.Context(), desk())) {
		found[e.attr["aria-label"]]++
	}
	for _, s := range []string{"D1", "D2", "R1 470R", "D1, D2", "470R", "r-1206", "desk — assembly"} {
		require.Positive(t, found[s], s)
	}
}

// Labels of a crowded board must not run over parts, holes or one another.
func TestLabelsStandFree(t *testing.T) {
	b := desk()
	b.Parts = nil
	for i := range 5 {
		for j := range 8 {
			p := desk().Parts[0]
			x, y := 4+float64(j)*6.5, 4+float64(i)*7.5
			p.Ref = fmt.Sprintf("D%d", 8*i+j+1)
			p.Pads = []board.Pad{p.Pads[0], p.Pads[1]}
			p.Pads[0].At, p.Pads[1].At = geom.PtMM(x-1.27, y), geom.PtMM(x+1.27, y)
			p.Body = geom.Circle(geom.PtMM(x, y), geom.MM(3.8)).Ring(geom.FlattenTolerance)
			b.Parts = append(b.Parts, p)
		}
	}
	b.Cutouts, b.Holes = nil, nil
	v := newView(newDrawing(nil, 1, 1, ""), b, geom.Top, geom.Pt{}, 2)
	v.draw("")
	require.Len(t, v.taken, 80)
	for i, p := range v.taken[40:] {
		for j, q := range v.taken {
			if j != 40+i {
				require.Zero(t, overlap(p, q), "%v and %v", p, q)
			}
		}
	}
}

func TestRanges(t *testing.T) {
	require.Equal(t, []string{"D1–D4", "D6", "J1", "J2", "X"}, ranges([]string{"D3", "D1", "J2", "D2", "X", "D4", "D6", "J1"}))
	require.Empty(t, ranges(nil))
}

func TestPartsListWraps(t *testing.T) {
	b := board.Board{}
	for i := range 60 {
		b.Parts = append(b.Parts, board.Part{Ref: fmt.Sprintf("R%d", 3*i), Kind: board.Resistor, Value: "1k", Footprint: "r-1206"})
	}
	l := partsList(b, 170*geom.Millimetre)
	require.Greater(t, len(l.rows), 3)
	var d typeset.Setter
	names := 0
	for _, r := range l.rows[1:] {
		require.LessOrEqual(t, column4+d.Wide(r[4], textHeight), 172*geom.Millimetre)
		names += len(strings.Split(strings.TrimSuffix(r[4], ","), ", "))
	}
	require.Equal(t, 60, names)
}

func TestOddBoards(t *testing.T) {
	for _, b := range []board.Board{{}, {Outline: geom.Straight(geom.PtMM(0, 0))}, {Name: "<&>", Parts: []board.Part{{Ref: "☃", Value: "\x00"}}}} {
		for _, doc := range [][]byte{Top(t.Context(), b, ""), Bottom(t.Context(), b, ""), Assembly(t.Context(), b)} {
			elements(t, doc)
		}
	}
}

func TestSameEveryTime(t *testing.T) {
	for i, doc := range all(t) {
		require.Equal(t, string(doc), string(all(t)[i]))
	}
}

// Text on a page is never mirrored, whatever side is shown.
func TestTextIsNeverMirrored(t *testing.T) {
	for name, doc := range all(t) {
		for _, e := range elements(t, doc) {
			require.NotContains(t, e.attr["transform"], "scale(-", name)
		}
	}
}
