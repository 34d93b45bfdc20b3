package light

import (
	"math"

	"lampblack/led"
	"lampblack/panel"
	"lampblack/panel/geom"
)

// Grid is a field of values on a square grid: value (i, j) at Origin + (i, j)·Step.
type Grid struct {
	Origin geom.Pt
	Step   geom.Nm
	W, H   int
	V      []float64 // row by row from the bottom
}

// At returns the value at p, between the four nearest ones; beyond the border that of the border.
func (g Grid) At(p geom.Pt) float64 {
	if g.W == 0 || g.H == 0 {
		return 0
	}
	x := min(max(float64(p.X-g.Origin.X)/float64(g.Step), 0), float64(g.W-1))
	y := min(max(float64(p.Y-g.Origin.Y)/float64(g.Step), 0), float64(g.H-1))
	i, j := min(int(x), max(g.W-2, 0)), min(int(y), max(g.H-2, 0))
	i1, j1 := min(i+1, g.W-1), min(j+1, g.H-1)
	fx, fy := x-float64(i), y-float64(j)
	low := float64(g.V[j*g.W+i]*(1-fx)) + float64(g.V[j*g.W+i1]*fx)
	high := float64(g.V[j1*g.W+i]*(1-fx)) + float64(g.V[j1*g.W+i1]*fx)
	return float64(low*(1-fy)) + float64(high*fy)
}

// Max returns the greatest value.
func (g Grid) Max() float64 {
	m := 0.0
	for _, v := range g.V {
		m = max(m, v)
	}
	return m
}

// lamp is an LED that shines.
type lamp struct {
	at      geom.Pt
	candela float64 // on axis
	m       float64
}

// unknownCandela stands for kinds of unknown intensity.
const unknownCandela = 0.1

// lamps returns the LEDs of the board with the intensity that their string's current gives them, in proportion to the
// intensity at the current of the kind's data sheet; assumed tells that one's intensity is not known.
func lamps(p panel.Panel, w led.Wiring) (out []lamp, assumed bool) {
	for _, l := range w.LEDs {
		if l.Hole < 0 || l.Hole >= len(p.LEDs) || int(l.String) >= len(w.Strings) || len(l.Kind.Curve) == 0 {
			continue
		}
		cd := l.Kind.Candela
		if !(cd > 0) {
			cd, assumed = unknownCandela, true
		}
		share := float64(w.Strings[l.String].Nominal) / float64(l.Kind.Curve[0].I)
		out = append(out, lamp{p.LEDs[l.Hole].At, cd * share, lobe(l.Kind.HalfAngle)})
	}
	return out, assumed
}

// lobe returns the exponent m of cos^m θ that is one half at the half angle, degrees: m = -ln 2 / ln cos θ½. Angles are
// taken between 3° and 80°.
func lobe(halfAngle float64) float64 {
	if math.IsNaN(halfAngle) || halfAngle <= 0 {
		halfAngle = 30
	}
	a := min(max(halfAngle, 3), 80) * math.Pi / 180
	return -math.Ln2 / math.Log(math.Cos(a))
}

// plane returns the illuminance, lx, on a plane at height z mm from a source of 1 cd, at a distance from the axis whose
// square is r2 mm²: cos^(m+3) θ / z².
func plane(m, z, r2 float64) float64 {
	return 1e6 / float64(z*z) * math.Pow(1+r2/float64(z*z), -(m+3)/2)
}

// Limits of a grid: the finest step, and about how many values it may have before the step grows.
const (
	gridStep  = geom.Millimetre / 2
	gridCells = 200_000
)

// Illuminance returns the light on the back of the diffuser over the box, smoothed as the diffuser does. With step 0 it
// chooses one: half a millimetre, more for large boxes.
func Illuminance(p panel.Panel, w led.Wiring, s Stack, box geom.Box, step geom.Nm) Grid {
	if box.Empty() {
		return Grid{}
	}
	spread := max(s.Spread, 0)
	border := 3 * spread
	area := float64(box.W()+2*border) * float64(box.H()+2*border)
	least := geom.Nm(math.Ceil(math.Sqrt(area / (4 * gridCells))))
	if step <= 0 {
		step = max(gridStep, geom.Nm(math.Ceil(math.Sqrt(area/gridCells))))
	}
	step = max(step, least)
	// The border lets the smoothing see beyond the box.
	pad := int(math.Ceil(float64(border) / float64(step)))
	g := Grid{
		Origin: geom.Pt{X: box.Min.X - geom.Nm(pad)*step, Y: box.Min.Y - geom.Nm(pad)*step},
		Step:   step,
		W:      int(box.W()/step) + 2 + 2*pad,
		H:      int(box.H()/step) + 2 + 2*pad,
	}
	g.V = make([]float64, g.W*g.H)
	all, _ := lamps(p, w)
	z := max(s.Distance, geom.Millimetre/2).MM()
	g.shine(all, z)
	return g.smoothed(spread).cropped(pad)
}

// profile is plane's fall-off over u = r/z, tabled: on a panel it is asked for many million times.
//
// The table has equal steps of t = u/(1+u), which is fine near the axis and reaches to any distance; lines between its
// entries are within 1e-6 of the value on the axis.
type profile struct {
	m float64
	v []float64
}

const profileSteps = 1 << 13

func newProfile(m, z float64) profile {
	p := profile{m: m, v: make([]float64, profileSteps+2)}
	for i := range profileSteps {
		t := float64(i) / profileSteps
		u := t / (1 - t)
		p.v[i] = plane(m, z, float64(u*u)*z*z)
	}
	return p // the last entries, infinitely far away, are 0
}

func (p profile) at(u float64) float64 {
	x := u / (1 + u) * profileSteps
	i := int(x)
	f := x - float64(i)
	return float64(p.v[i]*(1-f)) + float64(p.v[i+1]*f)
}

// shine adds the light of all lamps.
func (g Grid) shine(all []lamp, z float64) {
	var profiles []profile
	step := g.Step.MM()
	for _, l := range all {
		k := -1
		for i := range profiles {
			if profiles[i].m == l.m {
				k = i
			}
		}
		if k < 0 {
			profiles = append(profiles, newProfile(l.m, z))
			k = len(profiles) - 1
		}
		pr := profiles[k]
		x0, y0 := (g.Origin.X - l.at.X).MM(), (g.Origin.Y - l.at.Y).MM()
		reach := z * pr.reach()
		for j := range g.H {
			y := y0 + float64(float64(j)*step)
			if math.Abs(y) > reach {
				continue
			}
			y2 := float64(y * y)
			half := math.Sqrt(reach*reach - y2)
			from := int(min(max(math.Ceil((-half-x0)/step), 0), float64(g.W)))
			to := int(min(max(math.Floor((half-x0)/step)+1, float64(from)), float64(g.W)))
			row := g.V[j*g.W : (j+1)*g.W]
			for i := from; i < to; i++ {
				x := x0 + float64(float64(i)*step)
				row[i] += float64(l.candela * pr.at(math.Sqrt(float64(x*x)+y2)/z))
			}
		}
	}
}

// nothing is the share of the light on the axis below which an LED is not followed: a thousand LEDs that far away are
// still a ten thousandth.
const nothing = 1e-7

// reach returns the u = r/z where the light has fallen to nothing: (1 + u²)^((m+3)/2) = 1/nothing.
func (p profile) reach() float64 { return math.Sqrt(math.Pow(nothing, -2/(p.m+3)) - 1) }

// smoothed returns the grid convolved with a Gaussian of the given standard deviation, cut off at three of them.
func (g Grid) smoothed(sd geom.Nm) Grid {
	s := float64(sd) / float64(g.Step)
	n := int(math.Ceil(3 * s))
	if n == 0 || s < 0.2 {
		return g
	}
	kernel := make([]float64, n+1)
	sum := 0.0
	for i := range kernel {
		kernel[i] = math.Exp(-float64(i*i) / (2 * s * s))
		sum += kernel[i]
		if i > 0 {
			sum += kernel[i]
		}
	}
	for i := range kernel {
		kernel[i] /= sum
	}
	out := g
	out.V = blur(blur(g.V, g.W, g.H, kernel), g.H, g.W, kernel) // each pass transposes
	return out
}

// blur convolves the rows and returns them as columns.
func blur(v []float64, w, h int, kernel []float64) []float64 {
	out := make([]float64, len(v))
	for j := range h {
		row := v[j*w : (j+1)*w]
		for i := range w {
			sum := float64(row[i] * kernel[0])
			for k := 1; k < len(kernel); k++ {
				sum += float64(kernel[k] * (row[max(i-k, 0)] + row[min(i+k, w-1)]))
			}
			out[i*h+j] = sum
		}
	}
	return out
}

// cropped returns the grid without pad values on each side.
func (g Grid) cropped(pad int) Grid {
	out := Grid{
		Origin: geom.Pt{X: g.Origin.X + geom.Nm(pad)*g.Step, Y: g.Origin.Y + geom.Nm(pad)*g.Step},
		Step:   g.Step, W: g.W - 2*pad, H: g.H - 2*pad,
	}
	for j := range out.H {
		from := (j+pad)*g.W + pad
		out.V = append(out.V, g.V[from:from+out.W]...)
	}
	return out
}

// Luminance returns what the viewer sees of the grid of illuminance, cd/m²: a diffuser that scatters evenly to all sides
// has L = T·E/π (Lambert).
func (g Grid) Luminance(s Stack) Grid {
	out := g
	out.V = make([]float64, len(g.V))
	for i, e := range g.V {
		out.V[i] = s.Transmission * e / math.Pi
	}
	return out
}
