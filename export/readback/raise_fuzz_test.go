package readback_test

import (
	"context"
	"testing"

	"lampblack/board"
	"lampblack/board/check"
	"lampblack/export"
	"lampblack/export/readback"
	"lampblack/led"
)

// FuzzRaise puts one layer's bytes to every use in a pack: whatever they hold, the board that comes of it can be audited.
func FuzzRaise(f *testing.F) {
	f.Add([]byte(body("%ADD10C,1*%", "%ADD11R,2X1*%", "D10*", "G01*", "X0Y0D02*", "X9000000D01*", "Y9000000D01*", "X0Y0D01*",
		"%TO.N,V+*%", "%TO.P,D1,1,A*%", "D11*", "X3000000Y3000000D03*")), []byte(xnc))
	f.Add([]byte(body("G36*", "X0Y0D02*", "G01*", "X5000000D01*", "Y5000000D01*", "X0Y0D01*", "G37*", "%LPC*%",
		"G36*", "X1000000Y500000D02*", "G01*", "X2000000D01*", "Y900000D01*", "X1000000Y500000D01*", "G37*")), []byte("M48\nMETRIC\nM30\n"))
	f.Fuzz(func(t *testing.T, src, holes []byte) {
		l, _ := readback.Gerber(nil, src, "a")
		d, _ := readback.Drill(holes, "b")
		if len(l.Objects) > 300 || len(d.Hits) > 300 {
			return
		}
		for _, o := range l.Objects {
			if len(o.Contour) > 300 {
				return
			}
		}
		var p readback.Pack
		for fn := export.CopperTop; fn <= export.Profile; fn++ {
			l.Function = fn
			p.Artwork.Layers = append(p.Artwork.Layers, l)
		}
		d.Plated = true
		p.Artwork.Drills = []export.Drill{d, {Tools: d.Tools, Hits: d.Hits}}
		b, _ := readback.Raise(t.Context(), p, board.UsualRules())
		check.Audit(context.Background(), b, led.Wiring{})
		check.Measure(context.Background(), b)
		readback.Compare(p.Artwork, p.Artwork)
	})
}
