package gerber

import (
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"lampblack/export"
	"lampblack/export/exporttest"
	"lampblack/panel/geom"
)

// The vector is computed and printed in references.md section 6.2, from the rule of 2021.02, 5.6.9.
func TestMD5Vector(t *testing.T) {
	words := []string{"%MOMM*%", "%FSLAX46Y46*%", "%TF.Part,Single*%", "%TF.FileFunction,Profile,NP*%",
		"%TF.FilePolarity,Positive*%", "%TA.AperFunction,Profile*%", "%ADD10C,0.1*%", "%TD*%", "%LPD*%", "G01*", "D10*",
		"X0Y0D02*", "X20000000D01*", "Y10000000D01*", "X0D01*", "Y0D01*"}
	const want = "766a6f82d2da2bd055fd3ec7d99c1c04"
	for _, end := range []string{"", "\n", "\r\n"} {
		require.Equal(t, want, checksum([]byte(strings.Join(words, end)+end)), "line end %q", end)
	}
}

// The printed examples of 2021.02, 5.2 and 5.6: values as the specification writes them.
func TestHeader(t *testing.T) {
	desk := exporttest.Desk()
	a := export.Lower(desk)
	a.Layers = append(a.Layers, export.Components(desk)...)
	date := time.Date(2015, 2, 23, 15, 59, 51, 0, time.FixedZone("", 3600))
	want := map[export.Function][2]string{
		export.CopperTop: {"Copper,L1,Top", "Positive"}, export.CopperBottom: {"Copper,L2,Bot", "Positive"},
		export.SoldermaskTop: {"Soldermask,Top", "Negative"}, export.SoldermaskBottom: {"Soldermask,Bot", "Negative"},
		export.SilkscreenTop: {"Legend,Top", "Positive"}, export.SilkscreenBottom: {"Legend,Bot", "Positive"},
		export.PasteBottom: {"Paste,Bot", "Positive"}, export.Profile: {"Profile,NP", "Positive"},
		export.ComponentTop: {"Component,L1,Top", "Positive"}, export.ComponentBottom: {"Component,L2,Bot", "Positive"},
	}
	require.Len(t, a.Layers, len(want))
	id := regexp.MustCompile(`^[0-9a-f]{8}-[0-9a-f]{4}-4[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$`) // RFC 4122, 4.1 and 4.4
	ids := map[string]bool{}
	for i, l := range a.Layers {
		s := string(Layer(a, i, Meta{Version: "0.2", Date: date, Revision: "B"}))
		require.True(t, strings.HasPrefix(s, "%MOMM*%\n%FSLAX46Y46*%\n%TF."))
		require.Contains(t, s, "%TF.FileFunction,"+want[l.Function][0]+"*%\n")
		require.Contains(t, s, "%TF.FilePolarity,"+want[l.Function][1]+"*%\n")
		require.Contains(t, s, "%TF.CreationDate,2015-02-23T15:59:51+01:00*%\n")
		require.Contains(t, s, "%TF.GenerationSoftware,Lampblack,lampblack,0.2*%\n")
		require.NotContains(t, string(Layer(a, i, Meta{})), "CreationDate")
		same := regexp.MustCompile(`%TF\.SameCoordinates,(.*)\*%`).FindStringSubmatch(s)[1]
		require.Regexp(t, id, same)
		require.Contains(t, s, "%TF.ProjectId,dome,"+same+",B*%\n")
		ids[same] = true
	}
	require.Len(t, ids, 1, "all layers of a board share one identity")
	require.NotEqual(t, guid(a, Meta{Revision: "A"}), guid(a, Meta{Revision: "B"}))
	require.NotEqual(t, guid(a, Meta{Project: "one"}), guid(a, Meta{Project: "two"}))
}

func TestEscape(t *testing.T) {
	require.Equal(t, `a\u0025b\u002Ac\u005Cd\u002Ce`, field(`a%b*c\d,e`))
	require.Equal(t, `SMDPad,CuDef`, fields("SMDPad,CuDef"))
	require.Equal(t, "two  lines", field("two\r\nlines"))
	require.Equal(t, "Ω µ 天文台", field("Ω µ 天文台"))
	require.Equal(t, "\uFFFD?", field("\xff?"))
}

func FuzzEscape(f *testing.F) {
	for _, s := range []string{"", "V+", `1k2, 5 %*\`, "天文台\x00\n", "\xf0\x28"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		got := field(s)
		require.NotContains(t, got, "%")
		require.NotContains(t, got, "*")
		require.NotContains(t, got, ",")
		require.NotContains(t, got, "\n")
		for rest := got; ; {
			i := strings.IndexByte(rest, '\\')
			if i < 0 {
				break
			}
			require.Regexp(t, `^\\u00(25|2A|5C|2C)`, rest[i:])
			rest = rest[i+6:]
		}
	})
}

// Arcs of every size and sweep: written pieces join, stay within their limits, and keep to the true circle.
func TestArcs(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 1))
	word := regexp.MustCompile(`^X(-?\d+)Y(-?\d+)(?:I(-?\d+)J(-?\d+))?D01\*$`)
	arcs := 0
	for k := range 4000 {
		size := math.Pow(10, 3+6*r.Float64()) // 1 µm to 1 m
		from := geom.Pt{X: geom.Nm(r.Float64() * 5e8), Y: geom.Nm(r.Float64() * 5e8)}
		to := from.Add(geom.Vec{X: geom.Nm(size)}.Rotated(6.28 * r.Float64()))
		sweep := (2*r.Float64() - 1) * 2 * math.Pi
		switch k % 4 {
		case 1: // nearly full
			sweep = math.Copysign(2*math.Pi-math.Pow(10, -1-5*r.Float64()), sweep)
		case 2: // nearly straight
			sweep = math.Pow(10, -7*r.Float64())
		}
		e := geom.Arc{From: from, To: to, Bulge: math.Tan(sweep / 4)}
		if e.From == e.To || e.Box().W() > geom.MaxCoord {
			continue
		}
		x, y := e.Centre()
		radius := e.Radius()
		w := &writer{at: from, placed: true, mode: 1}
		w.edge(e)
		at, mode := from, 1
		turned := 0.0
		for _, line := range strings.Split(strings.TrimSpace(string(w.buf)), "\n") {
			if line[0] == 'G' {
				mode = int(line[2] - '0')
				continue
			}
			m := word.FindStringSubmatch(line)
			require.NotNil(t, m, "%s", line)
			var n [4]int64
			for i := range n {
				v, err := strconv.ParseInt("0"+strings.TrimPrefix(m[i+1], "-"), 10, 32)
				require.NoError(t, err, "%+v: %s", e, line)
				if strings.HasPrefix(m[i+1], "-") {
					v = -v
				}
				n[i] = v
			}
			p := geom.Pt{X: geom.Nm(n[0]), Y: geom.Nm(n[1])}
			off := math.Abs(math.Hypot(float64(p.X)-x, float64(p.Y)-y) - radius)
			require.LessOrEqual(t, off, 2.0, "%+v: %s lies off the circle", e, line)
			if mode > 1 {
				arcs++
				c := at.Add(geom.Vec{X: geom.Nm(n[2]), Y: geom.Nm(n[3])})
				r1, r2 := length(at, c), length(p, c)
				require.LessOrEqual(t, math.Abs(r1-r2), 2.0, "%+v: %s", e, line)
				a := math.Atan2(float64(p.Y-c.Y), float64(p.X-c.X)) - math.Atan2(float64(at.Y-c.Y), float64(at.X-c.X))
				if mode == 3 && a < 0 {
					a += 2 * math.Pi
				}
				if mode == 2 && a > 0 {
					a -= 2 * math.Pi
				}
				require.LessOrEqual(t, math.Abs(a), math.Pi+0.01, "%+v: %s", e, line)
				turned += a
			}
			at = p
		}
		require.Equal(t, to, at)
		if turned != 0 {
			// The end points of short arcs are rounded to a nanometre, which turns them a little.
			require.InDelta(t, sweep, turned, 1e-6+8/math.Min(size, radius), "%+v\n%s", e, w.buf)
		}
	}
	require.Greater(t, arcs, 2000)
}

// The specification prints this arc (2021.02, 4.7.2): from (3,-2) to (-3,-2) round (0,2), counter-clockwise: radius 5,
// sweep 286.26°. We split it at its top.
func TestPrintedArc(t *testing.T) {
	sweep := 2*math.Pi - 2*math.Asin(0.6)
	w := &writer{at: geom.PtMM(3, -2), placed: true, mode: 1}
	w.edge(geom.Arc{From: geom.PtMM(3, -2), To: geom.PtMM(-3, -2), Bulge: math.Tan(sweep / 4)})
	require.InDelta(t, 286.26, sweep*180/math.Pi, 0.005)
	require.Equal(t, "G03*\nX0Y7000000I-3000000J4000000D01*\nX-3000000Y-2000000I0J-5000000D01*\n", string(w.buf))
}

func TestMacroForForeignShapes(t *testing.T) {
	a := export.Artwork{Name: "x", Layers: []export.Layer{{
		Function: export.PasteTop,
		Apertures: []export.Aperture{{Shape: export.Outline, Contours: []geom.Contour{
			geom.Straight(geom.PtMM(-1, -1), geom.PtMM(1, -1), geom.PtMM(0, 1)),
		}}},
		Objects: []export.Object{{Op: export.Flash, To: geom.PtMM(2, 3)}},
	}}}
	s := string(Layer(a, 0, Meta{}))
	require.Contains(t, s, "%AMSHAPE10*\n4,1,3,-1.0,-1.0,1.0,-1.0,0.0,1.0,-1.0,-1.0,0*%\n%ADD10SHAPE10*%\n")
	require.Contains(t, s, "D10*\nX2000000Y3000000D03*\n")
}

// Key names and values are those that public job files and a public parser's data model show (references.md 6.4); functions are
// those of the layers (TestJobNamesFilesAsTheyDo in exporttest).
func TestJob(t *testing.T) {
	a := export.Lower(exporttest.Desk())
	src := Job(a, Meta{Project: "desk", Version: "1.0", Clearance: geom.MM(0.2)})
	var j map[string]any
	require.NoError(t, json.Unmarshal(src, &j))
	specs := j["GeneralSpecs"].(map[string]any)
	require.Equal(t, map[string]any{"X": 79.0, "Y": 40.0}, specs["Size"], "the true outline, without the pen")
	require.Equal(t, 2.0, specs["LayerNumber"])
	require.Equal(t, 1.6, specs["BoardThickness"])
	require.Equal(t, guid(a, Meta{Project: "desk"}), specs["ProjectId"].(map[string]any)["GUID"])
	require.NotContains(t, j["Header"], "CreationDate")
	var paths []string
	for _, f := range j["FilesAttributes"].([]any) {
		m := f.(map[string]any)
		paths = append(paths, fmt.Sprint(m["Path"], " ", m["FileFunction"], " ", m["FilePolarity"]))
	}
	require.Equal(t, []string{
		"dome-copper-top.gbr Copper,L1,Top Positive", "dome-copper-bottom.gbr Copper,L2,Bot Positive",
		"dome-soldermask-top.gbr Soldermask,Top Negative", "dome-soldermask-bottom.gbr Soldermask,Bot Negative",
		"dome-silkscreen-top.gbr Legend,Top Positive", "dome-silkscreen-bottom.gbr Legend,Bot Positive",
		"dome-paste-bottom.gbr Paste,Bot Positive", "dome-profile.gbr Profile,NP Positive",
		"dome-drill-plated.drl Plated,1,2,PTH Positive", "dome-drill-unplated.drl NonPlated,1,2,NPTH Positive",
	}, paths)
	total := 0.0
	var types []string
	for _, l := range j["MaterialStackup"].([]any) {
		m := l.(map[string]any)
		types = append(types, m["Type"].(string))
		if v, ok := m["Thickness"]; ok {
			total += v.(float64)
		}
	}
	require.Equal(t, []string{"Legend", "SolderMask", "Copper", "Dielectric", "Copper", "SolderMask", "SolderPaste", "Legend"}, types)
	require.InDelta(t, 1.6, total, 1e-9)
	rule := j["DesignRules"].([]any)[0].(map[string]any)
	require.Equal(t, 0.4, rule["MinLineWidth"])
	require.Equal(t, 0.2, rule["TrackToRegion"])
}

func BenchmarkWrite(b *testing.B) {
	a := export.Lower(exporttest.Grid(500))
	bytes := 0
	for b.Loop() {
		bytes = 0
		for i := range a.Layers {
			bytes += len(Layer(a, i, Meta{}))
		}
	}
	b.SetBytes(int64(bytes))
}

func BenchmarkLowerAndWrite(b *testing.B) {
	grid := exporttest.Grid(500)
	for b.Loop() {
		a := export.Lower(grid)
		for i := range a.Layers {
			Layer(a, i, Meta{})
		}
	}
}
