package scene

// Coat is the colours of a soldermask and of the silkscreen that shows on it.
type Coat struct {
	Mask, Area, Track Colour // on bare laminate; over a copper area; over a track or pad
	Legend            Colour // silkscreen
}

// CoatOf returns the colours of a soldermask by its word; white where there is none, or one that is not known. A black one is
// lighter than what is behind the board, so that its edge and holes can be seen.
func CoatOf(word string) Coat {
	switch word {
	case "green":
		return Coat{Mask: 0x265439, Area: 0x2f6846, Track: 0x3e7a4e, Legend: 0xf4f1e9}
	case "black":
		return Coat{Mask: 0x3b3b3e, Area: 0x48474a, Track: 0x6b675f, Legend: 0xf4f1e9}
	}
	return Coat{Mask: 0xf4f1e9, Area: 0xe9dfc9, Track: 0xd9c08f, Legend: 0x37302b}
}
