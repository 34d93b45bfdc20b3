package sheet

import (
	"testing"

	"lampblack/panel/geom"
)

func BenchmarkSheets(b *testing.B) {
	p, opt := desk(), Options{Kerf: geom.MM(0.2)}
	for b.Loop() {
		for _, s := range []Sheet{Face(b.Context(), p, nil, opt), Diffuser(b.Context(), p, opt), LED(b.Context(), p, opt)} {
			s.SVG(b.Context())
			if _, err := s.DXF(b.Context()); err != nil {
				b.Fatal(err)
			}
		}
	}
}
