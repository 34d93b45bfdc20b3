package footprint_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/board"
	"lampblack/board/footprint"
	"lampblack/panel/geom"
)

func lookup(t *testing.T, name string) footprint.Footprint {
	f, ok := footprint.Lookup(name)
	require.True(t, ok, name)
	return f
}

// What the data sheets of the lamps say: references.md section 2, "3 mm radial lamp".
func TestRadial3(t *testing.T) {
	f := lookup(t, "radial-3mm")
	require.Equal(t, geom.MM(2.54), f.Pads[1].At.X-f.Pads[0].At.X, "lead pitch 2.54")
	box := f.Body.Box()
	require.InDelta(t, 3.8, box.H().MM(), 0.004, "flange 3.8, flattened")
	require.InDelta(t, 1.9+1.55, box.W().MM(), 1e-3, "flat on the cathode's side")
	require.Equal(t, geom.MM(-1.55), box.Min.X, "pin 1, the cathode, and its flat are on the left")
	for i, want := range []struct {
		pin, function string
		shape         board.PadShape
	}{{"1", "K", board.Square}, {"2", "A", board.Round}} {
		p := f.Pads[i]
		require.Equal(t, want.pin+want.function, p.Pin+p.Function)
		require.Equal(t, want.shape, p.Shape)
		require.GreaterOrEqual(t, p.Drill.MM(), 0.5*math.Sqrt2, "a square lead of 0.5 goes through")
		require.Equal(t, geom.MM(0.9), p.Drill, "0.8 to 0.9 finished")
		require.Equal(t, geom.MM(1.8), p.W)
	}
	require.InDelta(t, 5.5, f.Height.MM(), 0.65, "5.0 to 6.1 above the seat")
}

// Lands of chip parts by the rules of IPC-7351, level B (toe 0.35, heel -0.05, side 0; fabrication and placement
// tolerance 0.1 each): rules from memory, body tolerances ±0.15 and terminal lengths as usual for thick-film chips.
//
//	Z = Lmin + 2 toe + √(CL² + F² + P²), G = Smax - 2 heel - √(CS² + F² + P²), X = Wmin + 2 side + √(CW² + F² + P²),
//
// S the gap between the terminals, its tolerance CS taken as the root of the squares.
func TestChipLands(t *testing.T) {
	for _, c := range []struct {
		name                   string
		l, w, tol, term, termT float64
	}{
		{"r-1206", 3.2, 1.6, 0.15, 0.50, 0.25},
		{"r-2010", 5.0, 2.5, 0.20, 0.60, 0.25},
		{"r-2512", 6.3, 3.2, 0.20, 0.60, 0.25},
		{"r-0805", 2.0, 1.25, 0.15, 0.45, 0.20},
		{"led-0805", 2.0, 1.25, 0.15, 0.45, 0.20},
	} {
		const toe, heel, fab, placing = 0.35, -0.05, 0.1, 0.1
		rms := func(v float64) float64 { return math.Sqrt(v*v + fab*fab + placing*placing) }
		cl := 2 * c.tol
		z := c.l - c.tol + 2*toe + rms(cl)
		cs := math.Sqrt(cl*cl + 2*(2*c.termT)*(2*c.termT))
		sMax := c.l - 2*c.term + cs/2
		g := sMax - 2*heel - rms(cs)
		x := c.w - c.tol + rms(cl)

		f := lookup(t, c.name)
		a, b := f.Pads[0], f.Pads[1]
		require.InDelta(t, z, (b.At.X - a.At.X + b.W).MM(), 0.1, "%s: over all", c.name)
		require.InDelta(t, g, (b.At.X - a.At.X - b.W).MM(), 0.1, "%s: gap", c.name)
		require.InDelta(t, x, a.H.MM(), 0.05, "%s: width", c.name)
		require.True(t, a.Paste && !a.Through)
	}
}

// Pitches are in the names; the terminals' wires leave at the front, which the courtyard does not pass.
func TestPitches(t *testing.T) {
	for name, pitch := range map[string]float64{
		"axial-7.62": 7.62, "axial-10.16": 10.16, "axial-15.24": 15.24, "header-2.54": 2.54, "terminal-3.5": 3.5, "terminal-5.08": 5.08,
	} {
		f := lookup(t, name)
		require.Equal(t, geom.MM(pitch), f.Pads[1].At.X-f.Pads[0].At.X, name)
	}
	for _, name := range []string{"terminal-3.5", "terminal-5.08"} {
		f := lookup(t, name)
		require.Equal(t, geom.Vec{Y: -1}, f.Entry)
		require.Equal(t, f.Body.Box().Min.Y, f.Courtyard.Box().Min.Y)
	}
}

// What must hold for all: rings wide enough, pads and body within the courtyard, rules kept within the part.
func TestAllFootprints(t *testing.T) {
	r := board.UsualRules()
	require.Len(t, footprint.Names(), 15)
	for _, name := range footprint.Names() {
		f := lookup(t, name)
		require.NotEmpty(t, f.Source, name)
		require.Positive(t, f.Height, name)
		require.Len(t, f.Pads, 2, name)
		yard := f.Courtyard.Box()
		require.Positive(t, f.Courtyard.SignedArea2(), name)
		require.Positive(t, f.Body.SignedArea2(), name)
		for _, q := range f.Body {
			require.True(t, yard.Contains(q), name)
		}
		for _, p := range f.Pads {
			box := p.Contour(0).Box()
			require.True(t, yard.Contains(box.Min) && yard.Contains(box.Max), "%s: pads within the courtyard", name)
			require.Equal(t, p.Through, p.Drill > 0, name)
			if p.Through {
				require.GreaterOrEqual(t, (p.W-p.Drill)/2, r.AnnularRing, name)
			}
		}
		a, b := f.Pads[0], f.Pads[1]
		require.GreaterOrEqual(t, b.At.X-a.At.X-(a.W+b.W)/2, r.Clearance, name)
		for _, h := range f.Holes {
			for _, p := range f.Pads {
				require.GreaterOrEqual(t, h.At.Dist(p.At)-float64(h.D+p.W)/2, float64(r.CopperToHole), name)
			}
			for _, o := range f.Holes {
				if o != h {
					require.GreaterOrEqual(t, h.At.Dist(o.At)-float64(h.D+o.D)/2, float64(r.BetweenHoles), name)
				}
			}
		}
	}
	_, ok := footprint.Lookup("radial-9mm")
	require.False(t, ok)
}

// A quarter turn brings +X to +Y; four of them nothing.
func TestPlace(t *testing.T) {
	f := lookup(t, "radial-3mm")
	at := geom.PtMM(30, 20)
	p := f.Place("D1", board.LED, at, 90, geom.Top, geom.MM(0.05))
	require.Equal(t, geom.PtMM(30, 20-1.27), p.Pads[0].At)
	require.Equal(t, geom.PtMM(30, 20+1.27), p.Pads[1].At)
	require.Equal(t, geom.MM(0.05), p.Pads[0].Mask)
	require.Equal(t, f.Place("D1", board.LED, at, 0, geom.Top, 0), f.Place("D1", board.LED, at, 360, geom.Top, 0))
	require.Equal(t, p.Turn, f.Place("D1", board.LED, at, -270, geom.Top, 0).Turn)

	// Pads that are not square swap their sides, and lie on the side of the body.
	r := lookup(t, "r-1206")
	q := r.Place("R1", board.Resistor, at, 270, geom.Bottom, 0)
	require.Equal(t, r.Pads[0].W, q.Pads[0].H)
	require.Equal(t, geom.Bottom, q.Pads[0].On)
	require.False(t, q.Pads[0].OnSide(geom.Top))
	for _, m := range q.Marks {
		require.Equal(t, geom.Bottom, m.On)
	}

	w := lookup(t, "wire-pads")
	holes := w.PlacedHoles(at, 180)
	require.Len(t, holes, 2)
	require.Equal(t, geom.PtMM(31.5, 22.9), holes[0].At)
	require.Equal(t, board.StrainRelief, holes[0].What)
}

// At 45 degrees a square pad stands on its corner: its corners are where the turn brings them, its opening of the mask is the
// pad and the margin on each side, and a surface part's land lies along the diagonal.
func TestPlaceAslant(t *testing.T) {
	at := geom.PtMM(20, 10)
	near := func(x, y float64, p geom.Pt) {
		t.Helper()
		require.LessOrEqual(t, geom.PtMM(x, y).Dist(p), 1.5, "%v", p)
	}
	r := lookup(t, "radial-3mm")
	k := r.Pads[0]
	require.Equal(t, []any{"K", geom.MM(1.8), geom.MM(1.8), geom.MM(-1.27)}, []any{k.Function, k.W, k.H, k.At.X})
	p := r.Place("D1", board.LED, at, 45, geom.Top, geom.MM(0.05))
	require.Equal(t, 45, p.Turn)
	k = p.Pads[0]
	require.True(t, k.Slant)
	near(20-1.27*math.Sqrt2/2, 10-1.27*math.Sqrt2/2, k.At)
	c := k.Contour(0)
	for i, want := range [][2]float64{{0, -1}, {1, 0}, {0, 1}, {-1, 0}} { // half the diagonal each: 0.9 mm times √2
		near(k.At.X.MM()+want[0]*0.9*math.Sqrt2, k.At.Y.MM()+want[1]*0.9*math.Sqrt2, c[i].Pt)
	}
	require.InDelta(t, 1.9*1.9, k.Contour(k.Mask).Area(), 1e-4, "the mask's opening")
	require.InDelta(t, 0.05*1e6, k.Contour(k.Mask).Ring(geom.FlattenTolerance).DistTo(c[0].Pt), 3, "from a corner of the pad to the nearest side of the opening")
	require.False(t, p.Pads[1].Slant, "round")
	for _, e := range p.Courtyard.Segments() { // along an axis or a diagonal, which placing relies on
		d := e.B.Sub(e.A)
		x, y := max(d.X, -d.X), max(d.Y, -d.Y)
		require.True(t, min(x, y) <= 3 || max(x-y, y-x) <= 3, "%v", d)
	}

	s := lookup(t, "plcc2")
	w, h := s.Pads[0].W, s.Pads[0].H
	require.NotEqual(t, w, h)
	for turn, want := range map[int][2]geom.Nm{45: {w, h}, 135: {h, w}, 225: {w, h}, 315: {h, w}} {
		q := s.Place("D1", board.LED, at, turn, geom.Top, 0).Pads[0]
		require.True(t, q.Slant)
		require.Equal(t, want, [2]geom.Nm{q.W, q.H}, "%d degrees", turn)
		// Its corners are those at 0 degrees, turned.
		for _, v := range s.Pads[0].Contour(0) {
			v := v.Sub(geom.Pt{}).Turned(turn)
			require.Condition(t, func() bool {
				for _, c := range q.Contour(0) {
					if c.Dist(at.Add(v)) <= 1.5 {
						return true
					}
				}
				return false
			}, "%d degrees: no corner at %v", turn, v)
		}
		for add := 0; add < 360; add += 45 {
			all := s.Pads[0].Turned(turn).Turned(add)
			want := s.Pads[0].Turned(turn + add)
			require.Equal(t, [3]any{want.W, want.H, want.Slant}, [3]any{all.W, all.H, all.Slant}, "%d and %d", turn, add)
		}
	}
}
