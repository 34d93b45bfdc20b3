package sheet

import (
	"testing"

	"lampblack/panel/geom"
)

func BenchmarkSheets(b *testing.B) {
	p, opt := desk(), Options{Kerf: geom.MM(0.2)}
	for b.Loop() {
		Face(p, opt)
		Diffuser(p, opt)
		LED(p, opt)
	}
}
