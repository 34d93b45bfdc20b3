package geom

import "math"

// Settled returns v to nine or ten digits. The functions of package math end in other bits on a processor with a fused multiply-add,
// and on another make of processor; what of them reaches a file or a decision is settled first.
func Settled(v float64) float64 {
	const drop = 22 // of 52 bits behind the point: 2^-31 is 5e-10
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return v
	}
	return math.Float64frombits((math.Float64bits(v) + 1<<(drop-1)) &^ (1<<drop - 1))
}

// Sincos returns sine and cosine, settled: what stands a metre from the middle of a turn is off by half a nanometre at most.
func Sincos(rad float64) (sin, cos float64) { return Settled(math.Sin(rad)), Settled(math.Cos(rad)) }
