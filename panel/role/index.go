package role

import (
	"github.com/tidwall/rtree"

	"lampblack/panel/geom"
)

// index finds things and strokes by their boxes.
type index struct{ tree rtree.RTreeG[int] }

func (x *index) add(b geom.XYBox, i int) {
	x.tree.Insert([2]float64{b.Min.X, b.Min.Y}, [2]float64{b.Max.X, b.Max.Y}, i)
}

// near visits those whose boxes come within reach of the box along X and Y, for as long as see says so.
func (x *index) near(b geom.XYBox, reach float64, see func(i int) bool) {
	x.tree.Search([2]float64{b.Min.X - reach, b.Min.Y - reach}, [2]float64{b.Max.X + reach, b.Max.Y + reach},
		func(_, _ [2]float64, i int) bool { return see(i) })
}
