package export_test

import (
	"fmt"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/board"
	"lampblack/export"
	"lampblack/export/exporttest"
	"lampblack/led"
	"lampblack/panel/geom"
)

func layer(t *testing.T, a export.Artwork, f export.Function) export.Layer {
	for _, l := range a.Layers {
		if l.Function == f {
			return l
		}
	}
	t.Fatalf("no layer %v", f)
	return export.Layer{}
}

func TestLowerLayers(t *testing.T) {
	b := exporttest.Desk()
	a := export.Lower(b)
	var names []string
	for _, l := range a.Layers {
		names = append(names, fmt.Sprint(l.Function, " ", l.Negative))
		for _, o := range l.Objects {
			require.True(t, o.Op == export.Region || o.Aperture < len(l.Apertures))
		}
	}
	require.Equal(t, []string{"copper-top false", "copper-bottom false", "soldermask-top true", "soldermask-bottom true",
		"silkscreen-top false", "silkscreen-bottom false", "paste-bottom false", "profile false"}, names)
	require.Equal(t, geom.Box{Min: geom.PtMM(1, 1), Max: geom.PtMM(80, 41)}, a.Size, "the true edge, arcs at their extremes")
	require.Equal(t, exporttest.Desk(), b, "the board stays as it was")

	for i := range b.Parts {
		for j := range b.Parts[i].Pads {
			b.Parts[i].Pads[j].Paste = false
		}
	}
	for _, l := range export.Lower(b).Layers {
		require.NotEqual(t, export.PasteBottom, l.Function)
	}
}

// On copper the order is areas, tracks, vias, pads; an aperture has one function.
func TestLowerCopper(t *testing.T) {
	a := export.Lower(exporttest.Desk())
	l := layer(t, a, export.CopperBottom)
	stage := 0
	functions := map[int]string{}
	for _, o := range l.Objects {
		now := 0
		if o.Op != export.Region {
			now = map[string]int{"Conductor": 1, "ViaPad": 2}[l.Apertures[o.Aperture].Function]
			if now == 0 {
				now = 3
			}
			functions[o.Aperture] = l.Apertures[o.Aperture].Function
		}
		require.GreaterOrEqual(t, now, stage)
		stage = now
		require.Equal(t, !o.Clear, o.HasNet, "all copper has a net")
		require.Equal(t, now == 3, o.Pin != "" && o.Ref != "", "pads have pins, vias have none")
		require.Equal(t, now == 1, o.Op == export.Draw)
	}
	require.Len(t, functions, len(l.Apertures), "no aperture is left over")
	seen := map[string]bool{}
	for _, ap := range l.Apertures {
		key := fmt.Sprint(ap)
		require.False(t, seen[key])
		seen[key] = true
	}

	// The same circle as via and as pad is two apertures.
	b := exporttest.Desk()
	b.Vias[0].D = geom.MM(1.7)
	l = layer(t, export.Lower(b), export.CopperTop)
	n := 0
	for _, ap := range l.Apertures {
		if ap.Shape == export.Circle && ap.W == geom.MM(1.7) {
			n++
		}
	}
	require.Equal(t, 2, n)
}

// Painting the objects in order must give the areas of the board: the piece in the hole of another one survives.
func TestLowerNestedAreas(t *testing.T) {
	ring := func(half float64) geom.Ring {
		return geom.Rect(geom.Box{Min: geom.PtMM(50-half, 50-half), Max: geom.PtMM(50+half, 50+half)}).Ring(1)
	}
	b := board.Board{Nets: []led.Net{{}, {Name: "V+"}, {Name: "0V"}}}
	for k := range 5 { // from the innermost out
		half := float64(4*k + 2)
		p := geom.Polygon{Outer: ring(half)}
		if k > 0 {
			p.Holes = []geom.Ring{ring(half - 1).Reversed()}
		}
		b.Areas = append(b.Areas, board.Area{Net: led.NetID(1 + k%2), Fill: p})
	}
	for _, order := range [][]int{{0, 1, 2, 3, 4}, {4, 3, 2, 1, 0}, {2, 4, 0, 3, 1}} {
		c := b
		c.Areas = nil
		want := 0.0
		for _, i := range order {
			c.Areas = append(c.Areas, b.Areas[i])
			want += b.Areas[i].Fill.Area()
		}
		require.InDelta(t, want, painted(layer(t, export.Lower(c), export.CopperTop)).Area(), 1e-9)
	}
}

// painted returns what the regions of a layer leave dark.
func painted(l export.Layer) geom.Region {
	var g geom.Region
	for _, o := range l.Objects {
		if o.Op != export.Region {
			continue
		}
		r := geom.NewRegion(o.Contour.Ring(1))
		if o.Clear {
			g = g.Minus(r)
		} else {
			g = g.Or(r)
		}
	}
	return g
}

// A ring that touches itself becomes rings that do not: an hour-glass two pieces, a bay closed at its mouth a hole.
func TestLowerRingsThatTouchThemselves(t *testing.T) {
	mm := geom.PtMM
	for _, c := range []struct {
		name  string
		outer geom.Ring
		rings int
		area  float64
	}{
		{"hour-glass", geom.Ring{mm(0, 0), mm(4, 0), mm(2, 2), mm(4, 4), mm(0, 4), mm(2, 2)}, 2, 8},
		{"bay", geom.Ring{mm(0, 0), mm(9, 0), mm(9, 9), mm(5, 9), mm(6, 5), mm(3, 5), mm(5, 9), mm(0, 9)}, 2, 81 - 6},
		{"spike", geom.Ring{mm(0, 0), mm(4, 0), mm(6, 0), mm(4, 0), mm(4, 4)}, 1, 8},
		{"points too near", geom.Ring{mm(0, 0), mm(4, 0), {X: 4_000_300, Y: 0}, mm(4, 4), {X: 0, Y: 400}}, 1, 8},
	} {
		t.Run(c.name, func(t *testing.T) {
			b := board.Board{Nets: []led.Net{{}, {Name: "V+"}}, Areas: []board.Area{{Net: 1, Fill: geom.Polygon{Outer: c.outer}}}}
			l := layer(t, export.Lower(b), export.CopperTop)
			require.Len(t, l.Objects, c.rings)
			require.InDelta(t, c.area, painted(l).Area(), 0.002)
			for _, o := range l.Objects {
				var pts []geom.Pt
				for i, v := range o.Contour {
					require.NotContains(t, pts, v.Pt)
					pts = append(pts, v.Pt)
					require.GreaterOrEqual(t, v.Dist(o.Contour[(i+1)%len(o.Contour)].Pt), 1000.0)
				}
			}
		})
	}
}

func TestLowerMaskAndPaste(t *testing.T) {
	b := exporttest.Desk()
	a := export.Lower(b)
	for _, side := range geom.BothSides() {
		l := layer(t, a, export.SoldermaskTop+export.Function(side))
		n := 0
		b.Pads(func(i, j int) bool {
			p := b.Parts[i].Pads[j]
			if !p.OnSide(side) {
				return true
			}
			o := l.Objects[n]
			n++
			require.Equal(t, p.At, o.To)
			require.Equal(t, p.W+2*p.Mask, l.Apertures[o.Aperture].W)
			require.Equal(t, p.H+2*p.Mask, l.Apertures[o.Aperture].H)
			return true
		})
		require.Len(t, l.Objects, n+len(b.Holes), "vias stay covered, unplated holes do not")
		for i, h := range b.Holes {
			o := l.Objects[n+i]
			require.Equal(t, h.At, o.To)
			require.Equal(t, export.Aperture{Shape: export.Circle, W: h.D + 2*b.Rules.MaskMargin, H: h.D + 2*b.Rules.MaskMargin, Function: "Material"}, l.Apertures[o.Aperture])
		}
	}
	paste := layer(t, a, export.PasteBottom)
	require.Len(t, paste.Objects, 2)
	require.Equal(t, export.Aperture{Shape: export.Obround, W: geom.MM(1.2), H: geom.MM(1.8), Function: "Material"}, paste.Apertures[0])
}

func TestLowerProfileIsClosed(t *testing.T) {
	l := layer(t, export.Lower(exporttest.Desk()), export.Profile)
	loops := 0
	var start geom.Pt
	for i, o := range l.Objects {
		if i == 0 || l.Objects[i-1].To == start {
			start = o.From
			loops++
		} else {
			require.Equal(t, l.Objects[i-1].To, o.From)
		}
	}
	require.Equal(t, start, l.Objects[len(l.Objects)-1].To)
	require.Equal(t, 3, loops)
	arcs := 0
	for _, o := range l.Objects {
		if o.Bulge != 0 {
			arcs++
		}
	}
	require.Equal(t, 5, arcs)
}

func TestLowerDrills(t *testing.T) {
	b := exporttest.Desk()
	a := export.Lower(b)
	require.Len(t, a.Drills, 2)
	plated, rest := a.Drills[0], a.Drills[1]
	require.True(t, plated.Plated)
	require.False(t, rest.Plated)
	require.Equal(t, []export.Tool{{D: geom.MM(0.4), Function: "ViaDrill"}, {D: geom.MM(0.9), Function: "ComponentDrill"},
		{D: geom.MM(1.2), Function: "ComponentDrill"}}, plated.Tools)
	require.Equal(t, []export.Tool{{D: geom.MM(1.5), Function: "MechanicalDrill"}, {D: geom.MM(3.2), Function: "MechanicalDrill"}}, rest.Tools)
	require.Len(t, plated.Hits, 12)
	require.Len(t, rest.Hits, 3)
	for _, h := range b.Holes {
		require.True(t, slices.ContainsFunc(rest.Hits, func(k export.Hit) bool { return k.At == h.At && rest.Tools[k.Tool].D == h.D }))
	}
	b.Holes = nil
	require.Len(t, export.Lower(b).Drills, 1, "a kind without holes is left out")
}

func TestLowerSurvivesOddBoards(t *testing.T) {
	require.Equal(t, export.Profile, export.Lower(board.Board{}).Layers[6].Function)
	b := exporttest.Desk()
	b.Tracks = append(b.Tracks, board.Track{Net: 99, Width: 1, Path: nil}, board.Track{Net: -1, Width: geom.MM(1), Path: geom.Polyline{{X: 5, Y: 5}}})
	b.Parts[0].Pads[0].Net = led.NoNet
	b.Parts[0].Pads[1].W = 0
	b.Areas = append(b.Areas, board.Area{}, board.Area{Fill: geom.Polygon{Outer: geom.Ring{{X: 1}, {X: 2}}}})
	l := layer(t, export.Lower(b), export.CopperTop)
	nets := map[string]bool{}
	for _, o := range l.Objects {
		nets[o.Net] = true
		if o.Op == export.Flash {
			require.Positive(t, l.Apertures[o.Aperture].W)
		}
	}
	require.True(t, nets[export.NotConnected])
}

func TestLimits(t *testing.T) {
	b := exporttest.Desk()
	require.Empty(t, export.Limits(export.Lower(b)))
	for i := range 120 {
		b.Holes = append(b.Holes, board.Hole{At: geom.PtMM(float64(i), 1), D: geom.MM(1 + 0.01*float64(i))})
	}
	l := export.Limits(export.Lower(b))
	require.Len(t, l, 1)
	require.Equal(t, "export-drill-sizes", l[0].Code)
	require.NotEmpty(t, l[0].Advice)
}

// A part's layer tells what an assembler needs, and the pins of the board are all there.
func TestComponents(t *testing.T) {
	b := exporttest.Desk()
	layers := export.Components(b)
	require.Len(t, layers, 2)
	mains, pins := 0, 0
	for _, l := range layers {
		for _, o := range l.Objects {
			require.NotNil(t, o.Part)
			require.NotEmpty(t, o.Ref)
			switch l.Apertures[o.Aperture].Function {
			case "ComponentMain":
				mains++
				require.Equal(t, l.Function.Side() == geom.Top, o.Ref[0] == 'D')
			case "ComponentPin":
				pins++
				require.NotEmpty(t, o.Pin)
			}
		}
	}
	require.Equal(t, 6, mains)
	require.Equal(t, 12, pins)
}

func BenchmarkLower(b *testing.B) {
	grid := exporttest.Grid(500)
	for b.Loop() {
		export.Lower(grid)
	}
}

// The short cut for convex rings must not let one pass that goes round twice: a five-pointed star, every corner a left
// turn.
func TestLowerStarIsNotConvex(t *testing.T) {
	var star geom.Ring
	for k := range 5 {
		star = append(star, geom.PtMM(50, 50).Add(geom.Vec{X: geom.MM(10)}.Rotated(float64(2*k)*2*3.141592653589793/5)))
	}
	require.False(t, export.Convex(star))
	require.True(t, export.Convex(geom.Circle(geom.PtMM(5, 5), geom.MM(3)).Ring(2000)))
	require.True(t, export.Convex(geom.Ring{{X: 0, Y: 0}, {X: 4, Y: 0}, {X: 4, Y: 4}, {X: 0, Y: 4}}))
	require.False(t, export.Convex(geom.Ring{{X: 0, Y: 0}, {X: 4, Y: 0}, {X: 1, Y: 1}, {X: 0, Y: 4}}))
}
