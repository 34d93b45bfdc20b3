package solid

import (
	"math"

	"lampblack/export/scene"
)

// Material is what a surface is made of.
type Material struct {
	Name   string
	Colour scene.Colour
	Cover  uint8 // percent of what lies behind that it hides; 0: all
	Metal  bool
	Rough  uint8        // percent
	Glow   scene.Colour // of its own light; 0: it has none
	Open   bool         // both of its sides are seen: a film
}

// The colours of sheets and parts; those of boards are the pictures'.
func acrylic() Material {
	return Material{Name: "acrylic", Colour: 0xc9dde6, Cover: 45, Rough: 10}
}
func opal() Material  { return Material{Name: "opal acrylic", Colour: 0xf7f6f2, Cover: 82, Rough: 45} }
func paint() Material { return Material{Name: "paint", Colour: 0x1b1817, Rough: 75, Open: true} }
func aluminium() Material {
	return Material{Name: "aluminium", Colour: 0xc2c2c2, Metal: true, Rough: 45}
}
func wall() Material     { return Material{Name: "frame", Colour: 0x2b2624, Rough: 80} }
func laminate() Material { return Material{Name: "laminate", Colour: 0xa99a72, Rough: 70} }
func copper() Material {
	return Material{Name: "copper", Colour: 0xc9873f, Metal: true, Rough: 35}
}
func tin() Material   { return Material{Name: "tin", Colour: 0xb9b9b4, Metal: true, Rough: 30} }
func steel() Material { return Material{Name: "steel", Colour: 0xc9c5bd, Metal: true, Rough: 35} }
func brass() Material { return Material{Name: "brass", Colour: 0xc9ab62, Metal: true, Rough: 35} }
func housing() Material {
	return Material{Name: "housing", Colour: 0x3f7f5a, Rough: 60}
}
func plastic() Material   { return Material{Name: "plastic", Colour: 0x26241f, Rough: 55} }
func knob() Material      { return Material{Name: "knob", Colour: 0x34302d, Rough: 65} }
func pointer() Material   { return Material{Name: "pointer", Colour: 0xf4f1e9, Rough: 60} }
func ceramic() Material   { return Material{Name: "ceramic", Colour: 0xe9e4da, Rough: 50} }
func metalFilm() Material { return Material{Name: "resistor", Colour: 0xb7cbd6, Rough: 50} }
func plus() Material      { return Material{Name: "wire +", Colour: 0xb3392e, Rough: 60} }
func minus() Material     { return Material{Name: "wire -", Colour: 0x2f4b7c, Rough: 60} }
func dark() Material      { return Material{Name: "display", Colour: 0x141a1c, Rough: 15} }

func mask(c scene.Colour) Material {
	return Material{Name: "soldermask", Colour: c, Rough: 45, Open: true}
}
func legend(c scene.Coat) Material {
	return Material{Name: "silkscreen", Colour: c.Legend, Rough: 80, Open: true}
}

// lens is an LED's own body, lit; light what comes through the lettering.
func lens(of string, c scene.Colour) Material {
	return Material{Name: "LED " + of, Colour: c, Rough: 15, Glow: half(c)}
}
func light(of string, c scene.Colour) Material {
	return Material{Name: "light " + of, Colour: c, Rough: 60, Glow: c, Open: true}
}

// half is a colour of half the light, so that the shape of what glows can be seen.
func half(c scene.Colour) scene.Colour {
	r, g, b := c.RGB()
	return scene.Colour(uint32(r)*7/10<<16 | uint32(g)*7/10<<8 | uint32(b)*7/10)
}

// linear returns a colour's parts as light has them, as glTF asks: IEC 61966-2-1. Four digits are more than a screen shows.
func linear(c scene.Colour) [3]float64 {
	r, g, b := c.RGB()
	var out [3]float64
	for i, v := range [3]uint8{r, g, b} {
		x := float64(v) / 255
		if x <= 0.04045 {
			x /= 12.92
		} else {
			x = math.Pow((x+0.055)/1.055, 2.4)
		}
		out[i] = math.Round(x*1e4) / 1e4
	}
	return out
}
