package check_test

import (
	"fmt"
	"os"
	"strconv"
	"testing"

	"lampblack/board/check"
)

func TestZZField(t *testing.T) {
	n, _ := strconv.Atoi(os.Getenv("ZZN"))
	from, _ := strconv.Atoi(os.Getenv("ZZFROM"))
	to, _ := strconv.Atoi(os.Getenv("ZZTO"))
	for seed := from; seed <= to; seed++ {
		b, w, l := made(uint64(seed), n)
		if l.HasErrors() {
			fmt.Println("seed", seed, "refused:", l.Err())
			continue
		}
		found := check.Audit(b, w)
		for _, f := range found {
			at := ""
			if f.Place.At != nil {
				at = fmt.Sprint(*f.Place.At)
			}
			fmt.Println("seed", seed, f.Severity, f.Code, at, f.Text)
		}
		fmt.Printf("seed %d leds %d findings %d %+v\n", seed, len(w.LEDs), len(found), check.Measure(b))
	}
}
