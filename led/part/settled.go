package part

import "strconv"

// settledDigits is how many digits Settled keeps: far more than any part is made to, far fewer than the 15 that a float holds.
const settledDigits = 9

// Settled returns v to nine digits that count. Logarithms and powers of package math end in other bits on a processor with a
// fused multiply-add; what of them is printed in full, or decides between two values, is settled first.
func Settled(v float64) float64 { return rounded(v, settledDigits) }

// rounded returns v to so many digits that count.
func rounded(v float64, digits int) float64 {
	out, err := strconv.ParseFloat(strconv.FormatFloat(v, 'e', digits-1, 64), 64)
	if err != nil {
		return v // it cannot be rounded: up, it is beyond the greatest number
	}
	return out
}
