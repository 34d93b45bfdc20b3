package route

import (
	"fmt"
	"testing"
)

func TestDbg(t *testing.T) {
	b, _ := placed(1, 20)
	r := newRouter(b, Options{})
	r.negotiate(48)
	r.refine()
	r.refine()
	for _, n := range r.nets {
		if n.id == 2 {
			for _, l := range n.legs {
				fmt.Println("leg", l.a, l.b, l.trunk, r.g.at(l.end(0)), r.g.at(l.end(1)), len(l.nodes), l.width)
			}
		}
	}
	lay := r.layOut()
	lay.tidy(3)
	for _, x := range lay.runs {
		if x.net == 2 {
			x.cache = nil
			fmt.Println(x.trunk, x.width, x.path, lay.price(x, x.path) >= broken)
		}
	}
}
