package route

import (
	"fmt"
	"testing"
	"time"

	"lampblack/panel/geom"
)

func TestDbg(t *testing.T) {
	b, _ := placed(1, 500)
	b.Rules.Signal = geom.MM(2)
	b.Rules.Track = geom.MM(1.5)
	b.Rules.Clearance = geom.MM(1.8)
	t0 := time.Now()
	_, f, l := Route(b, Options{})
	fmt.Println(time.Since(t0), f.Unrouted, len(l), f.Work, f.Iterations)
	for _, x := range l[:min(3, len(l))] {
		fmt.Println(x.Text, x.Advice)
	}
}
