package route

import (
	"fmt"
	"testing"
	"time"
)

func TestProf(t *testing.T) {
	b := desk(1, 500, 400, 300)
	t0 := time.Now()
	r := newRouter(b, Options{})
	fmt.Println("init", time.Since(t0))
	press := int32(firstPress)
	w := 0
	sig := 0
	for _, n := range r.nets {
		r.connect(n, press)
		r.paint(n, 1)
		if n.supply {
			fmt.Println(n.name, r.s.work-w, len(n.pins), time.Since(t0))
		} else {
			sig += r.s.work - w
		}
		w = r.s.work
	}
	fmt.Println("signals", sig, time.Since(t0))
	for k := 0; k < 48; k++ {
		bad := r.conflicts()
		if len(bad) == 0 {
			break
		}
		press = min(press*pressGrowth/100, mostPress)
		for _, k := range bad {
			n := r.nets[k]
			w = r.s.work
			r.paint(n, -1)
			// Its own copper is off the map now, so what is left is others'.
			r.tear(n, 1)
			o := n.open()
			r.connect(n, press)
			r.paint(n, 1)
			if r.s.work-w > 100000 {
				fmt.Println(k, n.name, o, r.s.work-w)
			}
		}
		fmt.Println("round", k, len(bad), r.s.work, time.Since(t0))
	}
	w = r.s.work
	r.refine()
	fmt.Println("refine", r.s.work-w, time.Since(t0))
}
