package boardtest_test

import ("testing";"fmt";"os";"lampblack/board/boardtest";"lampblack/board/place";"lampblack/panel/geom")

func TestZZ2(t *testing.T) {
	o := make1(boardtest.FieldCase(158), place.Options{})
	at := geom.PtMM(48.46, 9.61)
	for i, a := range o.board.Areas {
		if a.On != geom.Top { continue }
		for k, r := range a.Fill.Rings() {
			for j, p := range r {
				if p.Dist(at) < 0.3e6 { fmt.Fprintln(os.Stderr, i, k, j, len(r), p.X.MM(), p.Y.MM()) }
			}
		}
	}
	for _, p := range o.board.Parts { for _, q := range p.Pads { if q.At.Dist(at) < 3e6 { fmt.Fprintln(os.Stderr, p.Ref, p.On, q.Net, q.Function, q.Shape, q.At.X.MM(), q.At.Y.MM(), q.W, q.H, q.Through, q.Solid) } } }
	for _, tr := range o.board.Tracks { for _, s := range tr.Path.Segments() { if tr.On == geom.Top && s.DistTo(at) < 2e6 { fmt.Fprintln(os.Stderr, tr.Net, tr.Width, s) } } }
	for _, h := range o.board.Holes { if h.At.Dist(at) < 5e6 { fmt.Fprintln(os.Stderr, h) } }
	r := o.board.Rules
	fmt.Fprintln(os.Stderr, r.Neck, r.Clearance, r.SpokeGap, r.Spoke, r.EdgeClearance)
}
