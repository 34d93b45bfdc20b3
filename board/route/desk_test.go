package route

import (
	"fmt"
	"math/rand/v2"

	"lampblack/board"
	"lampblack/led"
	"lampblack/panel/geom"
)

// desk builds a placed board by hand: n LEDs in words of two to seven, strings of three, a 1206 resistor above the
// first LED of each string, terminals IN at the left edge and OUT at the right. Sizes in mm; all of it made up.
func desk(seed uint64, n int, w, h float64) board.Board {
	r := rand.New(rand.NewPCG(seed, 7))
	b := board.Board{
		Name: "desk", Rules: board.UsualRules(), Laminate: board.UsualLaminate(), Outline: geom.Rect(geom.BoxOf(geom.PtMM(0, 0), geom.PtMM(w, h))),
		Nets: []led.Net{{}, {Name: "V+", Amps: 1}, {Name: "0V", Amps: 1}},
	}
	for _, x := range []float64{5, w - 5} {
		for _, y := range []float64{5, h - 5} {
			b.Holes = append(b.Holes, board.Hole{At: geom.PtMM(x, y), D: geom.MM(3.2), What: board.MountHole})
		}
	}
	var at [][2]float64
	for y := 12.0; y < h-14 && len(at) < n; y += 14 {
		x := 16 + r.Float64()*8
		for x < w-18 && len(at) < n {
			for k := 2 + r.IntN(6); k > 0 && x < w-18 && len(at) < n; k-- {
				at = append(at, [2]float64{x, y + r.Float64()*3})
				x += 7 + r.Float64()*4
			}
			x += 4 + r.Float64()*6
		}
	}
	through := func(pin, fn string, net led.NetID, x, y, d float64, sh board.PadShape) board.Pad {
		return board.Pad{Pin: pin, Function: fn, Net: net, At: geom.PtMM(x, y), Shape: sh, W: geom.MM(d), H: geom.MM(d), Through: true, Drill: geom.MM(0.9)}
	}
	next := func(s, k int) led.NetID {
		b.Nets = append(b.Nets, led.Net{Name: fmt.Sprintf("S%d.%d", s, k), Amps: 0.008})
		return led.NetID(len(b.Nets) - 1)
	}
	for i, s := 0, 1; i < len(at); s++ {
		x, y := at[i][0], at[i][1]
		from := next(s, 1)
		pad := func(pin string, net led.NetID, dx float64) board.Pad {
			return board.Pad{Pin: pin, Net: net, At: geom.PtMM(x+dx, y+5), Shape: board.Square, W: geom.MM(1.2), H: geom.MM(1.8), On: geom.Bottom}
		}
		b.Parts = append(b.Parts, board.Part{
			Ref: fmt.Sprintf("R%d", s), Kind: board.Resistor, On: geom.Bottom, At: geom.PtMM(x, y+5),
			Pads: []board.Pad{pad("1", led.Supply, -1.5), pad("2", from, 1.5)},
		})
		for k := 0; k < 3 && i < len(at); k, i = k+1, i+1 {
			to := led.Return
			if k < 2 && i+1 < len(at) {
				to = next(s, k+2)
			}
			x, y := at[i][0], at[i][1]
			b.Parts = append(b.Parts, board.Part{
				Ref: fmt.Sprintf("D%d", i+1), Kind: board.LED, At: geom.PtMM(x, y),
				Pads: []board.Pad{through("2", "A", from, x-1.27, y, 1.8, board.Round), through("1", "K", to, x+1.27, y, 1.8, board.Square)},
			})
			from = to
		}
	}
	for i, role := range []led.Role{led.In, led.Out} {
		x := 6.0
		if role == led.Out {
			x = w - 6
		}
		b.Parts = append(b.Parts, board.Part{
			Ref: fmt.Sprintf("J%d", i+1), Kind: board.Connector, Role: role, On: geom.Bottom, At: geom.PtMM(x, h/2),
			Pads: []board.Pad{through("1", "+", led.Supply, x, h/2-1.75, 2.2, board.Round), through("2", "-", led.Return, x, h/2+1.75, 2.2, board.Round)},
		})
	}
	return b
}
