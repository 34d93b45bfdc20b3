package route

import (
	"fmt"
	"testing"
	"time"
)

func TestDbg(t *testing.T) {
	for seed := uint64(1); seed < 4; seed++ {
		b := scatter(seed)
		t0 := time.Now()
		r := newRouter(b, Options{})
		r.negotiate(48)
		t1 := time.Now()
		r.refine()
		r.refine()
		o := 0
		for _, n := range r.nets {
			o += n.open()
		}
		lay := r.layOut()
		bad := func() (k, c int) {
			for _, x := range lay.runs {
				x.cache = nil
				p := lay.price(x, x.path)
				if p >= broken {
					k++
				} else if p >= crossing {
					c++
				}
			}
			return
		}
		b0, c0 := bad()
		t2 := time.Now()
		lay.tidy(3)
		b1, c1 := bad()
		t3 := time.Now()
		for _, x := range lay.runs {
			for _, s := range x.path.Segments() {
				if v := lay.w.look(s, (x.width+1)/2, x.on, x.net); v.slack < 0 {
					fmt.Println("   ", x.net, x.on, x.width, x.a.pin, x.b.pin, s, int(v.slack), "of", len(x.path))
				}
			}
		}
		lay.widen()
		fmt.Println("seed", seed, "open", o, "runs", len(lay.runs), "broken raw", b0, c0, "after", b1, c1, "proved bad", lay.prove(), t1.Sub(t0), t2.Sub(t1), t3.Sub(t2), r.s.work, r.rounds)
	}
}
