package chance

import (
	"context"
	"math"
	"math/rand/v2"

	"lampblack/led"
)

// Lots draws the intensities of a panel's LEDs by chance, and tells how the darkest of its words comes out relative to their mean.
//
// light has the light of each LED on each word: words by LEDs. spread is, for each LED, how many times as bright as the dimmest LED
// of its lot the brightest may be; least and most are what a lot may have relative to the typical intensity. Intensities are drawn
// evenly on a scale of ratios, as bins are made: of one lot within its spread; of mixed lots each LED from a lot of its own.
func Lots(ctx context.Context, light [][]float64, spread, least, most []float64, seed uint64, draws int) led.LotSpread {
	out := led.LotSpread{Seed: seed, Draws: draws, Words: len(light)}
	if len(light) == 0 {
		return out
	}
	factor := make([]float64, len(spread))
	darkest := func() float64 {
		low, sum := math.Inf(1), 0.0
		for _, word := range light {
			l := 0.0
			for i, v := range word {
				l += float64(v * factor[i])
			}
			low, sum = min(low, l), sum+l
		}
		if sum <= 0 {
			return 0
		}
		return low / (sum / float64(len(light)))
	}
	for i := range factor {
		factor[i] = 1
	}
	out.Typical = darkest()
	one, mixed := make([]float64, draws), make([]float64, draws)
	for d := range draws {
		if ctx.Err() != nil {
			return out
		}
		rng := rand.New(rand.NewPCG(seed, uint64(d)))
		within := func(i int) float64 { return math.Pow(spread[i], rng.Float64()-0.5) }
		for i := range factor {
			factor[i] = within(i)
		}
		one[d] = darkest()
		for i := range factor {
			factor[i] = within(i) * least[i] * math.Pow(most[i]/least[i], rng.Float64())
		}
		mixed[d] = darkest()
	}
	out.OneLot, out.Mixed = percentiles(one), percentiles(mixed)
	return out
}
