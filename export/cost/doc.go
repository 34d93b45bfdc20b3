// Package cost counts the work and the material of consoles, says how long the work takes, and prices all by the user's own list.
//
// In go counts, times and prices; out comes an estimate of lines, each with its quantity and, where they are known, its time and its
// cost. Money is whatever the price list counts in, as exact fractions (math/big.Rat), and is rounded once, where it is written. Numbers
// that come as floats are taken as their shortest decimals. What has no price has no cost: sums tell what they leave out, and nothing
// counts as nought that was not told to.
package cost
