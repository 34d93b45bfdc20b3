package dxf

import (
	"bytes"
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/panel/diag"
)

// file makes a drawing of a header and entities, each "code value" pair divided by commas: "0 LINE,8 LED,10 1".
func file(version, extra string, entities ...string) []byte {
	var b strings.Builder
	put := func(list string) {
		for _, p := range strings.Split(list, ",") {
			if c, v, ok := strings.Cut(p, " "); ok {
				fmt.Fprintf(&b, "%3s\n%s\n", c, v)
			}
		}
	}
	put("0 SECTION,2 HEADER,9 $ACADVER,1 " + version + ",9 $INSUNITS,70 4,0 ENDSEC")
	put(extra)
	put("0 SECTION,2 ENTITIES")
	for _, e := range entities {
		put(e)
	}
	put("0 ENDSEC,0 EOF")
	return []byte(b.String())
}

func one(t *testing.T, entity string) Entity {
	t.Helper()
	d, l := Read(t.Context(), file("AC1015", "", entity), "focus.dxf")
	require.Empty(t, l)
	require.Len(t, d.Entities, 1)
	return d.Entities[0]
}

// TestEntities checks the codes of the DXF Reference, each entity by a property that doesn't come from our own code.
func TestEntities(t *testing.T) {
	const tol = 1e-9
	// LINE: 10, 20 start, 11, 21 end; 5 handle, 8 layer.
	e := one(t, "0 LINE,5 2F,8 Edge,10 1,20 2,11 4,21 6")
	require.Equal(t, "Edge", e.Layer)
	require.Equal(t, "2F", e.Handle)
	require.Equal(t, 19, e.Line)
	require.InDelta(t, 5, e.Path.Perimeter(), tol)

	// CIRCLE: 40 radius.
	e = one(t, "0 CIRCLE,10 7,20 8,40 1.5")
	require.Equal(t, Box{Min: XY{X: 5.5, Y: 6.5}, Max: XY{X: 8.5, Y: 9.5}}, e.Path.Box())
	require.InDelta(t, math.Pi*2.25, e.Path.SignedArea(), tol)

	// ARC: 50, 51 in degrees counter-clockwise; from 270 over 0 to 90 is the right half.
	e = one(t, "0 ARC,10 0,20 0,40 2,50 270,51 90")
	require.InDelta(t, 2*math.Pi, e.Path.Perimeter(), tol)
	require.InDelta(t, 2, e.Path.Box().Max.X, tol)
	require.InDelta(t, 0, e.Path.Box().Min.X, tol)

	// LWPOLYLINE: bulge 0.414214 is a quarter circle, sagitta |b|·c/2, r = c(1+b²)/(4|b|) (references.md section 9).
	e = one(t, "0 LWPOLYLINE,90 2,70 0,10 0,20 0,42 0.4142135623730951,10 1,20 1")
	require.InDelta(t, 1, e.Path.Edges()[0].Radius(), tol)
	require.InDelta(t, math.Pi/2, e.Path.Edges()[0].Sweep(), tol)
	require.InDelta(t, 0.4142135623730951*math.Sqrt2/2, e.Path.Edges()[0].Mid().Dist(XY{X: 0.5, Y: 0.5}), tol)
	require.InDelta(t, 0, e.Path.Edges()[0].Centre().Dist(XY{X: 0, Y: 1}), tol)

	// POLYLINE: 70 bit 1 closed, VERTEX 42 bulge, SEQEND.
	e = one(t, "0 POLYLINE,66 1,70 1,0 VERTEX,10 0,20 0,42 1,0 VERTEX,10 3,20 0,42 1,0 SEQEND")
	require.InDelta(t, 3*math.Pi, e.Path.Perimeter(), tol)
	// Spline-fit: vertices with flag 16 belong to the frame and not to the curve.
	e = one(t, "0 POLYLINE,66 1,70 4,0 VERTEX,10 0,20 9,70 16,0 VERTEX,10 0,20 0,70 8,0 VERTEX,10 3,20 0,70 8,0 SEQEND")
	require.InDelta(t, 3, e.Path.Perimeter(), tol)

	// ELLIPSE: 11 relative end of the major axis, 40 ratio, 41, 42 parameters. Area of the full one is πab.
	e = one(t, "0 ELLIPSE,10 5,20 5,11 4,21 0,40 0.5,41 0,42 6.283185307179586")
	require.True(t, e.Path.Closed)
	require.InDelta(t, math.Pi*8, e.Path.SignedArea(), 0.002*20)
	require.InDelta(t, 1, e.Path.Box().Min.X, 0.002)
	require.InDelta(t, 3, e.Path.Box().Min.Y, 0.002)
	// The half from parameter 0 to π runs over the top, and with extrusion (0,0,-1) below.
	require.InDelta(t, 2, one(t, "0 ELLIPSE,10 0,20 0,11 4,21 0,40 0.5,41 0,42 3.141592653589793").Path.Box().Max.Y, 0.002)
	require.InDelta(t, -2, one(t, "0 ELLIPSE,10 0,20 0,11 4,21 0,40 0.5,41 0,42 3.141592653589793,230 -1").Path.Box().Min.Y, 0.002)

	// SPLINE: a clamped cubic with four control points is a Bézier curve; its middle is (p0+3p1+3p2+p3)/8.
	e = one(t, "0 SPLINE,70 8,71 3,72 8,73 4,40 0,40 0,40 0,40 0,40 1,40 1,40 1,40 1,10 0,20 0,10 0,20 4,10 8,20 4,10 8,20 0")
	require.LessOrEqual(t, offPath(e.Path, XY{X: 4, Y: 3}), 0.0021)
	// Rational of degree 2 with weights 1, √½, 1 is an exact quarter circle (Piegl and Tiller, section 7.3).
	e = one(t, "0 SPLINE,70 4,71 2,72 6,73 3,40 0,40 0,40 0,40 1,40 1,40 1,41 1,41 0.7071067811865476,41 1,10 5,20 0,10 5,20 5,10 0,20 5")
	for _, v := range e.Path.Vertices {
		require.InDelta(t, 5, v.Len(), 0.0021)
	}
	require.InDelta(t, 5*math.Pi/2, e.Path.Perimeter(), 0.001)
}

// offPath is the least distance from p to points along the path.
func offPath(p Path, q XY) float64 {
	best := math.Inf(1)
	for _, e := range p.Edges() {
		for i := range 1001 {
			a := ellipse{}
			at := e.From.Add(e.To.Sub(e.From).Times(float64(i) / 1000))
			if e.Bulge != 0 {
				a = ellipseOf(e)
				at, _ = a.at(a.t1 * float64(i) / 1000)
			}
			best = min(best, at.Dist(q))
		}
	}
	return best
}

// TestInsert checks the order of base point, scale, array, turn and move (DXF Reference, INSERT) against positions
// worked out by hand.
func TestInsert(t *testing.T) {
	block := "0 SECTION,2 BLOCKS,0 BLOCK,2 LAMP,10 1,20 0,0 LINE,8 0,10 2,20 0,11 2,21 1,0 CIRCLE,8 LED,10 1,20 0,40 1,0 ENDBLK,0 ENDSEC"
	d, l := Read(t.Context(), file("AC1015", block, "0 INSERT,8 PARTS,2 lamp,10 10,20 20,41 2,42 3,50 90,70 2,71 1,44 7"), "x.dxf")
	require.Empty(t, l)
	require.Len(t, d.Entities, 4)
	// (2,0)-(1,0) = (1,0), scaled (2,0), turned (0,2), moved (10,22); the end (1,1) scaled (2,3), turned (-3,2).
	line := d.Entities[0]
	require.Equal(t, "PARTS", line.Layer, "layer 0 takes the INSERT's layer")
	require.InDelta(t, 0, line.Path.Vertices[0].Dist(XY{X: 10, Y: 22}), 1e-12)
	require.InDelta(t, 0, line.Path.Vertices[1].Dist(XY{X: 7, Y: 22}), 1e-12)
	// The second column lies 7 further along the turned X.
	require.InDelta(t, 0, d.Entities[2].Path.Vertices[0].Dist(XY{X: 10, Y: 29}), 1e-12)
	// The circle becomes an ellipse with half axes 2 along Y and 3 along X.
	oval := d.Entities[1]
	require.Equal(t, "LED", oval.Layer)
	require.InDelta(t, 6, oval.Path.Box().W(), 0.004)
	require.InDelta(t, 4, oval.Path.Box().H(), 0.004)
	require.InDelta(t, 6*math.Pi, oval.Path.SignedArea(), 0.002*16)
	for i := range 100 {
		s, c := math.Sincos(float64(i) * 2 * math.Pi / 100)
		require.LessOrEqual(t, offPath(oval.Path, XY{X: 10 + 3*c, Y: 20 + 2*s}), CurveTolerance+0.01, "sampled 0.01 apart")
	}
}

// TestTextAnchors: with 72 or 73 set the anchor is 11/21, else 10/20 (DXF Reference, TEXT).
func TestTextAnchors(t *testing.T) {
	for _, c := range []struct {
		codes string
		at    XY
		h     HAlign
		v     VAlign
	}{
		{"", XY{X: 1, Y: 2}, Left, Baseline},
		{",72 1,11 5,21 6", XY{X: 5, Y: 6}, Centre, Baseline},
		{",72 2,11 5,21 6", XY{X: 5, Y: 6}, Right, Baseline},
		{",72 4,11 5,21 6", XY{X: 5, Y: 6}, Centre, Middle},
		{",72 0,73 3,11 5,21 6", XY{X: 5, Y: 6}, Left, TopLine},
		{",72 1,73 2,11 5,21 6", XY{X: 5, Y: 6}, Centre, Middle},
		{",72 2,73 1,11 5,21 6", XY{X: 5, Y: 6}, Right, BottomLine},
	} {
		x := one(t, "0 TEXT,10 1,20 2,40 3,1 DOME,50 30"+c.codes).Text
		require.InDelta(t, math.Pi/6, x.Angle, 1e-12)
		require.InDelta(t, 1, x.Width, 1e-12)
		require.InDelta(t, 3, x.Height, 1e-12)
		got := *x
		got.Angle, got.Width, got.Height = 0, 0, 0
		require.Equal(t, Text{Text: "DOME", At: c.at, H: c.h, V: c.v}, got, c.codes)
	}
	// 71 bit 2: mirrored; extrusion (0,0,-1) negates x and mirrors too.
	require.True(t, one(t, "0 TEXT,10 1,20 2,40 3,1 DOME,71 2").Text.Mirror)
	x := one(t, "0 TEXT,10 -1,20 2,40 3,1 DOME,210 0,220 0,230 -1").Text
	require.True(t, x.Mirror)
	require.Equal(t, XY{X: 1, Y: 2}, x.At)
	// MTEXT: 71 attachment 1 to 9 from the top left row by row; chunks of 3 come before 1.
	m := one(t, "0 MTEXT,10 1,20 2,40 3,71 6,3 FOCUS ,1 MOTOR,11 0,21 1").Text
	require.Equal(t, "FOCUS MOTOR", m.Text)
	require.Equal(t, Right, m.H)
	require.Equal(t, Middle, m.V)
	require.InDelta(t, math.Pi/2, m.Angle, 1e-12)
}

// TestTextCodes: references.md section 9, "TEXT codes", "caret notation", "MTEXT".
func TestTextCodes(t *testing.T) {
	for in, want := range map[string]string{
		"90%%d": "90°", "%%C12": "Ø12", "%%p5": "±5", "%%uDOME%%u": "DOME", "5%%%": "5%", "A^IB": "A B", "2^ 3": "2^3", "%%065": "A",
	} {
		require.Equal(t, want, singleLine(in), in)
	}
	for in, want := range map[string]string{
		`OPEN\PSHUT`: "OPEN\nSHUT", `{\fArial|b0;DEW} \H2x;HEATER`: "DEW HEATER", `\A1;1\S1/2;`: "11/2", `a\~b`: "a b",
		`\\ \{x\}`: `\ {x}`, `\LLAMP\l`: "LAMP", `\C1;RED\C256;`: "RED", `\pxqc;MID`: "MID", `trailing\`: `trailing\`,
	} {
		got, _ := multiLine(in)
		require.Equal(t, want, got, in)
	}
	_, tall := multiLine(`{\H1.5x;BIG}`)
	require.InDelta(t, 1.5, tall, 1e-12)
}

// TestEncodings: by code page to AC1018, UTF-8 from AC1021, \U+nnnn in both.
func TestEncodings(t *testing.T) {
	for _, c := range []struct{ version, page, raw, want string }{
		{"AC1015", "ANSI_1252", "K\xfchlung", "Kühlung"},
		{"AC1015", "ANSI_1251", "\xcf\xd3\xd1\xca", "ПУСК"},
		{"AC1015", "ANSI_1250", "\x8akola", "Škola"},
		{"AC1015", "ANSI_932", "\x83h\x81[\x83\x80", "ドーム"},
		{"AC1015", "ANSI_936", "\xcc\xec\xce\xc4", "天文"},
		{"AC1015", "ANSI_949", "\xb5\xbc", "돔"},
		{"AC1015", "ANSI_950", "\xa4\xd1", "天"},
		{"AC1032", "ANSI_1252", "Kühlung ☀", "Kühlung ☀"},
		{"AC1015", "ANSI_1252", `\U+00D8 12`, "Ø 12"},
		{"AC1032", "ANSI_1252", `\U+00D8 12`, "Ø 12"},
	} {
		src := file(c.version, "0 SECTION,2 HEADER,9 $DWGCODEPAGE,3 "+c.page+",0 ENDSEC", "0 TEXT,10 0,20 0,40 3,1 "+c.raw)
		d, l := Read(t.Context(), src, "x.dxf")
		require.Empty(t, l, c.raw)
		require.Equal(t, c.want, d.Entities[0].Text.Text)
	}
	// UTF-8 in a file that declares a code page is read as what it is, and told.
	d, l := Read(t.Context(), file("AC1015", "", "0 TEXT,10 0,20 0,40 3,1 Kühlung"), "x.dxf")
	require.Equal(t, "Kühlung", d.Entities[0].Text.Text)
	require.Equal(t, "dxf-encoding", l[0].Code)
}

// TestUnits: values of $INSUNITS by references.md section 9, lengths by their legal definitions.
func TestUnits(t *testing.T) {
	for code, mm := range map[int]float64{1: 25.4, 2: 304.8, 4: 1, 5: 10, 6: 1000, 8: 25.4e-6, 9: 0.0254, 10: 914.4, 13: 0.001, 14: 100, 21: 304.8006096012192} {
		src := bytes.Replace(file("AC1015", "", "0 LINE,10 0,20 0,11 1,21 0"), []byte("$INSUNITS\n 70\n4"), []byte(fmt.Sprintf("$INSUNITS\n 70\n%d", code)), 1)
		d, l := Read(t.Context(), src, "x.dxf")
		require.Empty(t, l)
		require.Equal(t, code, d.Units.Code)
		require.InEpsilon(t, mm, d.Units.MMPerUnit, 1e-12)
		require.InEpsilon(t, mm, d.Entities[0].Path.Vertices[1].X, 1e-12)
	}
	u, ok := UnitNamed("Inch")
	require.True(t, ok)
	require.Equal(t, 25.4, u.MMPerUnit)
	_, ok = UnitNamed("cubit")
	require.False(t, ok)
	// Without a unit the size decides.
	for size, name := range map[string]string{"120": "mm", "5": "in", "0.12": "m", "35": "mm"} {
		src := bytes.Replace(file("AC1015", "", "0 LINE,10 0,20 0,11 "+size+",21 0"), []byte("$INSUNITS\n 70\n4"), []byte("$INSUNITS\n 70\n0"), 1)
		d, _ := Read(t.Context(), src, "x.dxf")
		require.Equal(t, name, d.Units.Name, size)
		require.True(t, d.Units.Assumed)
	}
}

// TestOtherFiles: what is no DXF is called by its name.
func TestOtherFiles(t *testing.T) {
	for src, want := range map[string]string{
		"":                           "empty",
		"AC1032\x00\x00\x00":         "DWG",
		"%PDF-1.7\n":                 "PDF",
		"PK\x03\x04....":             "zip",
		"<?xml version='1.0'?><svg>": "SVG",
		"ISO-10303-21;\nHEADER;":     "STEP",
		"\x89PNG\r\n\x1a\n":          "pixels",
		"%!PS-Adobe-3.0":             "PostScript",
		"G04 board*\n%FSLAX46Y46*%":  "Gerber",
		"solid x\nfacet normal 0":    "STL",
		"Dear sir,\nfind enclosed":   "group code",
		"12\n13\n14\n15\n":           "no DXF",
	} {
		_, l := Read(t.Context(), []byte(src), "x.dxf")
		require.Len(t, l, 1, src)
		require.Equal(t, diag.Error, l[0].Severity)
		require.Contains(t, l[0].Text, want)
		require.NotEmpty(t, l[0].Advice)
	}
}

// TestLineEnds: LF, CR LF and CR give the same drawing, and so does UTF-16.
func TestLineEnds(t *testing.T) {
	src := file("AC1015", "", "0 LINE,8 LED,10 0,20 0,11 1,21 0", "0 TEXT,10 0,20 0,40 3,1 DOME  ")
	want, l := Read(t.Context(), src, "x.dxf")
	require.Empty(t, l)
	wide := []byte{0xff, 0xfe}
	for _, c := range src {
		wide = append(wide, c, 0)
	}
	for _, s := range [][]byte{bytes.ReplaceAll(src, []byte("\n"), []byte("\r\n")), bytes.ReplaceAll(src, []byte("\n"), []byte("\r")), wide, append([]byte("\xef\xbb\xbf"), src...)} {
		got, l := Read(t.Context(), s, "x.dxf")
		require.Empty(t, l)
		require.Equal(t, want, got)
	}
}

// TestParseReal compares the fast way with strconv's on numbers as files have them.
func TestParseReal(t *testing.T) {
	for _, s := range []string{"0", "0.0", "-0.0", "1", " 12.5 ", "-3.25", "+7", ".5", "5.", "0.1", "123456789012345", "1234567890123456", "0.30000000000000004",
		"1e3", "-1.5E-3", "1.0e+20", "99999999999.9999", "0.00000000000000000000000001"} {
		got, ok := parseReal(s)
		require.True(t, ok, s)
		var want float64
		_, err := fmt.Sscan(strings.TrimSpace(s), &want)
		require.NoError(t, err)
		require.Equal(t, want, got, s)
	}
	for _, s := range []string{"", "-", ".", "x", "1x", "NaN", "inf", "0x10", "1_0", "1e999", "1 2", "--1"} {
		_, ok := parseReal(s)
		require.False(t, ok, s)
	}
}

// TestEndless: blocks in blocks that would make 10^12 things, arrays and long polylines stop at limits, quickly.
func TestEndless(t *testing.T) {
	var b strings.Builder
	b.WriteString("0 SECTION,2 BLOCKS")
	for i := range 12 {
		fmt.Fprintf(&b, ",0 BLOCK,2 B%d", i)
		for range 10 {
			fmt.Fprintf(&b, ",0 INSERT,2 B%d,10 0,20 0", i+1)
		}
		b.WriteString(",0 ENDBLK")
	}
	b.WriteString(",0 BLOCK,2 B12,0 LINE,10 0,20 0,11 1,21 1,0 ENDBLK,0 ENDSEC")
	_, l := Read(t.Context(), file("AC1015", b.String(), "0 INSERT,2 B0,10 0,20 0"), "x.dxf")
	require.True(t, l.HasErrors())
	_, l = Read(t.Context(), file("AC1015", "", "0 LWPOLYLINE,90 2000000000,10 0,20 0,10 1,20 1"), "x.dxf")
	require.Empty(t, l)
}

// TestTruncated: cut at any byte, a drawing is read without a crash, and never without a word.
func TestTruncated(t *testing.T) {
	src := file("AC1015", "0 SECTION,2 BLOCKS,0 BLOCK,2 B,10 0,20 0,0 CIRCLE,10 0,20 0,40 1,0 ENDBLK,0 ENDSEC",
		"0 INSERT,2 B,10 1,20 1", "0 POLYLINE,66 1,0 VERTEX,10 0,20 0,0 VERTEX,10 1,20 1,0 SEQEND", "0 TEXT,10 0,20 0,40 1,1 DOME")
	whole := len(bytes.TrimRight(src, "\n"))
	for n := range whole - 3 { // "EO" and "E" are no end mark either
		_, l := Read(t.Context(), src[:n], "x.dxf")
		require.NotEmpty(t, l, "cut at %d", n)
	}
}

// TestFitted: a curve-fit polyline is all its vertices, those that the fitting put in (flag 1) too; a spline-fit one
// its points (8) and not its frame (16); one with nothing but a frame is told (DXF Reference, POLYLINE and VERTEX).
func TestFitted(t *testing.T) {
	e := one(t, "0 POLYLINE,66 1,70 2,0 VERTEX,10 0,20 0,42 1,70 2,0 VERTEX,10 2,20 0,42 -1,70 1,0 VERTEX,10 4,20 0,70 2,0 SEQEND")
	require.InDelta(t, 2*math.Pi, e.Path.Perimeter(), 1e-12)
	d, l := Read(t.Context(), file("AC1015", "", "0 POLYLINE,66 1,70 4,0 VERTEX,10 0,20 0,70 16,0 VERTEX,10 2,20 0,70 16,0 SEQEND", "0 LINE,10 0,20 0,11 1,21 0"), "x.dxf")
	require.Len(t, d.Entities, 1)
	require.Len(t, l, 1)
	require.Equal(t, diag.Warning, l[0].Severity)
	require.Contains(t, l[0].Text, "frame")
}

// TestFitText: "aligned" (72 = 3) and "fit" (5) texts fill the way between their two points (DXF Reference, TEXT).
func TestFitText(t *testing.T) {
	for _, c := range []string{"3", "5"} {
		x := one(t, "0 TEXT,10 1,20 2,40 3,1 DOME,50 77,72 "+c+",11 4,21 6").Text
		require.InDelta(t, 5, x.Span, 1e-12)
		require.InDelta(t, math.Atan2(4, 3), x.Angle, 1e-12)
		require.Equal(t, XY{X: 1, Y: 2}, x.At)
		require.Equal(t, Left, x.H)
	}
}

// TestHatch: boundaries of every kind, against areas from school geometry. Clockwise arcs have their angles counted at
// the mirrored circle; ezdxf, which wrote panel/read/testdata/weather/filled.dxf, reads and writes them so.
func TestHatch(t *testing.T) {
	area := func(codes string) float64 {
		t.Helper()
		d, l := Read(t.Context(), file("AC1015", "", "0 HATCH,10 0,20 0,30 0,210 0,220 0,230 1,2 SOLID,70 1,71 0,"+codes+",75 0,76 1,98 1,10 0,20 0"), "x.dxf")
		require.Empty(t, l)
		sum := 0.0
		for _, e := range d.Entities {
			require.True(t, e.Fill)
			require.True(t, e.Path.Closed)
			sum += math.Abs(e.Path.SignedArea())
		}
		return sum
	}
	const square = "72 1,10 0,20 0,11 10,21 0,72 1,10 10,20 0,11 10,21 10,72 1,10 10,20 10,11 0,21 10,72 1,10 0,20 10,11 0,21 0"
	require.InDelta(t, 100, area("91 1,92 1,93 4,"+square+",97 0"), 1e-9)
	require.InDelta(t, 150, area("91 2,92 1,93 4,"+square+",97 0,92 3,72 0,73 1,93 3,10 20,20 0,10 30,20 0,10 30,20 10,97 2,330 1F,330 2F"), 1e-9)
	// A half disc of radius 5 over the diameter from (5,0) to (-5,0), its arc counter-clockwise and clockwise.
	require.InDelta(t, 12.5*math.Pi, area("91 1,92 1,93 2,72 2,10 0,20 0,40 5,50 0,51 180,73 1,72 1,10 -5,20 0,11 5,21 0,97 0"), 1e-9)
	require.InDelta(t, 12.5*math.Pi, area("91 1,92 1,93 2,72 2,10 0,20 0,40 5,50 180,51 360,73 0,72 1,10 5,20 0,11 -5,21 0,97 0"), 1e-9)
	// A whole circle and a whole ellipse: πab.
	require.InDelta(t, 25*math.Pi, area("91 1,92 1,93 1,72 2,10 0,20 0,40 5,50 0,51 360,73 1,97 0"), 1e-9)
	require.InDelta(t, 8*math.Pi, area("91 1,92 1,93 1,72 3,10 0,20 0,11 4,21 0,40 0.5,50 0,51 360,73 1,97 0"), 0.05)
	// A quarter of the ellipse, from the end of one axis to the end of the other, closed over the centre.
	require.InDelta(t, 2*math.Pi, area("91 1,92 1,93 3,72 3,10 0,20 0,11 4,21 0,40 0.5,50 0,51 90,73 1,72 1,10 0,20 2,11 0,21 0,72 1,10 0,20 0,11 4,21 0,97 0"), 0.01)
	// A cubic Bézier curve (0,0) (0,4) (8,4) (8,0) over the X axis: 3/20 of what its corners' fan gives, here 19.2.
	require.InDelta(t, 19.2, area("91 1,92 1,93 2,72 4,94 3,73 0,74 0,95 8,96 4,40 0,40 0,40 0,40 0,40 1,40 1,40 1,40 1,10 0,20 0,10 0,20 4,10 8,20 4,10 8,20 0,97 0,72 1,10 8,20 0,11 0,21 0,97 0"), 0.02)
}

// TestWriteTexts: what texts may hold comes back from what was written.
func TestWriteTexts(t *testing.T) {
	d := Drawing{}
	for i, s := range []string{"DOME", "Kühlung 22°C", "Ã¼", "天文台", "100 %", "%%d and %%%", "a^b", `back\slash`, "two\nlines", "{braces}\n^I \\P", "Ø12 ±5", strings.Repeat("long ", 200) + "text\nend"} {
		d.Entities = append(d.Entities, Entity{Layer: "LETTERING", Text: &Text{Text: s, At: XY{X: float64(i), Y: 2}, Height: 3, Width: 1, H: HAlign(i % 3), V: TopLine}})
	}
	d.Entities = append(d.Entities, Entity{Layer: "KÜHLUNG: <1>", Path: Path{Vertices: []Vertex{{XY{X: 0, Y: 0}, 0}, {XY{X: 1, Y: 1}, 0}}}})
	src, err := Write(d, Options{})
	require.NoError(t, err)
	got, l := Read(t.Context(), src, "x.dxf")
	require.Empty(t, l)
	require.Len(t, got.Entities, len(d.Entities))
	for i, e := range d.Entities[:len(d.Entities)-1] {
		require.Equal(t, *e.Text, *got.Entities[i].Text)
	}
	require.Equal(t, "KÜHLUNG_ _1_", got.Entities[len(d.Entities)-1].Layer)
}
