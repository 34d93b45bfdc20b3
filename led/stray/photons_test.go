package stray_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/led/stray"
	"lampblack/panel"
	"lampblack/panel/control"
	"lampblack/panel/frame"
	"lampblack/panel/geom"
	"lampblack/panel/seat"
)

// What follows knows nothing of the model: a panel is a list of prisms that stop light, in mm, and a photon walks from a point of an
// LED to an eye in steps of a tenth of a millimetre and less.

// area is a plane figure.
type area func(x, y float64) bool

func round(cx, cy, d float64) area {
	return func(x, y float64) bool { return math.Hypot(x-cx, y-cy) < d/2 }
}

func box(x0, y0, x1, y1 float64) area {
	return func(x, y float64) bool { return x > x0 && x < x1 && y > y0 && y < y1 }
}

func less(a area, holes ...area) area {
	return func(x, y float64) bool {
		if !a(x, y) {
			return false
		}
		for _, h := range holes {
			if h(x, y) {
				return false
			}
		}
		return true
	}
}

// pixels is a region in squares of a twentieth of a millimetre, row by row: what lies behind an odd number of its edges.
func pixels(g geom.Region, w, h int) area {
	const per = 20
	rows := make([][]float64, h*per)
	for k := range rows {
		y := (float64(k) + 0.5) / per
		for _, r := range g.Rings() {
			for _, s := range r.Segments() {
				ax, ay, bx, by := s.A.X.MM(), s.A.Y.MM(), s.B.X.MM(), s.B.Y.MM()
				if (ay < y) != (by < y) {
					rows[k] = append(rows[k], ax+(bx-ax)*(y-ay)/(by-ay))
				}
			}
		}
	}
	return func(x, y float64) bool {
		k := int(math.Floor(y * per))
		if k < 0 || k >= len(rows) || x < 0 || x > float64(w) {
			return false
		}
		odd := false
		for _, at := range rows[k] {
			odd = odd != (at < x)
		}
		return odd
	}
}

type prism struct {
	area
	from, to float64
}

type place struct{ x, y, z float64 } // z before the face

// arrives reports whether light from a point at the tips' depth comes to the eye.
func arrives(scene []prism, x, y, tip float64, eye place) bool {
	first := tip
	for _, s := range scene {
		first = min(first, s.from)
	}
	const n = 600
	for i := 0; i < n; i++ {
		d := tip + (first-tip)*(float64(i)+0.5)/n
		k := (tip - d) / (tip + eye.z)
		px, py := x+(eye.x-x)*k, y+(eye.y-y)*k
		for _, s := range scene {
			if d > s.from && d < s.to && s.area(px, py) {
				return false
			}
		}
	}
	return true
}

// desks are two panels, each told twice: as the model takes it and as prisms.
func desks(t *testing.T) map[string]struct {
	panel panel.Panel
	scene []prism
} {
	t.Helper()
	k, ok := control.Find("toggle-m12")
	require.True(t, ok)
	k.Nut, k.Washer, k.Flange = 0, 0, 0 // bare, so that there is a gap round the bush
	k.NutThick, k.WasherThick, k.LockWasher = 0, 0, 0
	k.Hole = control.Extent{}

	one := panel.Panel{
		Outline:  rect(0, 0, 120, 90),
		Openings: []panel.Opening{opening(geom.Circle(geom.PtMM(30, 45), mm(9))), opening(rect(70, 30, 95, 50))},
		LEDs:     leds([2]float64{24, 45}, [2]float64{30, 39}, [2]float64{68, 52}, [2]float64{97.5, 40}, [2]float64{60, 70}, [2]float64{118.4, 60}),
	}
	face := less(box(0, 0, 120, 90), round(30, 45, 9), box(70, 30, 95, 50))

	two := panel.Panel{
		Outline:  rect(0, 0, 100, 80),
		Openings: []panel.Opening{opening(geom.Circle(geom.PtMM(40, 40), mm(20))), opening(rect(70, 20, 80, 60))},
		Bodies:   []geom.Contour{rect(81, 10, 95, 70)}, BodyDepth: panel.BehindDiffuser,
		LEDs: leds([2]float64{31, 40}, [2]float64{40, 51}, [2]float64{48, 33}, [2]float64{68, 40}, [2]float64{75, 62}, [2]float64{75, 40}),
	}
	two.LEDs = two.LEDs[:5]
	two = seat.In(two, []seat.Told{{Set: true, Kind: k, Clamps: panel.ClampsFace}, {}}, seat.Wish{Stack: stack().Stack, From: panel.BehindDiffuser})
	scene := []prism{
		{less(box(0, 0, 100, 80), round(40, 40, 20), box(70, 20, 80, 60)), 0, 3},
		{box(81, 10, 95, 70), 6, 14},
	}
	// The diffuser is wider where the switch's body comes: as it is cut.
	wide := []area{box(70, 20, 80, 60)}
	for _, c := range two.Cuts(panel.DiffuserSheet)[:1] {
		b := c.Box()
		if at, d, ok := c.Circular(); ok {
			wide = append(wide, round(at.X.MM(), at.Y.MM(), d.MM()))
		} else {
			wide = append(wide, box(b.Min.X.MM(), b.Min.Y.MM(), b.Max.X.MM(), b.Max.Y.MM()))
		}
	}
	scene = append(scene, prism{less(box(0, 0, 100, 80), wide...), 3, 6})
	for _, q := range seat.Pieces(two, two.Controls[0]) {
		if b := q.Shape.Box(); q.From < mm(14) {
			a := box(b.Min.X.MM(), b.Min.Y.MM(), b.Max.X.MM(), b.Max.Y.MM())
			if at, d, ok := q.Shape.Circular(); ok {
				a = round(at.X.MM(), at.Y.MM(), d.MM())
			}
			scene = append(scene, prism{a, q.From.MM(), min(q.To.MM(), 14)})
		}
	}
	type told = struct {
		panel panel.Panel
		scene []prism
	}
	// The first with a frame whose walls are 4 wide, which the holes for LEDs at openings break.
	framed := one
	framed.Frame = frame.Of(t.Context(), one, mm(4), nil)
	walls := pixels(framed.Frame, 120, 90)
	return map[string]told{
		"framed": {framed, []prism{{face, 0, 3}, {face, 3, 6}, {walls, 6, 14}}},
		"open":   {one, []prism{{face, 0, 3}, {face, 3, 6}}},
		"seated": {two, scene},
	}
}

// Light that walks from LEDs to eyes arrives from as much of each as the model says, and from no other.
func TestPhotons(t *testing.T) {
	for name, desk := range desks(t) {
		r := rand.New(rand.NewPCG(16, 5)) // the same for each, in whatever order they come
		const tip, n = 14.0, 1500
		middle := desk.panel.Outline.Box().Centre()
		seen := 0
		for range 15 {
			x, y, z := r.Float64()*400-200, r.Float64()*400-100, 300+r.Float64()*300
			told := map[int]float64{}
			for _, s := range stray.Seen(nil, desk.panel, stack(), fixed(x, y, z), nil) {
				told[s.LED] += s.Share // of several gaps each shows its own part
			}
			eye := place{middle.X.MM() + x, middle.Y.MM() + y, z}
			for i, h := range desk.panel.LEDs {
				in := 0
				for range n {
					a, q := 2*math.Pi*r.Float64(), 1.5*math.Sqrt(r.Float64())
					if arrives(desk.scene, h.At.X.MM()+q*math.Cos(a), h.At.Y.MM()+q*math.Sin(a), tip, eye) {
						in++
					}
				}
				got := float64(in) / n
				// Four standard deviations, and a hundredth for what the walk's steps miss and what is too little to be told.
				tol := 4*math.Sqrt(got*(1-got)/n) + 0.01
				require.InDelta(t, got, told[i], tol, fmt.Sprintf("%s: LED %d from %.0f, %.0f, %.0f", name, i, x, y, z))
				if told[i] > 0 {
					seen++
				}
			}
		}
		require.Greater(t, seen, 8, "%s: too few are seen to compare", name)
	}
}

// From a box of places the same LEDs are seen as by eyes all over it.
func TestPhotonsAllOver(t *testing.T) {
	for name, desk := range desks(t) {
		r := rand.New(rand.NewPCG(16, 6))
		middle := desk.panel.Outline.Box().Centre()
		told := map[int]bool{}
		for _, s := range stray.Seen(nil, desk.panel, stack(), stray.UsualEyes(), nil) {
			told[s.LED] = true
		}
		for i, h := range desk.panel.LEDs {
			in := 0
			for range 6000 {
				eye := place{middle.X.MM() + r.Float64()*400 - 200, middle.Y.MM() + r.Float64()*400 - 100, 300 + r.Float64()*300}
				a, q := 2*math.Pi*r.Float64(), 1.5*math.Sqrt(r.Float64())
				if arrives(desk.scene, h.At.X.MM()+q*math.Cos(a), h.At.Y.MM()+q*math.Sin(a), 14, eye) {
					in++
				}
			}
			if !told[i] {
				require.Less(t, in, 2, "%s: LED %d is seen", name, i)
			} else {
				require.Positive(t, in, "%s: LED %d is not seen", name, i)
			}
		}
	}
}
