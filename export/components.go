package export

import (
	"lampblack/board"
	"lampblack/panel/geom"
)

// Orientation says what the rotation of a part means, in component layers and in lists of places alike.
//
// Sources: IEC 61188-7, level A (as IPC-7351A, 2007, prints it: pin 1 on the left, a diode's pin 1 is its cathode); for parts on the
// bottom The Gerber Layer Format Specification, revision 2021.02, .CRot: counter-clockwise as viewed from the top, and at no rotation as on
// the top, mirrored about the X axis. No footprint here is changed by that mirror but in the names of pins that do not lie on the axis, of
// which there are none.
const Orientation = "Rotations are those of IEC 61188-7, level A: at 0 degrees a part's pin 1, which is an LED's cathode, lies on the left, and " +
	"from there parts turn counter-clockwise. All is seen from the front, parts on the bottom too, through the board, as the Gerber " +
	"layer format has it. A machine that counts the bottom as seen from behind turns a part there by 180 degrees less its rotation, and " +
	"its X runs the other way."

// Components returns the component layers of a board, one for each side that carries parts: what an assembler's
// software wants to know of each part, with its body, its courtyard and its pins.
//
// Source: The Gerber Layer Format Specification, revision 2021.02, 5.6.10: ComponentMain is a circle of 0.300 mm,
// ComponentOutline of 0.100 mm, a pin a circle of 0, pin 1 a diamond of 0.360 mm.
func Components(b board.Board) []Layer {
	const main, outline, key = 300 * geom.Micrometre, 100 * geom.Micrometre, 360 * geom.Micrometre
	var out []Layer
	for _, side := range geom.BothSides() {
		m := newImage(ComponentTop+Function(side), false)
		for _, p := range b.Parts {
			if p.On != side {
				continue
			}
			c := &Component{Rotation: float64(p.Turn), Value: p.Value, Footprint: p.Footprint, Height: p.Height}
			for _, pad := range p.Pads {
				c.Through = c.Through || pad.Through
			}
			m.Objects = append(m.Objects, Object{Op: Flash, To: p.At, Ref: p.Ref, Part: c,
				Aperture: m.aperture(Circle, main, main, "ComponentMain")})
			if len(p.Body) > 2 {
				m.drawContour(geom.Straight(p.Body...), outline, "ComponentOutline,Body", Object{Ref: p.Ref, Part: c})
			}
			if len(p.Courtyard) > 2 {
				m.drawContour(geom.Straight(p.Courtyard...), outline, "ComponentOutline,Courtyard", Object{Ref: p.Ref, Part: c})
			}
			for j, pad := range p.Pads {
				net, ok := netName(b, pad.Net)
				if !ok {
					net = NotConnected
				}
				o := Object{Op: Flash, To: pad.At, Net: net, HasNet: true, Ref: p.Ref, Pin: pad.Pin, PinFn: pad.Function, Part: c}
				if j == 0 {
					o.Aperture = m.aperture(Diamond, key, key, "ComponentPin")
				} else {
					o.Aperture = m.aperture(Circle, 0, 0, "ComponentPin")
				}
				m.Objects = append(m.Objects, o)
			}
		}
		if len(m.Objects) > 0 {
			out = append(out, m.layer())
		}
	}
	return out
}
