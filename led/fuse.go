package led

import "lampblack/led/part"

// FuseUse is the share of a fuse's rating that is used for good. IEC 60127 links stand all of it, UL 248-14 ones 75 %
// (common practice, references.md section 5): the cautious figure lets the builder take either.
const FuseUse = 0.75

// LeastFuse is the smallest fuse that is advised: smaller ones lose a good part of the supply themselves, up to 3.5 V at
// 100 mA but 0.9 V at 500 mA (IEC 60127 by references.md section 5), and the wires stand more anyway.
const LeastFuse part.Amp = 0.5

// FuseFor returns the fuse for a chain that draws i at worst; ok is false when there is none.
func FuseFor(i part.Amp) (fuse part.Amp, ok bool) {
	return part.FuseFor(max(i, LeastFuse*FuseUse), FuseUse)
}
