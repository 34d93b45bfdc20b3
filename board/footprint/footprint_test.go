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
	p := f.Place("D1", board.LED, at, 1, geom.Top, geom.MM(0.05))
	require.Equal(t, geom.PtMM(30, 20-1.27), p.Pads[0].At)
	require.Equal(t, geom.PtMM(30, 20+1.27), p.Pads[1].At)
	require.Equal(t, geom.MM(0.05), p.Pads[0].Mask)
	require.Equal(t, f.Place("D1", board.LED, at, 0, geom.Top, 0), f.Place("D1", board.LED, at, 4, geom.Top, 0))
	require.Equal(t, p.Turn, f.Place("D1", board.LED, at, -3, geom.Top, 0).Turn)

	// Pads that are not square swap their sides, and lie on the side of the body.
	r := lookup(t, "r-1206")
	q := r.Place("R1", board.Resistor, at, 3, geom.Bottom, 0)
	require.Equal(t, r.Pads[0].W, q.Pads[0].H)
	require.Equal(t, geom.Bottom, q.Pads[0].On)
	require.False(t, q.Pads[0].OnSide(geom.Top))
	for _, m := range q.Marks {
		require.Equal(t, geom.Bottom, m.On)
	}

	w := lookup(t, "wire-pads")
	holes := w.PlacedHoles(at, 2)
	require.Len(t, holes, 2)
	require.Equal(t, geom.PtMM(31.5, 22.9), holes[0].At)
	require.Equal(t, board.StrainRelief, holes[0].What)
}
