package geom

import (
	"fmt"
	"math"
)

// Pt is a position in the panel frame: X right, Y up, seen from the LED side.
type Pt struct{ X, Y Nm }

// Vec is a difference of positions.
type Vec struct{ X, Y Nm }

// PtMM returns the position nearest to (x, y) millimetres.
func PtMM(x, y float64) Pt { return Pt{MM(x), MM(y)} }

// Add returns p moved by v.
func (p Pt) Add(v Vec) Pt { return Pt{p.X + v.X, p.Y + v.Y} }

// Sub returns the way from q to p.
func (p Pt) Sub(q Pt) Vec { return Vec{p.X - q.X, p.Y - q.Y} }

// Dist returns the Euclidean distance, in nanometres.
func (p Pt) Dist(q Pt) float64 { return p.Sub(q).Len() }

// Neg returns the opposite vector.
func (v Vec) Neg() Vec { return Vec{-v.X, -v.Y} }

// Plus returns the sum.
func (v Vec) Plus(w Vec) Vec { return Vec{v.X + w.X, v.Y + w.Y} }

// Cross returns the exact cross product v × w, in nm².
func (v Vec) Cross(w Vec) int64 { return int64(v.X)*int64(w.Y) - int64(v.Y)*int64(w.X) }

// Dot returns the exact dot product, in nm².
func (v Vec) Dot(w Vec) int64 { return int64(v.X)*int64(w.X) + int64(v.Y)*int64(w.Y) }

// Len returns the length, in nanometres.
func (v Vec) Len() float64 { return math.Sqrt(float64(v.Dot(v))) }

// Quarter returns v turned counter-clockwise by n quarter turns; n may be negative. Exact.
func (v Vec) Quarter(n int) Vec {
	switch ((n % 4) + 4) % 4 {
	case 1:
		return Vec{-v.Y, v.X}
	case 2:
		return Vec{-v.X, -v.Y}
	case 3:
		return Vec{v.Y, -v.X}
	}
	return v
}

// Turned returns v turned counter-clockwise by degrees, a multiple of 45. By quarter turns it is exact; by an odd multiple of 45
// degrees each coordinate is rounded once, to within a hundredth of a nanometre of the nearest whole one, in whole numbers: the
// same on every processor, and half a turn more is the exact opposite.
func (v Vec) Turned(degrees int) Vec {
	if degrees%EighthDegrees != 0 {
		panic(fmt.Sprintf("geom: a turn of %d degrees is no multiple of 45", degrees))
	}
	eighths := ((degrees / EighthDegrees % 8) + 8) % 8
	if eighths%2 == 0 {
		return v.Quarter(eighths / 2)
	}
	v = v.Quarter((eighths - 1) / 2)
	return Vec{halved(v.X - v.Y), halved(v.X + v.Y)}
}

// halved returns n times the square root of one half, rounded, halves away from zero. Sums of two coordinates within MaxCoord are
// below 2^31, and the root is below 2^30/2^30, so that the product fits.
func halved(n Nm) Nm {
	const bits, root = 30, 759_250_125 // 2^30·√½ = 759250124.994
	if n < 0 {
		return -halved(-n)
	}
	return Nm((int64(n)*root + 1<<(bits-1)) >> bits)
}

// Rotated returns v turned counter-clockwise by rad, rounded to whole nanometres once. Products are converted
// one by one so that no platform fuses them.
func (v Vec) Rotated(rad float64) Vec {
	s, c := math.Sin(rad), math.Cos(rad)
	x, y := float64(v.X), float64(v.Y)
	return Vec{Nm(math.Round(float64(x*c) - float64(y*s))), Nm(math.Round(float64(x*s) + float64(y*c)))}
}

// Turn is the outcome of Orient.
type Turn int8

const (
	CW        Turn = -1
	Collinear Turn = 0
	CCW       Turn = 1
)

// Orient reports the turn a→b→c. Exact for coordinates within MaxCoord.
func Orient(a, b, c Pt) Turn {
	switch k := b.Sub(a).Cross(c.Sub(a)); {
	case k > 0:
		return CCW
	case k < 0:
		return CW
	}
	return Collinear
}

// Box is a closed axis-parallel rectangle. The zero Box is a point at the origin; EmptyBox holds nothing.
type Box struct{ Min, Max Pt }

// EmptyBox returns the box that holds no point and to which any point can be added.
func EmptyBox() Box {
	return Box{Pt{math.MaxInt64, math.MaxInt64}, Pt{math.MinInt64, math.MinInt64}}
}

// BoxOf returns the smallest box round the points.
func BoxOf(pts ...Pt) Box {
	b := EmptyBox()
	for _, p := range pts {
		b = b.With(p)
	}
	return b
}

// Empty reports whether the box holds no point.
func (b Box) Empty() bool { return b.Min.X > b.Max.X || b.Min.Y > b.Max.Y }

// With returns the box grown to hold p.
func (b Box) With(p Pt) Box {
	return Box{Pt{min(b.Min.X, p.X), min(b.Min.Y, p.Y)}, Pt{max(b.Max.X, p.X), max(b.Max.Y, p.Y)}}
}

// Union returns the smallest box round both.
func (b Box) Union(c Box) Box {
	if b.Empty() {
		return c
	}
	if c.Empty() {
		return b
	}
	return b.With(c.Min).With(c.Max)
}

// Grown returns the box with every side moved outward by d.
func (b Box) Grown(d Nm) Box {
	return Box{Pt{b.Min.X - d, b.Min.Y - d}, Pt{b.Max.X + d, b.Max.Y + d}}
}

// Contains reports whether p lies in the box or on its border.
func (b Box) Contains(p Pt) bool {
	return p.X >= b.Min.X && p.X <= b.Max.X && p.Y >= b.Min.Y && p.Y <= b.Max.Y
}

// Touches reports whether the boxes share a point.
func (b Box) Touches(c Box) bool {
	return b.Min.X <= c.Max.X && c.Min.X <= b.Max.X && b.Min.Y <= c.Max.Y && c.Min.Y <= b.Max.Y
}

// Dist returns the distance between the boxes, in nanometres; 0 when they share a point.
func (b Box) Dist(c Box) float64 {
	dx, dy := max(b.Min.X-c.Max.X, 0, c.Min.X-b.Max.X), max(b.Min.Y-c.Max.Y, 0, c.Min.Y-b.Max.Y)
	return Vec{dx, dy}.Len()
}

// DistTo returns the distance from the box, its inside included, to the segment, in nanometres.
func (b Box) DistTo(s Segment) float64 {
	if b.Contains(s.A) || b.Contains(s.B) {
		return 0
	}
	best := math.Inf(1)
	for _, e := range (Ring{b.Min, {b.Max.X, b.Min.Y}, b.Max, {b.Min.X, b.Max.Y}}).Segments() {
		best = min(best, s.Dist(e))
	}
	return best
}

// W returns the width.
func (b Box) W() Nm { return b.Max.X - b.Min.X }

// H returns the height.
func (b Box) H() Nm { return b.Max.Y - b.Min.Y }

// Centre returns the middle, rounded down.
func (b Box) Centre() Pt { return Pt{(b.Min.X + b.Max.X) / 2, (b.Min.Y + b.Max.Y) / 2} }
