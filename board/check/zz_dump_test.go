package check_test

import (
	"testing"

	"lampblack/panel/geom"
)

func TestZZ(t *testing.T) {
	b, _, _ := made(1, 10)
	for i, a := range b.Areas {
		if a.On != geom.Bottom {
			continue
		}
		for k, r := range a.Fill.Rings() {
			for j, p := range r {
				if p.Dist(geom.PtMM(20.72, 29.18)) < 4e5 {
					t.Logf("area %d ring %d pt %d %.5f %.5f", i, k, j, p.X.MM(), p.Y.MM())
				}
			}
		}
	}
	for _, p := range b.Parts {
		for _, d := range p.Pads {
			if d.At.Dist(geom.PtMM(20.72, 29.18)) < 3e6 {
				t.Logf("%s %+v %s", p.Ref, d, b.Nets[d.Net].Name)
			}
		}
	}
	for _, tr := range b.Tracks {
		for _, s := range tr.Path.Segments() {
			if s.DistTo(geom.PtMM(20.72, 29.18)) < 1.5e6 && tr.On == geom.Bottom {
				t.Logf("track %s w %v %v", b.Nets[tr.Net].Name, tr.Width, s)
			}
		}
	}
}
