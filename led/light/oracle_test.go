package light

import (
	"context"
	"math"
	"runtime"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/led"
	"lampblack/led/part"
	"lampblack/panel"
	"lampblack/panel/geom"
)

// crossed reports whether the segment from a to b, mm, meets a wall.
func crossed(ws []wall, ax, ay, bx, by float64) bool {
	side := func(px, py, qx, qy, rx, ry float64) float64 { return (qx-px)*(ry-py) - (qy-py)*(rx-px) }
	for _, w := range ws {
		if side(ax, ay, bx, by, w.ax, w.ay)*side(ax, ay, bx, by, w.bx, w.by) < 0 &&
			side(w.ax, w.ay, w.bx, w.by, ax, ay)*side(w.ax, w.ay, w.bx, w.by, bx, by) < 0 {
			return true
		}
	}
	return false
}

// shaded is a panel with a body and an opening between its LEDs.
func shaded() (panel.Panel, led.Wiring) {
	p, w := desk(slew(), geom.PtMM(12, 9), geom.PtMM(31, 14), geom.PtMM(47, 28), geom.PtMM(66, 11))
	p.Bodies = []geom.Contour{geom.Rect(geom.Box{Min: geom.PtMM(36, 6), Max: geom.PtMM(44, 13)})}
	p.BodyDepth = panel.BehindDiffuser
	p.Openings = []panel.Opening{{Contour: geom.Circle(geom.PtMM(22, 24), geom.MM(9))}}
	return p, w
}

// The fast way against brute force: at places all over the panel, the luminance summed up over a fine square grid of what
// every LED sends to the diffuser if no wall is crossed, moved aside by its slant, times the blur as a function of the distance.
// Bounces off (no reflection), since they have an oracle of their own.
func TestFieldAgainstBruteForce(t *testing.T) {
	p, w := shaded()
	s := UsualStack()
	s.Board, s.SheetReflection = 0, 0
	o := newOptics(nil, s)
	layers, _ := lightOf(p, w, s, o, 0)
	require.Len(t, layers, 1)
	fine, _ := lightOf(p, w, s, o, geom.Millimetre/4)
	require.Equal(t, geom.Millimetre/4, fine[0].Step)
	ws := walls(p)
	all, beams, _ := lamps(p, w, s)
	const cell = 0.25
	type ray struct{ x, y, e float64 }
	var parts [2][]ray
	for j := range int(40 / cell) {
		for i := range int(80 / cell) {
			for _, l := range all {
				lx, ly := l.at.X.MM(), l.at.Y.MM()
				// Four points a cell, so that shadows' edges are as fine as the blur needs.
				for k := range 4 {
					x, y := (float64(i)+0.25+float64(k%2)/2)*cell-lx, (float64(j)+0.25+float64(k/2)/2)*cell-ly
					r := math.Hypot(x, y)
					e := l.candela * beams[l.beam].lux(r*r) * cell * cell / 4
					if e < 1e-4 || crossed(ws, lx, ly, lx+x, ly+y) {
						continue
					}
					for n, to := range []plane{o.scattered, o.straight} {
						gain, aside := to.at(r / beams[l.beam].z)
						x, y := lx+x*(1+aside/r), ly+y*(1+aside/r)
						if x > 0 && x < 80 && y > 0 && y < 40 { // outside there is no diffuser
							parts[n] = append(parts[n], ray{x, y, e * gain})
						}
					}
				}
			}
		}
	}
	var blur [2][]float64
	for n, c := range []curve{o.blur, o.softened} {
		blur[n] = make([]float64, 3000)
		for i := range blur[n] {
			blur[n][i] = hankel(c.at, float64(i)/30, furthest) / (4 * math.Pi * math.Pi)
		}
	}
	worst, brightest := 0.0, layers[0].Max()
	for _, q := range []geom.Pt{
		geom.PtMM(12, 9), geom.PtMM(20, 10), geom.PtMM(30, 20), geom.PtMM(40.3, 19.7), geom.PtMM(45, 11), geom.PtMM(55, 30), geom.PtMM(70, 35),
		geom.PtMM(26.8, 27), geom.PtMM(50, 10), geom.PtMM(5, 35), geom.PtMM(33.3, 9.1), geom.PtMM(15, 29),
	} {
		want := 0.0
		for n, rays := range parts {
			for _, e := range rays {
				want += e.e * blur[n][int(math.Hypot(e.x-q.X.MM(), e.y-q.Y.MM())*30+0.5)]
			}
		}
		got := layers[0].At(q)
		if want < 5e-2*brightest {
			require.InDelta(t, want, got, 5e-3*brightest, "%v", q)
			continue
		}
		worst = max(worst, math.Abs(got/want-1))
		require.InEpsilon(t, want, got, 0.02, "%v", q)
		require.InEpsilon(t, got, fine[0].At(q), 0.002, "%v", q)
	}
	t.Logf("largest difference %.2f %%", 100*worst)
}

// Bounces: between endless parallel sheets the light becomes 1/(1-rd·rb) of the direct one; and on a small panel, what the
// slow sum of one turn says.
func TestBounces(t *testing.T) {
	const h, rd, rb = 8.0, 0.5, 0.7
	direct := Grid{Step: geom.Millimetre / 2, W: 400, H: 400, V: make([]float64, 400*400)}
	for j := 190; j < 210; j++ {
		for i := 190; i < 210; i++ {
			direct.V[j*400+i] = 1000
		}
	}
	all := bounced(nil, direct, nil, rd, rd, rb, h)
	// Of the two passes each loses 6 % or less beyond the grid's edge.
	require.InEpsilon(t, direct.sum()/(1-rd*rb), direct.sum()+all.sum(), 0.03)
	for _, v := range all.V {
		require.GreaterOrEqual(t, v, 0.0)
	}

	p, w := shaded()
	s := UsualStack()
	in := inside(nil, p)
	lit, beams, _ := lamps(p, w, s)
	d := shine(nil, newGrid(p.Outline.Box(), geom.Millimetre/2, 0), lit, profiles(beams, plane{}), walls(p))
	const weak = 0.01 // so that one turn is all that counts
	got := bounced(nil, d, in, weak, weak, 1, h)
	// One turn summed up on cells of 1 mm.
	type cell struct{ x, y, v float64 }
	var from, back []cell
	g := Grid{Origin: geom.PtMM(0.5, 0.5), Step: geom.Millimetre, W: 80, H: 40, V: make([]float64, 80*40)}
	m := in(g)
	for j := range 40 {
		for i := range 80 {
			x, y := float64(i)+0.5, float64(j)+0.5
			from = append(from, cell{x, y, d.At(geom.PtMM(x, y)) * m[j*80+i]})
			back = append(back, cell{x, y, m[j*80+i]})
		}
	}
	for b := range back {
		sum := 0.0
		for _, f := range from {
			dx, dy := f.x-back[b].x, f.y-back[b].y
			sum += f.v * lambert(h, dx*dx+dy*dy)
		}
		back[b].v *= sum * weak
	}
	for _, q := range []geom.Pt{geom.PtMM(30, 20), geom.PtMM(55, 20), geom.PtMM(10, 30), geom.PtMM(70, 20)} {
		sum := 0.0
		for _, b := range back {
			dx, dy := b.x-q.X.MM(), b.y-q.Y.MM()
			sum += b.v * lambert(h, dx*dx+dy*dy)
		}
		require.InEpsilon(t, sum, got.At(q), 0.02, "%v", q)
	}
}

// Energy: through sheets that absorb nothing all light that LEDs send to a wide panel leaves its front or is swallowed behind it.
func TestEnergyBalance(t *testing.T) {
	p, w := desk(slew(), geom.PtMM(150, 150), geom.PtMM(160, 152))
	p.Outline = geom.Rect(geom.Box{Max: geom.PtMM(300, 300)})
	for _, k := range []float64{5, 30, 60} {
		for i := range w.LEDs {
			w.LEDs[i].Kind.HalfAngle = k
		}
		for _, grade := range Grades() {
			s := UsualStack().WithDiffuser(grade)
			s.Face, s.FaceTransmission, s.Absorption = 0, 1, 0
			o := newOptics(nil, s)
			lit, beams, _ := lamps(p, w, s)
			d := shine(nil, newGrid(p.Outline.Box(), geom.Millimetre/2, 0), lit, profiles(beams, plane{}), walls(p))
			// cos^m sends 2π/(m+1) lm per cd into the half space (the integral of I over it); the reach leaves a little out.
			m := lobe(k)
			lumen := 2 * 0.5 * 2 * math.Pi / (m + 1)
			require.InEpsilon(t, lumen, d.sum()/1e6, 0.01, "half angle %g", k)
			rb, h := s.back()
			b := bounced(nil, d, inside(nil, p), o.sentBack(lit, beams, plane{}), o.again, rb, h)
			layers, _ := lightOf(p, w, s, o, 0)
			front := layers[0].sum() / 1e6 * math.Pi
			back := (o.sentBack(lit, beams, plane{})*d.sum() + o.again*b.sum()) / 1e6
			require.InDelta(t, 1, o.again+o.around.at(0)*math.Pi, 0.01, "%s: of light from all sides nothing is lost", grade)
			require.InEpsilon(t, lumen, front+back*(1-rb), 0.04, "%s, half angle %g: all light is accounted for", grade, k)
		}
	}
}

// Coverage of cells by polygons is exact: areas of the window and single cells.
func TestCover(t *testing.T) {
	c := newCover(10, 8)
	pts := [][2]float64{{1.25, 1.5}, {8.75, 0.25}, {6.5, 7.75}, {-3, 5}}
	for i := range pts {
		j := (i + 1) % len(pts)
		c.edge(pts[i][0], pts[i][1], pts[j][0], pts[j][1])
	}
	const n = 40
	inPoly := func(x, y float64) bool {
		for i := range pts {
			j := (i + 1) % len(pts)
			if (pts[j][0]-pts[i][0])*(y-pts[i][1])-(pts[j][1]-pts[i][1])*(x-pts[i][0]) < 0 {
				return false
			}
		}
		return true
	}
	for j := range 8 {
		c.row(j, func(i int, share float64) {
			k := 0
			for a := range n * n {
				if inPoly(float64(i)+(float64(a%n)+0.5)/n, float64(j)+(float64(a/n)+0.5)/n) {
					k++
				}
			}
			require.InDelta(t, float64(k)/n/n, share, 0.02, "cell %d %d", i, j)
		})
	}
}

// Sight ends at the first wall, and only there.
func TestSight(t *testing.T) {
	require.Nil(t, sight([]wall{{100, 100, 110, 100}}, 0, 0, 50))
	s := sight([]wall{{5, -5, 5, 5}, {8, -2, 8, 2}}, 0, 0, 20)
	require.True(t, s.lights(4.9, 0))
	require.False(t, s.lights(5.1, 0))
	require.False(t, s.lights(10, 9))
	require.True(t, s.lights(10, 12))
	require.True(t, s.lights(-15, 0))
	require.False(t, s.lights(-25, 0))
	// Seen from the other side, and turned round.
	s = sight([]wall{{5, 5, 5, -5}}, 9, 0, 20)
	require.False(t, s.lights(-5, 0))
	require.True(t, s.lights(-3.9, 0))
}

// The work of the largest panel that is spoken of: 300 × 200 mm, 200 LEDs, four values a millimetre.
func BenchmarkLuminance(b *testing.B) {
	p, w := wide()
	b.Run("open", func(b *testing.B) {
		for b.Loop() {
			lightOf(p, w, UsualStack(), newOptics(nil, UsualStack()), geom.Millimetre/4)
		}
	})
	p.BodyDepth = panel.BehindDiffuser
	for i := range 10 {
		at := geom.PtMM(30+float64(i%5)*60, 50+float64(i/5)*100)
		p.Bodies = append(p.Bodies, geom.Circle(at, geom.MM(20)))
		p.Openings = append(p.Openings, panel.Opening{Contour: geom.Circle(at.Add(geom.Vec{X: geom.MM(22)}), geom.MM(12))})
	}
	b.Run("with bodies", func(b *testing.B) {
		for b.Loop() {
			lightOf(p, w, UsualStack(), newOptics(nil, UsualStack()), geom.Millimetre/4)
		}
	})
}

func wide() (panel.Panel, led.Wiring) {
	var at []geom.Pt
	for i := range 200 {
		at = append(at, geom.PtMM(8+float64(i%20)*15, 10+float64(i/20)*20))
	}
	p, w := desk(slew(), at...)
	p.Outline = geom.Rect(geom.Box{Max: geom.PtMM(300, 200)})
	for i := range w.LEDs {
		w.LEDs[i].Kind = part.LED{Name: "test", Curve: []part.VfPoint{{I: 0.020, V: 2}}, HalfAngle: 30, Candela: 0.5}
	}
	return p, w
}

// The same bits on one core and on many.
func TestSameOnAnyCores(t *testing.T) {
	p, w := shaded()
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	one := Evaluate(context.Background(), p, nil, w, UsualStack())
	runtime.GOMAXPROCS(7)
	require.Equal(t, one, Evaluate(context.Background(), p, nil, w, UsualStack()))
}

// Whatever a stack or an LED is told to be, the light is a number.
func TestOddStacks(t *testing.T) {
	p, w := shaded()
	nan := math.NaN()
	for i, change := range []func(*Stack){
		func(s *Stack) { *s = Stack{} },
		func(s *Stack) { s.Gap, s.Sunk = 0, -geom.Millimetre*50 },
		func(s *Stack) { s.Sunk, s.SheetTransmission = geom.MM(15), 0 },
		func(s *Stack) { s.Transmission, s.Absorption, s.Board = nan, nan, nan },
		func(s *Stack) { s.Transmission, s.Absorption = 1, 1 },
		func(s *Stack) { s.Transmission, s.Absorption, s.Board, s.SheetReflection = 0.001, 0, 1, 1 },
		func(s *Stack) { s.Diffuser, s.Face, s.Gap = geom.MM(100), geom.MM(100), geom.MM(100) },
		func(s *Stack) { s.Diffuser, s.Face = -1, -1 },
	} {
		s := UsualStack()
		change(&s)
		f := Evaluate(context.Background(), p, nil, w, s)
		for _, v := range []float64{f.Mean, f.Min, f.Max, f.MinToMean, f.MaxToMin} {
			require.False(t, math.IsNaN(v) || math.IsInf(v, 0) || v < 0, "stack %d: %v", i, f.Figures)
		}
		require.NotPanics(t, func() { Judge(nil, p, nil, f, s, UsualLimits()) })
	}
	for _, a := range []part.Amp{part.Amp(nan), -1, part.Amp(math.Inf(1)), 1e9} {
		for i := range w.Strings {
			w.Strings[i].Nominal = a
		}
		f := Evaluate(context.Background(), p, nil, w, UsualStack())
		require.False(t, math.IsNaN(f.Mean) || math.IsInf(f.Mean, 0), "%v", a)
	}
}

// pointLux returns the illuminance, lx, on a plane at height z mm from a source of 1 cd, at a distance from the axis whose
// square is r2 mm²: cos^(m+3) θ / z².
func pointLux(m, z, r2 float64) float64 {
	return 1e6 / float64(z*z) * math.Pow(1+r2/float64(z*z), -(m+3)/2)
}

// sum returns the sum of all values times the area of a cell, mm².
func (g Grid) sum() float64 {
	s := 0.0
	for _, v := range g.V {
		s += v
	}
	return s * g.Step.MM() * g.Step.MM()
}
