package legend_test

import (
	"fmt"
	"os"
	"strings"
	"testing"
	"time"

	"lampblack/board"
	"lampblack/board/boardtest"
	"lampblack/board/legend"
	"lampblack/board/place"
	"lampblack/board/shape"
	"lampblack/panel"
	"lampblack/panel/geom"
)

func path(r geom.Ring) string {
	var s strings.Builder
	for i, p := range r {
		c := "L"
		if i == 0 {
			c = "M"
		}
		fmt.Fprintf(&s, "%s%.4f %.4f", c, p.X.MM(), p.Y.MM())
	}
	return s.String()
}

func dump(b board.Board, side geom.Side, name string) {
	box := b.Outline.Box().Grown(2e6)
	var s strings.Builder
	fmt.Fprintf(&s, `<svg xmlns="http://www.w3.org/2000/svg" width="1800" viewBox="%f %f %f %f"><rect x="%f" y="%f" width="1000" height="1000" fill="#888"/>`, 0.0, 0.0, box.W().MM(), box.H().MM(), -10., -10.)
	sx, tx := 1.0, -box.Min.X.MM()
	if side == geom.Bottom {
		sx, tx = -1.0, box.Max.X.MM()
	}
	fmt.Fprintf(&s, `<g transform="matrix(%f 0 0 -1 %f %f)">`, sx, tx, box.Max.Y.MM())
	d := ""
	for _, r := range b.Material().Rings() {
		d += path(r) + "Z"
	}
	fmt.Fprintf(&s, `<path d="%s" fill="#14532d" fill-rule="evenodd" stroke="#000" stroke-width="0.1"/>`, d)
	for _, h := range b.Holes {
		fmt.Fprintf(&s, `<circle cx="%f" cy="%f" r="%f" fill="#000"/>`, h.At.X.MM(), h.At.Y.MM(), h.D.MM()/2)
	}
	for _, p := range b.Parts {
		if p.On == side {
			fmt.Fprintf(&s, `<path d="%sZ" fill="#ffffff22" stroke="#fff6" stroke-width="0.05"/>`, path(p.Courtyard))
			fmt.Fprintf(&s, `<path d="%sZ" fill="#0004"/>`, path(p.Body))
		}
		for _, q := range p.Pads {
			if q.OnSide(side) {
				fmt.Fprintf(&s, `<path d="%sZ" fill="#d9b34a"/>`, path(q.Contour(q.Mask).Ring(2000)))
				if q.Through {
					fmt.Fprintf(&s, `<circle cx="%f" cy="%f" r="%f" fill="#000"/>`, q.At.X.MM(), q.At.Y.MM(), q.Drill.MM()/2)
				}
			}
		}
	}
	byNet := map[int][]geom.Pt{}
	for _, p := range b.Parts {
		for _, q := range p.Pads {
			if q.Net > 2 {
				byNet[int(q.Net)] = append(byNet[int(q.Net)], q.At)
			}
		}
	}
	for _, v := range byNet {
		if len(v) == 2 {
			fmt.Fprintf(&s, `<path d="%s" stroke="#f64" stroke-width="0.15" fill="none"/>`, path(geom.Ring(v)))
		}
	}
	for _, k := range b.Legend {
		if k.On != side {
			continue
		}
		fmt.Fprintf(&s, `<path d="%s" stroke="#fff" stroke-width="%f" stroke-linecap="round" stroke-linejoin="round" fill="none"/>`, path(geom.Ring(k.Path)), k.Width.MM())
	}
	s.WriteString("</g></svg>")
	os.WriteFile("/tmp/w/"+name+".svg", []byte(s.String()), 0o644)
}

func TestZZDump(t *testing.T) {
	for _, c := range []struct {
		seed uint64
		n    int
	}{{1, 12}, {5, 30}, {4, 60}, {11, 120}, {7, 500}}[:0] {
		p := boardtest.Panel(c.seed, c.n)
		t0 := time.Now()
		bare, l := shape.Derive(p, board.UsualRules())
		t1 := time.Now()
		w := boardtest.Wiring(p)
		b, fig, l2 := place.Place(bare, p, w, place.Options{})
		t2 := time.Now()
		b, lf := legend.Print(b, legend.Options{Name: p.Name, Revision: "A", Supply: "12 V DC"})
		t3 := time.Now()
		fmt.Println(c, len(p.LEDs), l, l2, fig, lf, t1.Sub(t0), t2.Sub(t1), t3.Sub(t2))
		dump(b, geom.Top, fmt.Sprintf("b%d-top", c.n))
		dump(b, geom.Bottom, fmt.Sprintf("b%d-bottom", c.n))
	}
}

func TestZZDense(t *testing.T) {
	for _, c := range []struct {
		n          int
		pitch, mar float64
		keep       bool
	}{{8, 7, 9, false}, {8, 6, 7, false}, {10, 6, 9, true}, {6, 5.2, 6, false}, {2, 8, 8, false}, {8, 4.4, 10, false}} {
		size := float64(c.n-1)*c.pitch + 2*c.mar
		p := panel.Panel{Name: "dense", Outline: geom.Rect(geom.BoxOf(geom.PtMM(0, 0), geom.PtMM(size, size)))}
		for i := range c.n {
			for k := range c.n {
				p.LEDs = append(p.LEDs, panel.Hole{At: geom.PtMM(c.mar+float64(i)*c.pitch, c.mar+float64(k)*c.pitch), D: 3e6})
			}
		}
		bare, l := shape.Derive(p, board.UsualRules())
		w := boardtest.Wiring(p)
		t1 := time.Now()
		b, fig, l2 := place.Place(bare, p, w, place.Options{KeepTurn: c.keep})
		t2 := time.Now()
		b, lf := legend.Print(b, legend.Options{Name: p.Name, Revision: "A", Supply: "12 V DC"})
		t3 := time.Now()
		fmt.Println(c, len(p.LEDs), len(l), len(l2), fig, lf, t2.Sub(t1), t3.Sub(t2))
		for i, f := range l2 {
			if i < 4 {
				fmt.Println("   ", f.Severity, f.Code, f.Text, f.Advice, *f.Place.At)
			}
		}
		dump(b, geom.Top, fmt.Sprintf("d%d-%v-top", c.n, c.pitch))
		dump(b, geom.Bottom, fmt.Sprintf("d%d-%v-bottom", c.n, c.pitch))
	}
}
