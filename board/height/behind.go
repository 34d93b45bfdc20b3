package height

import (
	"fmt"

	"lampblack/board/fasten"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
)

// screws tells screws whose ends have no room behind their board: by what the project tells is free there, and by what stands or sits
// where they come out, with nut and washer.
func (in In) screws(l *diag.List, t Told) {
	pieces := in.Pieces()
	for _, m := range in.Mounts {
		k, thread, ok := hardware(m.Thread)
		if !ok || m.Screw == 0 || m.Board == "" {
			continue
		}
		_, back := in.lastOf(m)
		out, x, y := m.OutLikely.Most, m.At.X.MM(), m.At.Y.MM()
		far := fmt.Sprintf("stands %v out behind the board", m.Out)
		told := func(free geom.Nm) string {
			if m.Out <= free {
				return fmt.Sprintf("%s, and %v where the sheets come out thin", far, out)
			}
			return far
		}
		for _, b := range in.Boards {
			if b.Name != m.Board {
				continue
			}
			if free, keys, ok := in.Free(b, t); ok && out > free {
				l.Add(diag.Warning, "fasten-screw-behind", "the screw of a mount, %s x %d, %s, and behind it are only %v", m.Thread, m.Screw/geom.Millimetre, told(free), free).
					Together("the screws of %d mounts stand farther out behind the board than there is room").
					About(keys...).At(x, y).Fix("cut them off behind the nut, make room behind, or measure the sheets: stack: {measured: {face: 2.8 mm}}")
			}
		}
		if q, at, ok := in.meets(m, k.d, k.flats, back, thread, pieces); ok {
			l.Add(diag.Warning, "fasten-screw-behind", "the screw of a mount, %s x %d, %s, and its nut meet the %s of %s, which stands there from %v behind the board on", m.Thread, m.Screw/geom.Millimetre, told(at-back), q.What, q.Of, max(0, at-back)).
				Together("the screws of %d mounts meet what stands behind the board").
				At(x, y).Fix("move the mount or what it meets, turn what it meets, or hold the board there by a threaded spacer, with a screw from behind that ends in it")
		}
	}
}

// meets returns the piece that the end of a screw, or its nut and washer, is in the way of first, and the depth at which it begins.
func (in In) meets(m fasten.Mount, shank, nut, back geom.Nm, t fasten.Thread, pieces []Piece) (first Piece, at geom.Nm, ok bool) {
	for _, q := range pieces {
		if q.Whose == Screw || q.What == Wire || q.To <= back { // wires give way
			continue
		}
		d, to := shank, back+m.OutLikely.Most
		if from := max(q.From, back); from < back+t.Washer+t.Nut {
			d = nut
		} else if from >= to {
			continue
		}
		g := geom.NewRegion(q.Shape.Ring(geom.FlattenTolerance))
		if g.Locate(m.At) == geom.Outside && g.DistTo(m.At) >= float64(d/2) {
			continue
		}
		if from := max(q.From, back); !ok || from < at {
			first, at, ok = q, from, true
		}
	}
	return first, at, ok
}
