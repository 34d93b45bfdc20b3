package led

import (
	"fmt"
	"testing"
	"time"

	"lampblack/led/part"
)

func TestZZProbe(t *testing.T) {
	for _, across := range []float64{0, 0.001} {
		for _, boards := range []int{10, 40, 160} {
			panels, req := wall(boards, 350)
			c, _ := Design(panels, req)
			for i := range c.Boards {
				c.Boards[i].Across.Plus, c.Boards[i].Across.Minus = part.Ohm(across), part.Ohm(across)
			}
			n := 0
			for _, w := range c.Boards {
				n += len(w.Strings)
			}
			k := c.console()
			k.sort()
			t0 := time.Now()
			for range 20 {
				k.find(corner{})
			}
			d := time.Since(t0) / 20
			t1 := time.Now()
			v := make([]float64, k.solver.n+1)
			for range 20 {
				clear(v)
				k.solver.first(v, 24, nil)
			}
			f := time.Since(t1) / 20
			p, _ := k.find(corner{})
			last := k.across(p, k.taps[boards-1][0])
			fmt.Println("wall across", across, "boards", boards, "strings", n, "classes", len(k.classes), "n", k.solver.n, "band", k.solver.band, "find", d, "first", f, "last V", last)
		}
	}
}

func TestZZSolve(t *testing.T) {
	for _, boards := range []int{10, 40, 160} {
		chain := consoleOf(boards, 50)
		for _, scale := range []float64{1, 40.0 * 40 / float64(boards*boards)} {
			n := network{nodes: 3}
			n.join(emf, terminal, 0)
			p, m := terminal, ground
			loads := make([][]branch, len(chain))
			for i, s := range chain {
				np, nm := n.add(), n.add()
				n.join(p, np, s.ohms*scale*0.5)
				n.join(m, nm, s.ohms*scale*0.5)
				p, m = np, nm
				n.taps = append(n.taps, tap{p, m})
				for _, l := range s.loads {
					loads[i] = append(loads[i], l.branch(1))
				}
			}
			t0 := time.Now()
			s := n.compile()
			d0 := time.Since(t0)
			t0 = time.Now()
			var v []float64
			for range 10 {
				v, _ = s.solve(24, loads, nil)
			}
			fmt.Println("wall solve", boards, "scale", scale, "steps", s.steps, "band", s.band, "compile", d0, "solve", time.Since(t0)/10, "last", v[p]-v[m])
		}
	}
}
