package readback_test

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/export"
	"lampblack/export/readback"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
)

// head is the start of a good file; body follows it.
const head = "%MOMM*%\n%FSLAX46Y46*%\n%TF.FileFunction,Copper,L1,Top*%\n%TF.FilePolarity,Positive*%\n"

func layer(t *testing.T, src string) export.Layer {
	t.Helper()
	l, found := readback.Gerber(nil, []byte(src), "desk.gbr")
	require.Empty(t, found)
	return l
}

func body(lines ...string) string { return head + strings.Join(lines, "\n") + "\nM02*\n" }

// Areas of curves are those of polygons no farther than 2 µm from them: a little smaller.
//
// The numbers in this file are those of examples printed in The Gerber Layer Format Specification, revision 2021.02,
// where a section is named; the text of the files is ours, written to these facts (references.md 6.3).

// TestTwoSquareBoxes: 2.13.1, aperture 10 a circle of 0.01 mm, squares of 5 mm at (0,0) and (6,0), 8 draws.
func TestTwoSquareBoxes(t *testing.T) {
	src := "%FSLAX26Y26*%\n%MOMM*%\n%TF.Part,Other,example*%\n%LPD*%\n%ADD10C,0.010*%\nD10*\nX0Y0D02*\nG01*\n" +
		"X5000000Y0D01*\nY5000000D01*\nX0D01*\nY0D01*\nX6000000Y0D02*\nX11000000D01*\nY5000000D01*\nX6000000D01*\nY0D01*\nM02*\n"
	l, found := readback.Gerber(nil, []byte(src), "boxes.gbr")
	require.Equal(t, []string{"readback-no-function", "readback-no-polarity"}, codes(found), "the example has neither")
	require.Equal(t, [][]string{{".Part", "Other", "example"}}, l.FileAttributes)
	require.Equal(t, []export.Aperture{{Shape: export.Circle, W: geom.MM(0.01), H: geom.MM(0.01)}}, l.Apertures)
	require.Len(t, l.Objects, 8)
	box := geom.EmptyBox()
	for _, o := range l.Objects {
		require.Equal(t, export.Draw, o.Op)
		box = box.With(o.From).With(o.To)
	}
	require.Equal(t, geom.BoxOf(geom.PtMM(0, 0), geom.PtMM(11, 5)), box)
}

// TestSimpleContour: 4.10.4, an arrow of area 36.
func TestSimpleContour(t *testing.T) {
	l := layer(t, body("G36*", "X2000000Y3000000D02*", "G01*", "X7000000D01*", "Y1000000D01*", "X11000000Y5000000D01*",
		"X7000000Y9000000D01*", "Y7000000D01*", "X2000000D01*", "Y3000000D01*", "G37*"))
	require.InDelta(t, 36, readback.Image(l).Area(), 1e-9)
}

// TestPolarityHoles: 4.10.4.6, dark areas after each of four steps.
func TestPolarityHoles(t *testing.T) {
	square := func(lo, hi string) []string {
		return []string{"G36*", "X" + lo + "Y" + lo + "D02*", "G01*", "X" + hi + "D01*", "Y" + hi + "D01*", "X" + lo + "D01*", "Y" + lo + "D01*", "G37*"}
	}
	circle := func(x, r string) []string {
		return []string{"G36*", "X" + x + "Y10000000D02*", "G75*", "G03*", "X" + x + "Y10000000I" + r + "J0D01*", "G37*"}
	}
	steps := [][]string{
		append([]string{"%LPD*%"}, square("2500000", "17500000")...),
		append([]string{"%LPC*%"}, circle("5000000", "5000000")...),
		append([]string{"%LPD*%"}, square("7500000", "12500000")...),
		append([]string{"%LPC*%"}, circle("11500000", "2500000")...),
	}
	var lines []string
	for i, want := range []float64{225, 146.460, 171.460, 162.757} {
		lines = append(lines, steps[i]...)
		require.InDelta(t, want, readback.Image(layer(t, body(lines...))).Area(), 0.06, "after step %d", i+1)
	}
}

// TestCutIn: 4.10.4.9, a rectangle of 10 x 8 with a hole of radius 3 by a cut-in: 80 - 9π.
func TestCutIn(t *testing.T) {
	l := layer(t, body("G75*", "G36*", "X2000000Y10000000D02*", "G01*", "X2000000Y2000000D01*", "X12000000D01*", "Y10000000D01*",
		"X5000000D01*", "Y6000000D01*", "G03*", "X5000000Y6000000I3000000J0D01*", "G01*", "Y10000000D01*", "X2000000D01*", "G37*"))
	require.InDelta(t, 51.726, readback.Image(l).Area(), 0.03)
}

// TestArc: 4.7, start (3,-2), end (-3,-2), centre (0,2), counterclockwise: radius 5, sweep 286.26°.
func TestArc(t *testing.T) {
	l := layer(t, body("%ADD10C,0.1*%", "D10*", "G75*", "X3000000Y-2000000D02*", "G03*", "X-3000000Y-2000000I-3000000J4000000D01*"))
	require.Len(t, l.Objects, 1)
	a := geom.Arc{From: l.Objects[0].From, To: l.Objects[0].To, Bulge: l.Objects[0].Bulge}
	require.InDelta(t, 5e6, a.Radius(), 1)
	require.InDelta(t, 286.26, a.Sweep()*180/math.Pi, 0.005)
	x, y := a.Centre()
	require.InDelta(t, 0, x, 2)
	require.InDelta(t, 2e6, y, 2)
}

// TestClockwiseAndFullCircle: G02 turns the other way; start = end is a full circle (4.7.2).
func TestClockwiseAndFullCircle(t *testing.T) {
	l := layer(t, body("%ADD10C,0.1*%", "D10*", "G75*", "X3000000Y-2000000D02*", "G02*", "X-3000000Y-2000000I-3000000J4000000D01*",
		"X0Y0D02*", "G03*", "X0Y0I2500000J0D01*"))
	require.Len(t, l.Objects, 3)
	a := geom.Arc{From: l.Objects[0].From, To: l.Objects[0].To, Bulge: l.Objects[0].Bulge}
	require.InDelta(t, 286.26-360, a.Sweep()*180/math.Pi, 0.005)
	sum := 0.0
	for _, o := range l.Objects[1:] {
		sum += geom.Arc{From: o.From, To: o.To, Bulge: o.Bulge}.Len()
	}
	require.InDelta(t, 2*math.Pi*2.5e6, sum, 10)
}

// TestMD5 uses the vector of references.md 6.3, with and without line breaks.
func TestMD5(t *testing.T) {
	parts := []string{"%MOMM*%", "%FSLAX46Y46*%", "%TF.Part,Single*%", "%TF.FileFunction,Profile,NP*%", "%TF.FilePolarity,Positive*%",
		"%TA.AperFunction,Profile*%", "%ADD10C,0.1*%", "%TD*%", "%LPD*%", "G01*", "D10*", "X0Y0D02*", "X20000000D01*", "Y10000000D01*", "X0D01*", "Y0D01*"}
	sum := "%TF.MD5,766a6f82d2da2bd055fd3ec7d99c1c04*%"
	for _, eol := range []string{"", "\n", "\r\n"} {
		l := layer(t, strings.Join(append(append([]string{}, parts...), sum, "M02*"), eol))
		require.Equal(t, export.Profile, l.Function)
		require.Equal(t, "Profile", l.Apertures[0].Function)
	}
	parts[12] = "X20000001D01*"
	_, found := readback.Gerber(nil, []byte(strings.Join(append(parts, sum, "M02*"), "\n")), "x")
	require.Equal(t, []string{"readback-md5"}, codes(found))
}

// TestTemplates: the four standard templates and a hole, by their areas (4.4).
func TestTemplates(t *testing.T) {
	for ad, area := range map[string]float64{
		"C,2":         math.Pi,
		"C,2X1":       math.Pi * 3 / 4,
		"R,2X1":       2,
		"R,2X1X0.5":   2 - math.Pi/16,
		"O,3X1":       2 + math.Pi/4,
		"O,1X3":       2 + math.Pi/4,
		"P,2X4":       2,
		"P,2X3":       3 * math.Sqrt(3) / 4,
		"P,2X6X15":    3 * math.Sqrt(3) / 2,
		"P,2X4X0X0.5": 2 - math.Pi/16,
	} {
		l := layer(t, body("%ADD10"+ad+"*%", "D10*", "X0Y0D03*"))
		require.InDelta(t, area, readback.Image(l).Area(), 0.012, ad)
	}
}

// TestMacros: each primitive by its area (4.5.1), with expressions, exposure and turning.
func TestMacros(t *testing.T) {
	thermal := math.Pi*(1-0.25) - 4*0.2*0.5 // gaps are nearly rectangles of 0.2 x 0.5
	for name, c := range map[string]struct {
		macro, par string
		area       float64
	}{
		"circle":        {"1,1,$1,0,0*", ",2", math.Pi},
		"circle off":    {"1,1,2,5,5,30*", "", math.Pi},
		"outline":       {"4,1,3,0,0,2,0,0,2,0,0,45*", "", 2},
		"polygon":       {"5,1,6,0,0,2,0*", "", 3 * math.Sqrt(3) / 2},
		"vector line":   {"20,1,0.5,0,0,3,4,0*", "", 2.5},
		"centre line":   {"21,1,3,2,0,0,30*", "", 6},
		"thermal":       {"7,0,0,2,1,0.2,0*", "", thermal},
		"cut":           {"1,1,2,0,0*1,0,1,0,0*", "", math.Pi * 3 / 4},
		"union":         {"21,1,2,2,0,0,0*21,1,2,2,1,0,0*", "", 6},
		"expression":    {"0 a comment, with commas*$3=$1x2-($2+1)/2*21,1,$3,$1,0,0,0*", ",2X3", 4},
		"two times off": {"21,1,4,4,0,0,0*21,0,1,4,0,0,0*21,0,4,1,0,0,0*", "", 9},
	} {
		l := layer(t, body("%AMDESK*\n"+strings.ReplaceAll(c.macro, "*", "*\n")+"%", "%ADD10DESK"+c.par+"*%", "D10*", "X0Y0D03*"))
		require.InDelta(t, c.area, readback.Image(l).Area(), 0.01, name)
	}
	// Deprecated primitives are read, and told (8.2).
	_, found := readback.Gerber(nil, []byte(body("%AMOLD*6,0,0,5,0.5,0.5,2,0.1,6,0*%", "%ADD10OLD*%", "D10*", "X0Y0D03*")), "x")
	require.Equal(t, []string{"readback-deprecated"}, codes(found))
}

// TestStepRepeat: 4.11, three by two copies; the copies are objects of their own.
func TestStepRepeat(t *testing.T) {
	l := layer(t, body("%ADD10C,1*%", "D10*", "%SRX3Y2I5J4*%", "X1000000Y1000000D03*", "%SR*%", "X0Y20000000D03*"))
	require.Len(t, l.Objects, 7)
	require.Equal(t, geom.PtMM(11, 5), l.Objects[5].To)
	require.InDelta(t, 7*math.Pi/4, readback.Image(l).Area(), 0.04)
}

// TestTransformations: LM, LR and LS act on the aperture alone, mirror first (4.9).
func TestTransformations(t *testing.T) {
	l := layer(t, body("%AMHOOK*4,1,3,0,0,2,0,0,1,0,0,0*%", "%ADD10HOOK*%", "D10*", "%LMX*%", "%LR90*%", "%LS2*%", "X10000000Y10000000D03*",
		"%LMN*%", "%LR0*%", "%LS1*%", "X0Y0D03*"))
	img := readback.Image(l)
	require.InDelta(t, 4+1, img.Area(), 1e-6)
	// (2,0) mirrored is (-2,0), turned (0,-2), doubled (0,-4); (0,1) stays, turned (-1,0), doubled (-2,0).
	require.Equal(t, geom.BoxOf(geom.PtMM(8, 6), geom.PtMM(10, 10)), img[1].Outer.Box())
}

// TestBlocks: 4.6, a block of two pads flashed turned and mirrored, and a block in a block.
func TestBlocks(t *testing.T) {
	l := layer(t, body("%ADD10C,1*%", "%ADD11R,2X1*%",
		"%ABD12*%", "D10*", "X0Y0D03*", "D11*", "X3000000Y0D03*", "%AB*%",
		"%ABD13*%", "D12*", "X0Y0D03*", "%LR90*%", "X0Y10000000D03*", "%LR0*%", "%AB*%",
		"D13*", "%LMX*%", "X20000000Y0D03*"))
	require.Len(t, l.Objects, 4)
	require.Equal(t, geom.PtMM(17, 0), l.Objects[1].To)
	require.Equal(t, geom.PtMM(20, 13), l.Objects[3].To)
	a := l.Apertures[l.Objects[3].Aperture]
	require.Equal(t, [2]geom.Nm{geom.MM(1), geom.MM(2)}, [2]geom.Nm{a.W, a.H}, "turned by a quarter")
	// A block flashed clear turns its polarity round.
	l = layer(t, body("%ADD10C,1*%", "%ABD12*%", "D10*", "X0Y0D03*", "%AB*%", "D12*", "%LPC*%", "X0Y0D03*"))
	require.True(t, l.Objects[0].Clear)
}

// TestAttributes: pads carry net, part, pin and function (5.6.13, 5.6.14); TD takes them away; escapes are undone.
func TestAttributes(t *testing.T) {
	l := layer(t, body("%TA.AperFunction,ComponentPad*%", "%ADD10C,1.8*%", "%TD*%", "%ADD11C,0.4*%", "G01*",
		"%TO.N,S1.1*%", "%TO.P,D1,1,A*%", "D10*", "X0Y0D03*", "%TD.P*%", "D11*", "X5000000D01*", "%TD*%", "X5000000Y1000000D01*",
		`%TO.N,12\u0025\u002C x*%`, "Y2000000D01*", "%TO.N,*%", "Y3000000D01*"))
	require.Equal(t, export.Object{Op: export.Flash, Net: "S1.1", HasNet: true, Ref: "D1", Pin: "1", PinFn: "A"}, l.Objects[0])
	require.Equal(t, "ComponentPad", l.Apertures[0].Function)
	require.Empty(t, l.Apertures[1].Function)
	require.Equal(t, "S1.1", l.Objects[1].Net)
	require.Empty(t, l.Objects[1].Ref)
	require.False(t, l.Objects[2].HasNet)
	require.Equal(t, "12%, x", l.Objects[3].Net)
	require.True(t, l.Objects[4].HasNet)
}

func TestInches(t *testing.T) {
	l, found := readback.Gerber(nil, []byte("%FSLAX24Y24*%%MOIN*%%TF.FileFunction,Profile,NP*%%ADD10C,0.01*%G01*D10*X10000Y0D02*X20000D01*M02*"), "x")
	require.Equal(t, []string{"readback-deprecated", "readback-inch"}, codes(found.Sorted()))
	require.Equal(t, geom.PtMM(50.8, 0), l.Objects[0].To)
}

func codes(l diag.List) []string {
	var out []string
	for _, f := range l {
		out = append(out, f.Code)
	}
	return out
}

// TestWriterRules breaks the rules of references.md 6.1 one by one. line is where the finding must point; "!" marks an
// error, "?" a warning.
func TestWriterRules(t *testing.T) {
	ok := []string{"%ADD10C,0.4*%", "G01*", "D10*", "X0Y0D02*"}
	file := func(lines ...string) string { return head + strings.Join(lines, "\n") + "\nM02*\n" }
	with := func(lines ...string) string { return file(append(append([]string{}, ok...), lines...)...) }
	for _, c := range []struct {
		rule, src, code string
		line            int
		severity        diag.Severity
	}{
		{"3 missing *", with("X1000000D01*", "X2000000D01"), "readback-unknown-command", 10, diag.Error},
		{"3 missing %", head + "%ADD10C,1*\n", "readback-form", 5, diag.Error},
		{"3 space in a command", with("X10 00D01*"), "readback-unknown-command", 9, diag.Error},
		{"4 lower case", with("g01*"), "readback-unknown-command", 9, diag.Error},
		{"4 one digit", with("G1*"), "readback-unknown-command", 9, diag.Error},
		{"5 no unit", "%FSLAX46Y46*%\n%TF.FileFunction,Profile,NP*%\nM02*", "readback-no-unit", 3, diag.Error},
		{"5 unit twice", with("%MOMM*%"), "readback-unit-twice", 9, diag.Error},
		{"6 no format", "%MOMM*%\n%TF.FileFunction,Profile,NP*%\nM02*", "readback-no-format", 3, diag.Error},
		{"6 format twice", with("%FSLAX46Y46*%"), "readback-format-twice", 9, diag.Error},
		{"6 X and Y differ", "%MOMM*%\n%FSLAX46Y45*%\n", "readback-bad-format", 2, diag.Error},
		{"6 few decimals", "%MOMM*%\n%FSLAX43Y43*%\n%TF.FileFunction,Profile,NP*%\nM02*\n", "readback-deprecated", 2, diag.Warning},
		{"7 beyond 32 bits", with("X2147483648D01*"), "readback-out-of-range", 9, diag.Error},
		{"8 coordinate before format", "%MOMM*%\nX0Y0D02*\n", "readback-early-operation", 2, diag.Error},
		{"9 number below 10", with("%ADD09C,1*%"), "readback-bad-value", 9, diag.Error},
		{"9 number twice", with("%ADD10C,1*%"), "readback-aperture-twice", 9, diag.Error},
		{"10 undefined aperture", with("D11*"), "readback-no-aperture", 9, diag.Error},
		{"10 undefined macro", with("%ADD11NONE*%"), "readback-no-macro", 9, diag.Error},
		{"10 polygon of 13", with("%ADD11P,1X13*%"), "readback-bad-aperture", 9, diag.Error},
		{"11 draw with an obround", with("%ADD11O,1X2*%", "D11*", "X1000000D01*"), "readback-bad-draw", 11, diag.Error},
		{"11 draw with a rectangle", with("%ADD11R,1X2*%", "D11*", "X1000000D01*"), "readback-deprecated", 11, diag.Warning},
		{"11 zero rectangle", with("%ADD11R,0X2*%"), "readback-bad-aperture", 9, diag.Error},
		{"12 no aperture", file("G01*", "X0Y0D02*", "X1000000D01*"), "readback-no-aperture", 7, diag.Error},
		{"12 no mode", file("%ADD10C,0.4*%", "D10*", "X0Y0D02*", "X1000000D01*"), "readback-no-mode", 8, diag.Error},
		{"13 modal D01", with("X1000000D01*", "X2000000*"), "readback-deprecated", 10, diag.Warning},
		{"13 arc without J", with("G75*", "G03*", "X2000000Y0I1000000D01*"), "readback-no-offset", 11, diag.Error},
		{"14 no G75", with("G03*", "X2000000Y0I1000000J0D01*"), "readback-no-g75", 10, diag.Error},
		{"15 ends off the circle", with("G75*", "G03*", "X2000000Y0I700000J0D01*"), "readback-bad-arc", 11, diag.Error},
		{"16 flash in a region", with("G36*", "X0Y0D03*", "G37*"), "readback-in-region", 10, diag.Error},
		{"16 aperture in a region", with("G36*", "D10*", "G37*"), "readback-in-region", 10, diag.Error},
		{"16 polarity in a region", with("G36*", "%LPC*%", "G37*"), "readback-in-region", 10, diag.Error},
		{"16 end in a region", with("G36*"), "readback-end-inside", 10, diag.Error},
		{"17 open contour", with("G36*", "X0Y0D02*", "X5000000D01*", "Y5000000D01*", "G37*"), "readback-open-contour", 13, diag.Error},
		{"17 open before the next", with("G36*", "X0Y0D02*", "X5000000D01*", "Y5000000D01*", "X9000000Y9000000D02*", "G37*"), "readback-open-contour", 13, diag.Error},
		{"17 no first move", with("G36*", "X5000000D01*", "Y5000000D01*", "X0Y0D01*", "G37*"), "readback-no-start", 10, diag.Error},
		{"18 crossing contour", with("G36*", "X0Y0D02*", "X5000000Y5000000D01*", "X5000000Y0D01*", "X0Y5000000D01*", "Y0D01*", "G37*"), "readback-region-crosses", 15, diag.Error},
		{"18 touching contour", with("G36*", "X0Y0D02*", "X6000000D01*", "Y6000000D01*", "X3000000Y0D01*", "X0Y6000000D01*", "Y0D01*", "G37*"), "readback-region-crosses", 16, diag.Error},
		{"19 half a cut-in", with("G36*", "X0Y0D02*", "X6000000D01*", "Y6000000D01*", "X3000000D01*", "Y3000000D01*", "X4000000D01*", "X3000000Y2000000D01*", "Y6000000D01*", "X0D01*", "Y0D01*", "G37*"), "readback-region-crosses", 20, diag.Error},
		{"23 attribute in a region", with("G36*", "%TO.N,V+*%", "G37*"), "readback-attribute-in-region", 10, diag.Error},
		{"25 no end", head, "readback-no-end", 4, diag.Error},
		{"25 something after the end", with() + "G01*", "readback-after-end", 10, diag.Error},
		{"27 bad escape", with(`%TO.N,a\x*%`), "readback-bad-escape", 9, diag.Error},
		{"28 bad name", with("%TO9N,a*%"), "readback-bad-name", 9, diag.Error},
		{"no such function", "%MOMM*%\n%FSLAX46Y46*%\n%TF.FileFunction,Silkscreen,Top*%\nM02*", "readback-bad-attribute", 3, diag.Error},
		{"no such part", with("%TF.Part,Board*%"), "readback-bad-attribute", 9, diag.Error},
		{"file attribute twice", with("%TF.FilePolarity,Positive*%"), "readback-attribute-twice", 9, diag.Error},
		{"G74", with("G74*"), "readback-deprecated", 9, diag.Warning},
		{"G54", with("G54D10*"), "readback-deprecated", 9, diag.Warning},
		{"G01 with coordinates", with("G01X1000000D01*"), "readback-deprecated", 9, diag.Warning},
		{"G91", with("G91*"), "readback-incremental", 9, diag.Error},
		{"IP", with("%IPPOS*%"), "readback-deprecated", 9, diag.Warning},
		{"IP negative", with("%IPNEG*%"), "readback-not-read", 9, diag.Error},
		{"offset", with("%OFA1.5B0*%"), "readback-not-read", 9, diag.Error},
		{"unknown", with("%XX*%"), "readback-unknown-command", 9, diag.Error},
		{"open repeat", with("%SRX2Y1I5J0*%", "X0Y0D03*"), "readback-open-block", 11, diag.Error},
		{"division by zero", with("%AMA*1,1,1/$1,0,0*%", "%ADD11A,0*%"), "readback-bad-macro", 10, diag.Error},
		{"macro twice", with("%AMA*1,1,1,0,0*%", "%AMA*1,1,1,0,0*%"), "readback-macro-twice", 10, diag.Error},
	} {
		t.Run(c.rule, func(t *testing.T) {
			_, found := readback.Gerber(nil, []byte(c.src), "broken.gbr")
			hit := false
			for _, f := range found {
				if f.Code == c.code && f.Place.Line == c.line && f.Severity == c.severity {
					hit = true
				}
				require.NotEmpty(t, f.Advice, f.Text)
				require.Equal(t, "broken.gbr", f.Place.File)
			}
			require.True(t, hit, "want %s in line %d, got %+v", c.code, c.line, found)
		})
	}
}

// TestBombs: small files that ask for much memory or time.
func TestBombs(t *testing.T) {
	for name, src := range map[string]string{
		"repeat":        body("%ADD10C,1*%", "D10*", "%SRX1000000Y1000000I0J0*%", "X0Y0D03*", "%SR*%"),
		"empty repeat":  body("%SRX1000000Y1000000I0J0*%", "%SR*%"),
		"blocks":        blockBomb(),
		"deep brackets": body("%AMA*1,1,"+strings.Repeat("(", 10000)+"*%", "%ADD10A*%"),
		"deep blocks":   body(strings.Repeat("%ABD10*%", 1000)),
		"faults":        head + strings.Repeat("Q*", 100000),
	} {
		t.Run(name, func(t *testing.T) {
			l, found := readback.Gerber(nil, []byte(src), "bomb.gbr")
			require.LessOrEqual(t, len(l.Objects), 400_000)
			require.Less(t, len(found), 5000)
		})
	}
}

// blockBomb nests blocks that each flash the one before ten times: 10^12 objects.
func blockBomb() string {
	lines := []string{"%ADD10C,1*%", "%ABD20*%", "D10*", "X0Y0D03*", "%AB*%"}
	for k := 21; k < 32; k++ {
		lines = append(lines, "%ABD"+string(rune('0'+k/10))+string(rune('0'+k%10))+"*%", "D"+string(rune('0'+(k-1)/10))+string(rune('0'+(k-1)%10))+"*")
		lines = append(lines, strings.Repeat("X0Y0D03*", 10), "%AB*%")
	}
	return body(lines...)
}

func FuzzGerber(f *testing.F) {
	f.Add([]byte(body("%ADD10C,0.1*%", "D10*", "G75*", "X3000000Y-2000000D02*", "G03*", "X-3000000Y-2000000I-3000000J4000000D01*")))
	f.Add([]byte(body("%AMA*4,1,3,0,0,2,0,0,2,0,0,45*7,0,0,2,1,0.2,0*%", "%ADD10A*%", "D10*", "%LR33*%", "%LS1.5*%", "X0Y0D03*")))
	f.Add([]byte(body("%ADD10C,1*%", "D10*", "%SRX3Y2I5J4*%", "X1000000Y1000000D03*", "%SR*%")))
	f.Add([]byte(body("%ADD10R,1X2X.5*%", "%ABD12*%", "D10*", "X0Y0D03*", "%AB*%", "D12*", "%LPC*%", "X0Y0D03*", "%TO.P,D1,1,A*%")))
	f.Add([]byte(body("G36*", "X0Y0D02*", "G01*", "X5000000Y5000000D01*", "X5000000Y0D01*", "X0Y5000000D01*", "Y0D01*", "G37*")))
	f.Fuzz(func(t *testing.T, src []byte) {
		l, found := readback.Gerber(nil, src, "fuzz.gbr")
		for _, o := range l.Objects {
			if o.Op != export.Region && (o.Aperture < 0 || o.Aperture >= len(l.Apertures)) {
				t.Fatalf("object without aperture")
			}
			if math.IsNaN(o.Bulge) || math.IsInf(o.Bulge, 0) {
				t.Fatalf("bulge %v", o.Bulge)
			}
		}
		again, foundAgain := readback.Gerber(nil, src, "fuzz.gbr")
		require.Equal(t, found, foundAgain)
		require.Equal(t, len(l.Objects), len(again.Objects))
	})
}
