package read

import (
	"slices"

	"github.com/tidwall/rtree"

	"lampblack/panel/dxf"
	"lampblack/panel/work"
)

// finder finds loops by place, so that drawings with very many of them stay fast.
type finder struct {
	watch *work.Watch
	tree  rtree.RTreeG[int]
}

func newFinder(w *work.Watch, ls []loop) *finder {
	f := &finder{watch: w}
	for i := range ls {
		f.add(ls[i].box, i)
	}
	return f
}

func (f *finder) add(b dxf.Box, i int) {
	f.watch.Step()
	f.tree.Insert([2]float64{b.Min.X, b.Min.Y}, [2]float64{b.Max.X, b.Max.Y}, i)
}

// near returns the indexes of the loops whose boxes come within d of the box, in order.
func (f *finder) near(b dxf.Box, d float64) []int {
	f.watch.Step()
	var out []int
	f.tree.Search([2]float64{b.Min.X - d, b.Min.Y - d}, [2]float64{b.Max.X + d, b.Max.Y + d},
		func(_, _ [2]float64, i int) bool { out = append(out, i); return true })
	slices.Sort(out)
	return out
}
