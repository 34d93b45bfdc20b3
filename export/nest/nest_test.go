package nest

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/panel/geom"
)

func rect(w, h float64) geom.Ring {
	return geom.Rect(geom.Box{Max: geom.PtMM(w, h)}).Ring(geom.FlattenTolerance)
}

// piece is a part of one outline, with windows.
func piece(turns Turns, outline geom.Ring, windows ...geom.Ring) Part {
	g := geom.NewRegion(outline)
	for _, h := range windows {
		g = g.Minus(geom.NewRegion(h))
	}
	return Part{g, turns}
}

// lies is where a part lies, by geom, which knows nothing of how it came there.
func lies(p Part, at Placed) geom.Region {
	move := func(r geom.Ring) geom.Ring {
		out := make(geom.Ring, len(r))
		for i, q := range r {
			v := geom.Vec(q).Quarter(at.Quarters)
			out[i] = geom.Pt(v).Add(at.By)
		}
		return out
	}
	var g geom.Region
	for _, q := range p.Shape {
		one := geom.Polygon{Outer: move(q.Outer)}
		for _, h := range q.Holes {
			one.Holes = append(one.Holes, move(h))
		}
		g = append(g, one)
	}
	return g
}

// proven requires that parts lie on their sheets, each once, keep the gap, and end where the layout says.
func proven(t *testing.T, parts []Part, s Stock, l Layout) {
	t.Helper()
	require.Len(t, l.Placed, len(parts)-len(l.Left))
	l.Placed = slices.SortedFunc(slices.Values(l.Placed), func(a, b Placed) int { return a.Part - b.Part })
	regions := make([]geom.Region, len(l.Placed))
	end := geom.Nm(0)
	for i, at := range l.Placed {
		if i > 0 {
			require.Greater(t, at.Part, l.Placed[i-1].Part)
		}
		require.NotZero(t, parts[at.Part].Turns&(1<<at.Quarters), "turned as it may")
		regions[i] = lies(parts[at.Part], at)
		b := regions[i].Box()
		room := geom.Box{Max: geom.Pt{X: s.W, Y: s.H}}.Grown(-s.Edge)
		require.True(t, room.Contains(b.Min) && room.Contains(b.Max))
		require.Less(t, at.Sheet, l.Sheets)
		if at.Sheet == l.Sheets-1 {
			end = max(end, b.Max.X)
		}
	}
	require.InDelta(t, end.MM(), l.Used.MM(), 2e-3) // what is finer than a micrometre is rounded
	for i, a := range l.Placed {
		near := regions[i].Shrunk(2 * micron) // what touches does not overlap, whatever is rounded
		if s.Gap > 0 {
			near = regions[i].Grown(s.Gap - micron)
		}
		for j, b := range l.Placed[:i] {
			if a.Sheet == b.Sheet && near.Box().Touches(regions[j].Box()) {
				require.Less(t, near.And(regions[j]).Area(), 1e-6*regions[j].Area()+1, "parts %d and %d are too near", a.Part, b.Part)
			}
		}
	}
}

// Squares that fill a sheet to the last micrometre do so.
func TestExactFit(t *testing.T) {
	var parts []Part
	for range 6 {
		parts = append(parts, piece(AnyQuarter, rect(198.7, 98.7)))
	}
	s := Stock{W: geom.MM(606.1), H: geom.MM(205.4), Gap: geom.MM(2), Edge: geom.MM(3)}
	l := Arrange(nil, parts, s, 50)
	require.Equal(t, 1, l.Sheets)
	require.Equal(t, geom.MM(603.1), l.Used)
	proven(t, parts, s, l)
	s.W -= geom.Micrometre
	require.Equal(t, 2, Arrange(nil, parts, s, 50).Sheets, "a micrometre less is too little")
}

// Small parts go into the windows of large ones, keeping the gap all round.
func TestWindows(t *testing.T) {
	window := geom.Rect(geom.Box{Min: geom.PtMM(20, 20), Max: geom.PtMM(80, 60)}).Ring(geom.FlattenTolerance)
	parts := []Part{piece(AsDrawn, rect(100, 80), window), piece(AsDrawn, rect(55.5, 35.5))}
	s := Stock{W: geom.MM(300), H: geom.MM(84), Gap: geom.MM(2), Edge: geom.MM(2)}
	l := Arrange(nil, parts, s, 50)
	proven(t, parts, s, l)
	require.Equal(t, geom.MM(102), l.Used)
	s.Gap = geom.MM(3) // 55.5 + 2 x 3 is more than the window has
	require.Greater(t, Arrange(nil, parts, s, 50).Used, geom.MM(150))
}

// What a part has of several pieces keeps its place beside the others, and parts lie between them.
func TestTogether(t *testing.T) {
	two := piece(AsDrawn, rect(100, 20))
	two.Shape = append(two.Shape, piece(AsDrawn, rect(100, 20).Moved(geom.Vec{Y: geom.MM(40)})).Shape...)
	parts := []Part{two, piece(AsDrawn, rect(90, 15))}
	s := Stock{W: geom.MM(150), H: geom.MM(60), Gap: geom.MM(2)}
	l := Arrange(nil, parts, s, 50)
	proven(t, parts, s, l)
	require.Equal(t, geom.MM(100), l.Used)
}

// Round parts and parts of many corners are laid within hundredths of a millimetre of where they could be.
func TestCurves(t *testing.T) {
	disc := geom.Circle(geom.Pt{}, geom.MM(50)).Ring(geom.FlattenTolerance)
	parts := []Part{piece(AnyQuarter, disc), piece(AnyQuarter, disc), piece(AnyQuarter, disc)}
	s := Stock{W: geom.MM(200), H: geom.MM(52), Gap: geom.MM(1), Edge: geom.MM(1)}
	l := Arrange(nil, parts, s, 50)
	proven(t, parts, s, l)
	require.InDelta(t, 1+3*50+2*1, l.Used.MM(), 2*0.2) // and the steps of the lattice, 0.13 mm
	r := rand.New(rand.NewPCG(7, 7))
	var odd geom.Ring
	for i := range 4000 {
		a := 2 * math.Pi * float64(i) / 4000
		d := 30 + 8*math.Sin(9*a) + 0.01*r.Float64()
		odd = append(odd, geom.PtMM(d*math.Cos(a), d*math.Sin(a)))
	}
	parts = []Part{piece(AnyQuarter, odd), piece(AnyQuarter, odd), piece(HalfTurns, rect(12, 12))}
	s = Stock{W: geom.MM(200), H: geom.MM(80), Gap: geom.MM(1)}
	proven(t, parts, s, Arrange(nil, parts, s, 50))
}

// Convex pieces make up a shape, or lie within their slack of it, whatever windows it has.
func TestCovering(t *testing.T) {
	for seed := range uint64(40) {
		r := rand.New(rand.NewPCG(seed, 2))
		var o geom.Ring
		n := 3 + r.IntN(9)
		for i := range n { // a star, whose corners come one after another round it
			a, d := 2*math.Pi*(float64(i)+0.8*r.Float64())/float64(n), 40+60*r.Float64()
			o = append(o, geom.PtMM(d*math.Cos(a), d*math.Sin(a)))
		}
		p := piece(AsDrawn, o)
		for range 4 {
			at, d := geom.PtMM(40*r.Float64()-20, 40*r.Float64()-20), geom.MM(3+10*r.Float64())
			hole := geom.NewRegion(geom.Circle(at, d).Ring(geom.Millimetre / 2))
			if len(hole.Minus(p.Shape.Shrunk(geom.Millimetre))) == 0 {
				p.Shape = p.Shape.Minus(hole)
			}
		}
		found, slack := covering(nil, p.Shape)
		require.LessOrEqual(t, slack, int64(21))
		var all geom.Region
		sum := 0.0
		for _, c := range found {
			ring := make(geom.Ring, len(c))
			for i, v := range c {
				ring[i] = geom.Pt{X: geom.Nm(v.x) * micron, Y: geom.Nm(v.y) * micron}
			}
			require.True(t, c.sound())
			all = all.Or(geom.NewRegion(ring))
			sum += ring.Area()
		}
		require.InDelta(t, all.Area(), sum, 1e-3*sum, "seed %d: pieces do not overlap", seed)
		reach := geom.Nm(slack+1) * micron
		require.Empty(t, p.Shape.Minus(all.Grown(reach)), "seed %d", seed)
		require.Empty(t, all.Minus(p.Shape.Grown(reach)), "seed %d", seed)
	}
}

// A part that no sheet can hold in any of its turns is told, and the others are laid.
func TestTooLarge(t *testing.T) {
	parts := []Part{piece(AsDrawn, rect(50, 20)), piece(HalfTurns, rect(20, 90)), piece(AnyQuarter, rect(20, 90))}
	s := Stock{W: geom.MM(100), H: geom.MM(50)}
	l := Arrange(nil, parts, s, 10)
	require.Equal(t, []int{1}, l.Left)
	proven(t, parts, s, l)
	// A turn that no sheet holds is never tried, however long the search is.
	long := []Part{piece(AnyQuarter, rect(90, 20)), piece(AnyQuarter, rect(90, 20)), piece(AnyQuarter, rect(10, 20))}
	proven(t, long, s, Arrange(nil, long, s, 200))
	require.Equal(t, Layout{Left: []int{0}}, Arrange(nil, parts[1:2], s, 10))
	require.Equal(t, Layout{}, Arrange(nil, nil, s, 10))
}

// Random parts with bays and windows: proven, the same each time, no worse than their boxes, and never less than their area.
func TestRandomParts(t *testing.T) {
	for seed := range uint64(6) {
		r := rand.New(rand.NewPCG(seed, 1))
		var parts []Part
		total := 0.0
		for range 4 + r.IntN(12) {
			w, h := 20+80*r.Float64(), 20+60*r.Float64()
			bay := geom.PtMM(w*(0.3+0.4*r.Float64()), h*(0.2+0.6*r.Float64()))
			o := geom.Ring{{}, {X: geom.MM(w)}, {X: geom.MM(w), Y: geom.MM(h)}, bay, {Y: geom.MM(h)}}
			p := piece([]Turns{AsDrawn, HalfTurns, AnyQuarter}[r.IntN(3)], o)
			if r.IntN(3) == 0 {
				p = piece(p.Turns, rect(w, h), rect(w-8, h-8).Moved(geom.Vec{X: geom.MM(4), Y: geom.MM(4)}))
			}
			parts = append(parts, p)
			total += lies(p, Placed{}).Area()
		}
		s := Stock{W: geom.MM(300), H: geom.MM(180), Gap: geom.MM([]float64{0, 2, 3.3}[r.IntN(3)]), Edge: geom.MM([]float64{0, 5}[r.IntN(2)])}
		l := Arrange(nil, parts, s, 200)
		proven(t, parts, s, l)
		require.Equal(t, l, Arrange(nil, parts, s, 200))
		boxes := newProblem(nil, parts, s).boxed(nil)
		proven(t, parts, s, boxes)
		require.False(t, boxes.better(l))
		room := s.H.MM() * (s.W.MM()*float64(l.Sheets-1) + l.Used.MM())
		require.LessOrEqual(t, total, room)
	}
}

// The published instances of references on nesting, where their files are given: NESTING=folder. Best, mean and one-shot
// densities there are of Gardeyn, Vanden Berghe, Wauters, arXiv 2509.13329, tables 2 and 3.
func TestPublishedInstances(t *testing.T) {
	dir := os.Getenv("NESTING")
	if dir == "" {
		t.Skip("set NESTING to a folder of published instances (JSON) to be compared with what others reached")
	}
	for _, c := range []struct {
		name    string
		side    float64
		oneShot float64 // %
	}{{"albano", 4900, 84.95}, {"jakobs1", 40, 81.67}, {"marques", 104, 85.48}, {"shapes0", 40, 66.50}, {"shirts", 40, 85.99}, {"swim", 5752, 71.44}, {"trousers", 79, 89.30}} {
		src, err := os.ReadFile(filepath.Join(dir, c.name+".json"))
		require.NoError(t, err)
		var in struct {
			Items []struct {
				Demand int
				Turns  []float64 `json:"allowed_orientations"`
				Shape  struct{ Data [][2]float64 }
			}
		}
		require.NoError(t, json.Unmarshal(src, &in))
		scale := 100 / c.side // to 100 mm
		if c.side <= 200 {
			scale = 1
		}
		var parts []Part
		total := 0.0
		for _, it := range in.Items {
			var o geom.Ring
			for _, q := range it.Shape.Data[:len(it.Shape.Data)-1] {
				o = append(o, geom.PtMM(q[0]*scale, q[1]*scale))
			}
			p := piece(0, o)
			for _, turn := range it.Turns {
				p.Turns |= 1 << (int(turn) / 90)
			}
			for range it.Demand {
				parts = append(parts, p)
				total += p.Shape.Area()
			}
		}
		s := Stock{H: geom.MM(c.side * scale), W: geom.MM(total / (c.side * scale) * 2.2)}
		l := Arrange(nil, parts, s, 5000)
		proven(t, parts, s, l)
		require.Equal(t, 1, l.Sheets)
		dense := 100 * total / s.H.MM() / l.Used.MM()
		t.Logf("%-10s %6.2f %%, one-shot %.2f, length %.3f", c.name, dense, c.oneShot, l.Used.MM()/scale)
		require.GreaterOrEqual(t, dense, c.oneShot-6, "within 5,000 steps")
	}
}
