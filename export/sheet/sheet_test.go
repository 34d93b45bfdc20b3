package sheet

import (
	"context"
	"encoding/xml"
	"math"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/panel"
	"lampblack/panel/geom"
	"lampblack/panel/lettering"
	"lampblack/panel/paneltest"
)

// desk is a made-up panel: 100 by 60 mm with round corners of 6 mm, a display, a toggle, two mounts and three LEDs.
func desk() panel.Panel {
	q := math.Tan(math.Pi / 8)
	v := func(x, y, b float64) geom.Vertex { return geom.Vertex{Pt: geom.PtMM(x, y), Bulge: b} }
	return panel.Panel{
		Name: "desk",
		Outline: geom.Contour{v(6, 0, 0), v(94, 0, q), v(100, 6, 0), v(100, 54, q), v(94, 60, 0), v(6, 60, q), v(0, 54, 0),
			v(0, 6, q)},
		Openings: []panel.Opening{
			{Contour: geom.Rect(geom.Box{Min: geom.PtMM(30, 20), Max: geom.PtMM(60, 40)})},
			{Contour: geom.Circle(geom.PtMM(80, 30), geom.MM(12.2))},
		},
		Bodies: []geom.Contour{geom.Rect(geom.Box{Min: geom.PtMM(71, 16), Max: geom.PtMM(89, 44)})},
		Mounts: []panel.Hole{{At: geom.PtMM(8, 8), D: geom.MM(3.2)}, {At: geom.PtMM(92, 52), D: geom.MM(3.2)}},
		LEDs:   []panel.Hole{{At: geom.PtMM(15, 30), D: geom.MM(3)}, {At: geom.PtMM(22, 30), D: geom.MM(3)}, {At: geom.PtMM(80, 52), D: geom.MM(3)}},
		Lettering: []panel.Text{
			{Text: "PARK", At: geom.PtMM(12, 28), Height: geom.MM(4), Width: 1},
			{Text: "L", At: geom.PtMM(20, 48), Height: geom.MM(4), Width: 1},
		},
		Symbols: []panel.Symbol{{Shape: geom.Straight(geom.PtMM(12, 26), geom.PtMM(22, 26))}},
	}
}

const (
	deskArea = 100*60 - (4-math.Pi)*6*6
	display  = 30 * 20.0
)

// drawn is what a sheet's SVG holds, read back: shapes by group, in the order of the file, Y up again.
type drawn struct {
	w, h   float64
	order  []string
	groups map[string][]geom.Contour
}

func (d drawn) area(id string) float64 {
	sum := 0.0
	for _, c := range d.groups[id] {
		sum += c.SignedArea()
	}
	return math.Abs(sum)
}

func read(t *testing.T, svg []byte) drawn {
	t.Helper()
	d := drawn{groups: map[string][]geom.Contour{}}
	dec := xml.NewDecoder(strings.NewReader(string(svg)))
	var stack []string
	for {
		tok, err := dec.Token()
		if tok == nil {
			break
		}
		require.NoError(t, err)
		if _, ok := tok.(xml.EndElement); ok {
			stack = stack[:len(stack)-1]
			continue
		}
		e, ok := tok.(xml.StartElement)
		if !ok {
			continue
		}
		attr := map[string]string{}
		for _, a := range e.Attr {
			attr[a.Name.Local] = a.Value
		}
		num := func(s string) float64 {
			v, err := strconv.ParseFloat(s, 64)
			require.NoError(t, err)
			return v
		}
		switch e.Name.Local {
		case "svg":
			d.w, d.h = num(strings.TrimSuffix(attr["width"], "mm")), num(strings.TrimSuffix(attr["height"], "mm"))
			box := strings.Fields(attr["viewBox"])
			require.Len(t, box, 4)
			require.Equal(t, d.w, num(box[2]), "one user unit is a millimetre")
			require.Equal(t, d.h, num(box[3]))
		case "g":
			d.order = append(d.order, attr["id"])
		case "circle":
			id := stack[len(stack)-1]
			c := geom.PtMM(num(attr["cx"]), d.h-num(attr["cy"]))
			d.groups[id] = append(d.groups[id], geom.Circle(c, geom.MM(2*num(attr["r"]))))
		case "path":
			id := stack[len(stack)-1]
			d.groups[id] = append(d.groups[id], pathOf(t, attr["d"], d.h)...)
		}
		stack = append(stack, attr["id"])
	}
	return d
}

// pathOf reads the path commands M L l A Z of SVG 1.1, section 8.3.
func pathOf(t *testing.T, s string, h float64) []geom.Contour {
	t.Helper()
	var out []geom.Contour
	var cur geom.Contour
	var x, y float64
	at := func() geom.Pt { return geom.PtMM(x, h-y) }
	for i := 0; i < len(s); {
		cmd := s[i]
		j := i + 1
		for j < len(s) && !strings.ContainsRune("MLlAZ", rune(s[j])) {
			j++
		}
		var a []float64
		for _, f := range strings.Fields(s[i+1 : j]) {
			v, err := strconv.ParseFloat(f, 64)
			require.NoError(t, err, s)
			a = append(a, v)
		}
		i = j
		switch cmd {
		case 'M':
			x, y = a[0], a[1]
			cur = geom.Contour{{Pt: at()}}
		case 'L', 'l':
			for k := 0; k+1 < len(a); k += 2 {
				if cmd == 'l' {
					x, y = x+a[k], y+a[k+1]
				} else {
					x, y = a[k], a[k+1]
				}
				cur = append(cur, geom.Vertex{Pt: at()})
			}
		case 'A':
			require.Len(t, a, 7)
			chord := math.Hypot(a[5]-x, a[6]-y)
			sweep := 2 * math.Asin(min(1, chord/(2*a[0])))
			if a[3] == 1 {
				sweep = 2*math.Pi - sweep
			}
			if a[4] == 1 {
				sweep = -sweep // Y is turned up again
			}
			cur[len(cur)-1].Bulge = math.Tan(sweep / 4)
			x, y = a[5], a[6]
			cur = append(cur, geom.Vertex{Pt: at()})
		case 'Z':
			if n := len(cur); n > 1 && cur[n-1].Pt == cur[0].Pt {
				cur = cur[:n-1]
			}
			out = append(out, cur)
		default:
			t.Fatalf("command %c", cmd)
		}
	}
	return out
}

// The sheets as SVG.

func face(ctx context.Context, p panel.Panel, e *lettering.Engraving, opt Options) []byte {
	return Face(ctx, p, e, opt).SVG(ctx)
}
func diffuser(ctx context.Context, p panel.Panel, opt Options) []byte {
	return Diffuser(ctx, p, opt).SVG(ctx)
}
func leds(ctx context.Context, p panel.Panel, opt Options) []byte { return LED(ctx, p, opt).SVG(ctx) }

func TestFace(t *testing.T) {
	p := desk()
	d := read(t, face(t.Context(), p, nil, Options{}))
	require.Equal(t, []string{"1-engrave", "2-cut-inner", "3-cut-outer"}, d.order, "in working order")
	require.InDelta(t, deskArea, d.area("3-cut-outer"), 0.01)
	require.InDelta(t, display+math.Pi/4*(12.2*12.2+2*3.2*3.2), d.area("2-cut-inner"), 0.01)
	want := lettering.Outline(p.Lettering[0]).Area() + lettering.Outline(p.Lettering[1]).Area() + 10*0.3 + math.Pi*0.15*0.15 // lines are 0.3 mm wide, with round ends
	require.InDelta(t, want, d.area("1-engrave"), 0.02)

	outer := d.groups["3-cut-outer"]
	require.Len(t, outer, 1)
	require.InDelta(t, 100, outer[0].Box().W().MM(), 1e-3)
	require.InDelta(t, 60, outer[0].Box().H().MM(), 1e-3)
	arcs := 0
	for _, e := range outer[0].Edges() {
		if !e.Straight() {
			arcs++
		}
	}
	require.Equal(t, 4, arcs, "arcs stay arcs")
}

// Read from the front, the foot of an L points right; from behind, left.
func TestTextReadsRight(t *testing.T) {
	p := desk()
	p.Lettering, p.Symbols = p.Lettering[1:], nil
	for _, mirror := range []bool{false, true} {
		d := read(t, face(t.Context(), p, nil, Options{Behind: mirror}))
		require.Len(t, d.groups["1-engrave"], 1)
		l := d.groups["1-engrave"][0].Ring(geom.FlattenTolerance)
		g := geom.NewRegion(l)
		b := g.Box()
		foot := geom.Region{{Outer: geom.Rect(geom.Box{Min: b.Min, Max: geom.Pt{X: b.Max.X, Y: b.Min.Y + b.H()/10}}).Ring(1)}}
		require.Greater(t, g.And(foot).Area(), 0.9*foot.Area(), "the foot is below: Y is not turned over")
		stem := b.Min.X + b.W()/10
		if mirror {
			stem = b.Max.X - b.W()/10
		}
		require.Equal(t, geom.Inside, g.Locate(geom.Pt{X: stem, Y: b.Centre().Y}), "mirror %v", mirror)
	}
}

func TestKerf(t *testing.T) {
	const k = 0.2
	d := read(t, leds(t.Context(), desk(), Options{Kerf: geom.MM(k)}))
	// Outside out by k/2, holes in by k/2: references, section 12. The beam's own width then leaves the drawn size:
	// the outer line's round corners have radius 6 + k/2, and the display's corners stay sharp.
	require.InDelta(t, (100+k)*(60+k)-(4-math.Pi)*(6+k/2)*(6+k/2), d.area("3-cut-outer"), 0.02)
	r := func(dia float64) float64 { return math.Pi / 4 * (dia - k) * (dia - k) }
	require.InDelta(t, (30-k)*(20-k)+r(12.2)+2*r(3.2)+3*r(3), d.area("2-cut-inner"), 0.02)
}

func TestRecess(t *testing.T) {
	d := read(t, leds(t.Context(), desk(), Options{}))
	require.Len(t, d.groups["2-cut-inner"], 2+2+3)
	cut := desk()
	// The toggle's opening lies within its body: one cut for both.
	cut.BodyDepth = panel.BehindDiffuser
	d = read(t, leds(t.Context(), cut, Options{}))
	require.Len(t, d.groups["2-cut-inner"], 2+2+3)
	require.InDelta(t, display+18*28+math.Pi/4*(2*3.2*3.2+3*9), d.area("2-cut-inner"), 0.01)
	require.Empty(t, Check(t.Context(), cut, nil, Options{}))
	// The diffuser lies before such a body, and is cut for one that begins behind the face; the face never is.
	bare, front := desk(), read(t, face(t.Context(), desk(), nil, Options{})).area("2-cut-inner")
	require.InDelta(t, read(t, diffuser(t.Context(), bare, Options{})).area("2-cut-inner"), read(t, diffuser(t.Context(), cut, Options{})).area("2-cut-inner"), 1e-9)
	cut.BodyDepth = panel.BehindFace
	require.InDelta(t, display+18*28+math.Pi/4*(2*3.2*3.2), read(t, diffuser(t.Context(), cut, Options{})).area("2-cut-inner"), 0.01)
	require.InDelta(t, display+18*28+math.Pi/4*(2*3.2*3.2+3*9), read(t, leds(t.Context(), cut, Options{})).area("2-cut-inner"), 0.01)
	require.InDelta(t, front, read(t, face(t.Context(), cut, nil, Options{})).area("2-cut-inner"), 1e-9)
}

// Bodies that part a sheet, or take it from a screw, are told where they are cut out, and only there.
func TestBodiesPartSheets(t *testing.T) {
	p := desk()
	p.Bodies = append(p.Bodies, geom.Rect(geom.Box{Min: geom.PtMM(8, -1), Max: geom.PtMM(12, 61)}), geom.Circle(p.Mounts[0].At, geom.MM(5)))
	require.Empty(t, Check(t.Context(), p, nil, Options{}))
	p.BodyDepth = panel.BehindDiffuser
	l := Check(t.Context(), p, nil, Options{})
	require.Len(t, l, 2)
	require.Equal(t, "sheet-falls-apart", l[0].Code)
	require.Contains(t, l[0].Text, "part the LED sheet into 2 pieces")
	require.Equal(t, "sheet-body-at-mount", l[1].Code)
	require.Equal(t, p.Mounts[0].At.X.MM(), l[1].Place.At.X)
	p.BodyDepth = panel.BehindFace
	require.Contains(t, Check(t.Context(), p, nil, Options{})[0].Text, "part the diffuser and the LED sheet into 2 pieces")
}

func TestOverlappingCutsAreOne(t *testing.T) {
	p := desk()
	// A second display that overlaps the first by half, and a notch drawn as an opening across the edge.
	p.Openings = append(p.Openings,
		panel.Opening{Contour: geom.Rect(geom.Box{Min: geom.PtMM(45, 20), Max: geom.PtMM(65, 40)})},
		panel.Opening{Contour: geom.Rect(geom.Box{Min: geom.PtMM(40, -5), Max: geom.PtMM(50, 5)})})
	d := read(t, diffuser(t.Context(), p, Options{}))
	require.Len(t, d.groups["2-cut-inner"], 2+2)
	require.InDelta(t, deskArea-50, d.area("3-cut-outer"), 0.02)
	l := Check(t.Context(), p, nil, Options{})
	require.Len(t, l, 1)
	require.Equal(t, "sheet-cuts-overlap", l[0].Code)
}

// The next cut is never farther than any other from where the laser stands, and a circle is cut as one element.
func TestOrder(t *testing.T) {
	p := desk()
	p.LEDs = nil
	for i := range 40 {
		p.LEDs = append(p.LEDs, panel.Hole{At: geom.PtMM(10+float64(i*37%80), 10+float64(i*23%5)), D: geom.MM(3)})
	}
	out := inOrder(nil, ledCuts(p)[0], geom.Pt{})
	require.Len(t, out, 40)
	way := func(cs []geom.Contour) float64 {
		sum := 0.0
		for i := 1; i < len(cs); i++ {
			sum += cs[i][0].Dist(cs[i-1][0].Pt)
		}
		return sum
	}
	require.Less(t, way(out), way(ledCuts(p)[0])/4)
}

func TestCheck(t *testing.T) {
	require.Empty(t, Check(t.Context(), desk(), nil, Options{Kerf: geom.MM(0.2)}))
	p := desk()
	p.Lettering = append(p.Lettering,
		panel.Text{Text: "☃", At: geom.PtMM(20, 12), Height: geom.MM(4), Width: 1},
		panel.Text{Text: "tiny", At: geom.PtMM(20, 12), Height: geom.MM(1), Width: 1},
		panel.Text{Text: "OVER", At: geom.PtMM(28, 28), Height: geom.MM(4), Width: 1},
		panel.Text{Text: "EDGE", At: geom.PtMM(93, 9), Height: geom.MM(4), Width: 1})
	p.Mounts[0].D = geom.MM(0.15)
	var codes []string
	for _, f := range Check(t.Context(), p, nil, Options{Kerf: geom.MM(0.2)}) {
		codes = append(codes, f.Code)
		require.NotNil(t, f.Place.At, f.Code)
		require.NotEmpty(t, f.Advice, f.Code)
	}
	require.Equal(t, []string{"sheet-letter-unknown", "sheet-thin-letters", "sheet-lettering-cut-away",
		"sheet-lettering-off-panel", "sheet-hole-narrower-than-cut"}, codes)
}

// A letter cut out as an L, 1.24 x 3 mm of a stroke of 0.15 mm, is told by its stroke, not by its box; a round hole by its diameter.
func TestNarrowTellsTheStroke(t *testing.T) {
	p := desk()
	p.Lettering, p.Symbols = nil, nil
	p.Mounts[0].D = geom.MM(0.15)
	p.Openings = []panel.Opening{{Contour: geom.Straight(geom.PtMM(40, 20), geom.PtMM(41.24, 20), geom.PtMM(41.24, 20.15), geom.PtMM(40.15, 20.15), geom.PtMM(40.15, 23), geom.PtMM(40, 23))}}
	var told []string
	for _, f := range Check(t.Context(), p, nil, Options{Kerf: geom.MM(0.2)}) {
		told = append(told, f.Text)
	}
	require.Contains(t, told, "a cut-out of 1.24 x 3.00 mm, whose stroke is 0.15 mm wide, is too narrow for the laser's cut of 0.2 mm and is left out of the sheets")
	require.Contains(t, told, "a hole 0.15 mm across is too narrow for the laser's cut of 0.2 mm and is left out of the sheets")
}

func TestFallsApart(t *testing.T) {
	p := desk()
	p.Openings = []panel.Opening{{Contour: geom.Rect(geom.Box{Min: geom.PtMM(40, -5), Max: geom.PtMM(50, 65)})}}
	p.Lettering, p.Symbols = nil, nil
	var codes []string
	l := Check(t.Context(), p, nil, Options{})
	for _, f := range l {
		codes = append(codes, f.Code)
	}
	paneltest.Subjects(t, l)
	require.Contains(t, codes, "sheet-falls-apart")
	require.Len(t, read(t, face(t.Context(), p, nil, Options{})).groups["3-cut-outer"], 2)
}

func TestNothing(t *testing.T) {
	for _, p := range []panel.Panel{{}, {Outline: geom.Straight(geom.PtMM(0, 0), geom.PtMM(5, 5))}} {
		for _, b := range [][]byte{face(t.Context(), p, nil, Options{}), diffuser(t.Context(), p, Options{Kerf: 5}), leds(t.Context(), p, Options{Behind: true})} {
			require.NoError(t, xml.Unmarshal(b, new(struct{})))
		}
	}
}

func TestSameEveryTime(t *testing.T) {
	require.Equal(t, string(face(t.Context(), desk(), nil, Options{Kerf: 100})), string(face(t.Context(), desk(), nil, Options{Kerf: 100})))
}

// What the beam leaves is what was drawn. A display of 20 x 12 mm and a round hole of 10 mm are burnt by a beam 0.2 mm wide: the
// beam's middle runs 0.1 mm inside the drawn line, on every side; the panel's edge is followed 0.1 mm outside. Read from the
// lines of the files as written.
func TestCutAtTheDrawnSize(t *testing.T) {
	const k = 0.2
	p := panel.Panel{
		Name:    "plate",
		Outline: geom.Rect(geom.Box{Max: geom.PtMM(80, 40)}),
		Openings: []panel.Opening{
			{Contour: geom.Rect(geom.Box{Min: geom.PtMM(10, 14), Max: geom.PtMM(30, 26)})},
			{Contour: geom.Circle(geom.PtMM(60, 20), geom.MM(10))},
		},
	}
	for name, sheet := range map[string][]byte{"face": face(t.Context(), p, nil, Options{Kerf: geom.MM(k)}), "diffuser": diffuser(t.Context(), p, Options{Kerf: geom.MM(k)}), "LED": leds(t.Context(), p, Options{Kerf: geom.MM(k)})} {
		d := read(t, sheet)
		require.Len(t, d.groups["3-cut-outer"], 1, name)
		edge := d.groups["3-cut-outer"][0].Box()
		require.InDelta(t, 80+k, edge.W().MM(), 1e-3, name)
		require.InDelta(t, 40+k, edge.H().MM(), 1e-3, name)
		inner := d.groups["2-cut-inner"]
		require.Len(t, inner, 2, name)
		for _, c := range inner {
			want := geom.Box{Min: geom.PtMM(10+k/2, 14+k/2), Max: geom.PtMM(30-k/2, 26-k/2)}
			if c.Box().Centre().X > geom.MM(45) {
				want = geom.Box{Min: geom.PtMM(55+k/2, 15+k/2), Max: geom.PtMM(65-k/2, 25-k/2)}
			}
			// Places on the sheet count from the panel's edge, which the outer cut leaves k/2 inside of it.
			at := edge.Min.Add(geom.Vec{X: geom.MM(k / 2), Y: geom.MM(k / 2)})
			for _, q := range [][2]geom.Pt{{want.Min, c.Box().Min}, {want.Max, c.Box().Max}} {
				require.InDelta(t, q[0].X.MM(), (q[1].X - at.X).MM(), 2e-3, name)
				require.InDelta(t, q[0].Y.MM(), (q[1].Y - at.Y).MM(), 2e-3, name)
			}
		}
	}
}

// A line without a width of its own is engraved as wide as the panel says, 0.3 mm where nothing else is asked for, and as long
// as drawn with half of that round each end.
func TestEngravedWidth(t *testing.T) {
	p := desk()
	p.Lettering = nil
	b := read(t, face(t.Context(), p, nil, Options{})).groups["1-engrave"]
	require.Len(t, b, 1)
	require.InDelta(t, 0.3, b[0].Box().H().MM(), 2e-3)
	require.InDelta(t, 10.3, b[0].Box().W().MM(), 2e-3)
}
