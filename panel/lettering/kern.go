package lettering

import "strings"

// kern returns by how much the pair a, b moves together (negative), in font units. The font carries no kerning, and
// capitals engraved side by side show it: these are the pairs with an open corner between them, and amounts that suit
// the eye (ours).
func kern(a, b rune) float64 {
	has := func(set string, r rune) bool { return strings.ContainsRune(set, r) }
	switch {
	case a == 'A' && has("TVWY", b), has("TVWY", a) && b == 'A':
		if a == 'W' || b == 'W' {
			return -80
		}
		return -130
	case a == 'L' && has("TVWY", b):
		return -150
	case has("PF", a) && b == 'A':
		return -120
	case a == 'R' && has("TVWY", b):
		return -40
	case a == 'K' && has("OCGQ", b), has("OQDC", a) && b == 'Y', a == 'Y' && has("OCGQ", b):
		return -45
	case a == 'T' && has("OCGQ", b), has("OQ", a) && b == 'T':
		return -30
	case has("TVY", a) && has("aceomnpqrsuvwxyz", b), a == 'W' && has("aceo", b):
		return -90
	case has("PFTVWY", a) && has(".,", b):
		return -160
	}
	return 0
}
