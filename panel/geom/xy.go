package geom

import "math"

// XY is a position or direction in a drawing's own frame, in millimetres: X right, Y up. It may lie far from zero; what is
// built lies in a panel's frame, as Pt.
type XY struct{ X, Y float64 }

// Add returns the sum.
func (p XY) Add(q XY) XY { return XY{p.X + q.X, p.Y + q.Y} }

// Sub returns the difference.
func (p XY) Sub(q XY) XY { return XY{p.X - q.X, p.Y - q.Y} }

// Times returns p scaled by k.
func (p XY) Times(k float64) XY { return XY{p.X * k, p.Y * k} }

// Dot returns the dot product.
func (p XY) Dot(q XY) float64 { return float64(p.X*q.X) + float64(p.Y*q.Y) }

// Cross returns the cross product.
func (p XY) Cross(q XY) float64 { return float64(p.X*q.Y) - float64(p.Y*q.X) }

// Len returns the length.
func (p XY) Len() float64 { return math.Hypot(p.X, p.Y) }

// Dist returns the distance.
func (p XY) Dist(q XY) float64 { return math.Hypot(p.X-q.X, p.Y-q.Y) }

// XYBox is an axis-parallel rectangle in the drawing's frame, mm.
type XYBox struct{ Min, Max XY }

// EmptyXYBox holds nothing and grows with With.
func EmptyXYBox() XYBox {
	return XYBox{XY{math.Inf(1), math.Inf(1)}, XY{math.Inf(-1), math.Inf(-1)}}
}

// Empty reports whether the box holds no point.
func (b XYBox) Empty() bool { return !(b.Min.X <= b.Max.X && b.Min.Y <= b.Max.Y) }

// With returns the box grown to hold p.
func (b XYBox) With(p XY) XYBox {
	return XYBox{XY{min(b.Min.X, p.X), min(b.Min.Y, p.Y)}, XY{max(b.Max.X, p.X), max(b.Max.Y, p.Y)}}
}

// Union returns the smallest box round both.
func (b XYBox) Union(c XYBox) XYBox {
	if c.Empty() {
		return b
	}
	return b.With(c.Min).With(c.Max)
}

// Centre returns the middle.
func (b XYBox) Centre() XY { return b.Min.Add(b.Max).Times(0.5) }

// Moved returns the box elsewhere.
func (b XYBox) Moved(by XY) XYBox { return XYBox{b.Min.Add(by), b.Max.Add(by)} }

// W returns the width, 0 for an empty box.
func (b XYBox) W() float64 { return max(0, b.Max.X-b.Min.X) }

// H returns the height, 0 for an empty box.
func (b XYBox) H() float64 { return max(0, b.Max.Y-b.Min.Y) }

// Contains reports whether p lies in the box or on its border.
func (b XYBox) Contains(p XY) bool {
	return p.X >= b.Min.X && p.X <= b.Max.X && p.Y >= b.Min.Y && p.Y <= b.Max.Y
}
