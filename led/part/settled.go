package part

import "strconv"

// Settled returns v to nine digits that count. Logarithms and powers of package math end in other bits on a processor with a
// fused multiply-add; what of them is printed in full, or decides between two values, is settled first.
func Settled(v float64) float64 {
	out, err := strconv.ParseFloat(strconv.FormatFloat(v, 'e', 8, 64), 64)
	if err != nil {
		return v // it cannot be rounded: up, it is beyond the greatest number
	}
	return out
}
