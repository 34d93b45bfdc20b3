package read

import (
	"bytes"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/dxf"
	"lampblack/panel/geom"
	"lampblack/panel/paneltest"
)

// lineless is panels and findings without lines of the file.
func lineless(ps []panel.Panel, l diag.List) ([]panel.Panel, diag.List) {
	for i := range ps {
		for k := range ps[i].LEDs {
			ps[i].LEDs[k].Line = 0
		}
		for k := range ps[i].Mounts {
			ps[i].Mounts[k].Line = 0
		}
		for k := range ps[i].Openings {
			ps[i].Openings[k].Line = 0
		}
	}
	for i := range l {
		l[i].Place.Line = 0
		for k := range l[i].Related {
			l[i].Related[k].Place.Line = 0
		}
	}
	return ps, l
}

// TestCommentsMoveLinesAlone: a drawing with comments (group 999) before each of its entities gives the same panels and the
// same findings, but for lines of the file.
func TestCommentsMoveLinesAlone(t *testing.T) {
	moved := 0
	for _, pattern := range []string{"testdata/bad/*.dxf", "testdata/weather/*.dxf", "testdata/focus/*.dxf"} {
		for _, f := range paneltest.Files(t, pattern) {
			if bytes.HasPrefix(f.Data, []byte("AutoCAD Binary DXF")) || bytes.IndexByte(f.Data, 0) >= 0 || f.Name == "cut-off.dxf" {
				continue
			}
			end := "\n"
			if bytes.Contains(f.Data, []byte("\r\n")) {
				end = "\r\n"
			}
			lines := strings.Split(string(f.Data), end)
			var out []string
			for i := 0; i+1 < len(lines); i += 2 {
				if strings.TrimSpace(lines[i]) == "0" && strings.TrimSpace(lines[i+1]) != "SECTION" {
					out = append(out, "999", "checked by hand, 3 mm")
				}
				out = append(out, lines[i], lines[i+1])
			}
			if len(lines)%2 == 1 {
				out = append(out, lines[len(lines)-1])
			}
			d, l := dxf.Read(t.Context(), f.Data, f.Name)
			e, m := dxf.Read(t.Context(), []byte(strings.Join(out, end)), f.Name)
			ps, more := Panels(t.Context(), d, Options{})
			qs, again := Panels(t.Context(), e, Options{})
			if len(ps) > 0 && len(ps[0].LEDs) > 0 && len(qs) > 0 && len(qs[0].LEDs) > 0 && ps[0].LEDs[0].Line < qs[0].LEDs[0].Line {
				moved++
			}
			ps, l = lineless(ps, append(l, more...))
			qs, m = lineless(qs, append(m, again...))
			require.Equal(t, ps, qs, f.Name)
			require.Equal(t, l, m, f.Name)
		}
	}
	require.Greater(t, moved, 20, "lines do move")
}

// TestMirroredOutline: an outline drawn in a block that is mirrored keeps its bulges outward. It is 60 x 40 mm with a half
// disc of 10 mm radius on its right side, which the mirror brings to its left: 2400 + 50π mm² and 70 mm wide, the arc's
// middle 10 mm left of the corner.
func TestMirroredOutline(t *testing.T) {
	src := strings.NewReplacer(",", "\n", " ", "\n").Replace("0 SECTION,2 HEADER,9 $ACADVER,1 AC1015,9 $INSUNITS,70 4,0 ENDSEC," +
		"0 SECTION,2 BLOCKS,0 BLOCK,2 PLATE,10 0,20 0," +
		"0 LWPOLYLINE,8 OUTLINE,90 6,70 1,10 0,20 0,10 60,20 0,10 60,20 10,42 1,10 60,20 30,10 60,20 40,10 0,20 40," +
		"0 CIRCLE,8 LED,10 10,20 20,40 1.5,0 ENDBLK,0 ENDSEC," +
		"0 SECTION,2 ENTITIES,0 INSERT,8 0,2 PLATE,10 100,20 0,41 -1,0 ENDSEC,0 EOF,")
	d, l := dxf.Read(t.Context(), []byte(src), "iris.dxf")
	require.Empty(t, l)
	ps, l := Panels(t.Context(), d, Options{})
	require.False(t, l.HasErrors(), l)
	require.Len(t, ps, 1)
	p := ps[0]
	require.InDelta(t, 2400+50*math.Pi, p.Outline.SignedArea(), 1e-3, "counter-clockwise, and the disc adds to it")
	require.InDelta(t, 70, p.Outline.Box().W().MM(), 1e-6)
	require.Equal(t, panel.Origin{X: 30}, p.Origin)
	arcs := slices.DeleteFunc(p.Outline.Edges(), func(e geom.Arc) bool { return e.Straight() })
	require.Len(t, arcs, 1)
	require.Equal(t, 1.0, arcs[0].Bulge)
	require.InDelta(t, 60, p.LEDs[0].At.X.MM(), 1e-6, "10 mm from the plain side, which is on the right now")
}
