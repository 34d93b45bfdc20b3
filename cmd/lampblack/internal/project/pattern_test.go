package project

import (
	"fmt"
	"math/rand/v2"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// A pattern of a bound holds of exactly the decimals that arithmetic says, whatever zeros and points they are written with.
func TestBoundsAsPatterns(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	bounds := []float64{0, 1, 9, 10, 19, 60, 85, 100, 109, 950, 999, 1000, 5000, 100000, 0.5, 0.01, 0.92, 92, 3.2, 0.0175, 17.5, 0.4, 12.05, 0.001, 99.99}
	for _, b := range bounds {
		up := regexp.MustCompile(`^(?:` + upTo(b) + `)$`)
		least := regexp.MustCompile(`^(?:` + from(b, false) + `)$`)
		above := regexp.MustCompile(`^(?:` + from(b, true) + `)$`)
		var tries []string
		for i := 0; i <= 1200; i++ {
			tries = append(tries, fmt.Sprint(i))
		}
		for _, d := range []float64{0, 0.001, -0.001, 0.01, -0.01, 0.1, -0.1, 1, -1, 10, 0.5, 0.05} {
			if b+d >= 0 {
				tries = append(tries, strconv.FormatFloat(b+d, 'f', -1, 64), strconv.FormatFloat(b+d, 'f', 3, 64), "00"+strconv.FormatFloat(b+d, 'f', 6, 64))
			}
		}
		for range 2000 {
			tries = append(tries, strconv.FormatFloat(r.Float64()*2*(b+1), 'f', r.IntN(6), 64))
		}
		for _, s := range tries {
			for _, s := range []string{s, strings.TrimPrefix(s, "0"), s + "."} {
				v, err := strconv.ParseFloat(s, 64)
				if err != nil || strings.Count(s, ".") > 1 {
					continue
				}
				require.Equal(t, v <= b, up.MatchString(s), "%s up to %v", s, b)
				require.Equal(t, v >= b, least.MatchString(s), "%s from %v", s, b)
				require.Equal(t, v > b, above.MatchString(s), "%s above %v", s, b)
			}
		}
	}
}
