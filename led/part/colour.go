package part

// Colour is a name for the light of an LED, and how pictures show it.
type Colour struct {
	Name string
	RGB  [3]uint8 // sRGB, at full brightness
}

// Colours returns the colours that LEDs may have. All pictures have them from here.
//
// The values are ours, by eye. The hue is that of the dominant wavelength that is usual in the trade (red 625 nm, orange 605,
// amber 592, yellow 588, green 525, blue 468, violet 405; whites of 6500 K and 3000 K; pink is a white under red phosphor),
// and one part is full. Such lights are more saturated than any screen can show; the weakest part is what keeps a letter in
// them bright on one.
func Colours() []Colour {
	return []Colour{
		{"red", [3]uint8{255, 48, 24}},
		{"orange", [3]uint8{255, 120, 20}},
		{"amber", [3]uint8{255, 168, 16}},
		{"yellow", [3]uint8{255, 215, 40}},
		{"green", [3]uint8{24, 255, 96}},
		{"blue", [3]uint8{40, 96, 255}},
		{"white", [3]uint8{236, 242, 255}},
		{"warm-white", [3]uint8{255, 214, 160}},
		{"pink", [3]uint8{255, 130, 180}},
		{"violet", [3]uint8{160, 90, 255}},
	}
}

// Shown returns how pictures show a colour.
func Shown(name string) (rgb [3]uint8, ok bool) {
	for _, c := range Colours() {
		if c.Name == name {
			return c.RGB, true
		}
	}
	return [3]uint8{}, false
}
