// Package export turns a board into artwork: the apertures, flashes, draws, regions and holes that fabrication files are
// made of. Lower makes it; export/gerber, export/excellon and export/netlist write it; export/readback reads files back
// into it.
//
// Lengths are geom.Nm in the panel frame, never mirrored: the bottom layers are seen through the board from the front,
// as the Gerber layer format wants them.
package export

import (
	"strings"

	"lampblack/board"
	"lampblack/panel/geom"
)

// Artwork is everything a board house needs of one board.
type Artwork struct {
	Name     string
	Layers   []Layer // in the order of Function
	Drills   []Drill // plated first; a kind without holes is left out
	Size     geom.Box
	Laminate board.Laminate
	Array    bool // several boards on one manufacturing panel (export/gang), else a single board
}

// Part returns what the artwork is, as the Gerber attribute .Part says it (2021.02, 5.6.2).
func (a Artwork) Part() string {
	if a.Array {
		return "Array"
	}
	return "Single"
}

// Function is what a layer is, named as the Gerber specification names it.
type Function uint8

const (
	CopperTop Function = iota
	CopperBottom
	SoldermaskTop
	SoldermaskBottom
	SilkscreenTop
	SilkscreenBottom
	PasteTop
	PasteBottom
	Profile
	ComponentTop // assembly data, made by Components, not by Lower
	ComponentBottom
	Vcut      // lines that part the boards of an array, cut half through from both sides
	functions // how many
)

// Functions returns all functions, in their order.
func Functions() []Function {
	all := make([]Function, functions)
	for i := range all {
		all[i] = Function(i)
	}
	return all
}

// String returns the function as file names have it: "copper-top".
func (f Function) String() string {
	return [functions]string{"copper-top", "copper-bottom", "soldermask-top", "soldermask-bottom",
		"silkscreen-top", "silkscreen-bottom", "paste-top", "paste-bottom", "profile",
		"component-top", "component-bottom", "vcut"}[f]
}

// Copper reports whether the layer is copper.
func (f Function) Copper() bool { return f <= CopperBottom }

// Silkscreen reports whether the layer is silkscreen.
func (f Function) Silkscreen() bool { return f == SilkscreenTop || f == SilkscreenBottom }

// Side returns the side of the board that the layer belongs to; a Profile and a Vcut have none and say Top.
func (f Function) Side() geom.Side {
	if f == Profile || f == Vcut {
		return geom.Top
	}
	if f > Profile {
		return geom.Side(f - ComponentTop)
	}
	return geom.Side(f % 2)
}

// Layer is one image. Objects are painted in order, dark or clear.
type Layer struct {
	Function  Function
	Negative  bool // a soldermask layer shows its openings
	Apertures []Aperture
	Objects   []Object

	FileAttributes [][]string // as read back: name (".FileFunction"), then the values; unused when writing
}

// ApertureShape is the shape of an aperture.
type ApertureShape uint8

const (
	Circle    ApertureShape = iota // W
	Rectangle                      // W by H
	Obround                        // W by H
	Outline                        // any shape: Contours round the origin, a contour inside another being a hole (read back only)
	Diamond                        // square on its corner, W across corners: pin 1 on component layers
)

// Aperture is the shape that a flash prints or a draw drags.
type Aperture struct {
	Shape    ApertureShape
	W, H     geom.Nm
	Slant    bool // of a Rectangle: turned by 45 degrees, so that W and H run along the diagonals
	Contours []geom.Contour
	Function string // value of .AperFunction: "ComponentPad", "Conductor", "Profile" ...; empty when none
}

// Fiducial reports whether the aperture is for marks that a machine's camera looks for, of a board or of an array.
func (a Aperture) Fiducial() bool { return strings.HasPrefix(a.Function, "FiducialPad") }

// TestPoint reports whether it is for bare pads that a meter's tip is for.
func (a Aperture) TestPoint() bool { return a.Function == testPad }

// Op is what an Object does.
type Op uint8

const (
	Flash  Op = iota // Aperture at To
	Draw             // Aperture from From to To, straight, or along the arc when Bulge is not 0
	Region           // the inside of Contour
)

// Object is one graphic object.
type Object struct {
	Op       Op
	Clear    bool // takes away what earlier objects painted
	Aperture int  // index into Layer.Apertures; unused by a Region
	From, To geom.Pt
	Bulge    float64
	Contour  geom.Contour
	Function string // a Region's .AperFunction

	Net    string // value of .N
	HasNet bool   // an attribute .N is attached, even if empty
	Ref    string // value of .P: component, pin and its function; without Pin the value of .C
	Pin    string
	PinFn  string
	Part   *Component // on component layers only
}

// Component is what a component layer tells of a part: the attributes that go with .C.
type Component struct {
	Rotation  float64 // degrees counter-clockwise, seen from the top
	Value     string
	Footprint string
	Through   bool    // mounted in holes, else on the surface
	Height    geom.Nm // 0: not told
}

// Drill is the holes of one kind.
type Drill struct {
	Plated bool
	Tools  []Tool
	Hits   []Hit
	Slots  []Slot

	FileAttributes [][]string // as read back: name (".FileFunction"), then the values; unused when writing
}

// FileFunction returns the value of .FileFunction of a drill file: from the top to the bottom of two layers of copper (The
// Gerber Layer Format Specification 2021.02, 5.6.3).
func (d Drill) FileFunction() string {
	if d.Plated {
		return "Plated,1,2,PTH"
	}
	return "NonPlated,1,2,NPTH"
}

// Tool is a finished hole diameter with one function.
type Tool struct {
	D        geom.Nm
	Function string // value of .AperFunction: "ViaDrill", "ComponentDrill", "MechanicalDrill"
}

// Hit is one drilled hole.
type Hit struct {
	Tool int // index into Tools
	At   geom.Pt
}

// Slot is a routed hole: the tool's centre runs along Path.
type Slot struct {
	Tool int
	Path geom.Polyline
}

// Layer returns the layer of a function; ok is false, and the layer empty, where there is none.
func (a Artwork) Layer(f Function) (l Layer, ok bool) {
	for _, l := range a.Layers {
		if l.Function == f {
			return l, true
		}
	}
	return Layer{Function: f}, false
}

// Parted returns the largest curve of a profile as a board has its edge, counter-clockwise, and the others as it has its
// cut-outs, clockwise. Without curves both are empty.
func Parted(curves []geom.Contour) (outline geom.Contour, cutouts []geom.Contour) {
	largest := 0
	for i, c := range curves {
		if c.Area() > curves[largest].Area() {
			largest = i
		}
	}
	for i, c := range curves {
		if i == largest {
			outline = c.CounterClockwise()
		} else {
			cutouts = append(cutouts, c.CounterClockwise().Reversed())
		}
	}
	return outline, cutouts
}

// Edges returns the closed curves of the profile, in the order they are drawn: the board's edge and its cut-outs.
func (a Artwork) Edges() []geom.Contour {
	var out []geom.Contour
	var open geom.Contour
	end := geom.Pt{}
	for _, l := range a.Layers {
		if l.Function != Profile {
			continue
		}
		for _, o := range l.Objects {
			if o.Op != Draw {
				continue
			}
			if o.From != end {
				open = nil
			}
			open = append(open, geom.Vertex{Pt: o.From, Bulge: o.Bulge})
			if end = o.To; end == open[0].Pt {
				out, open = append(out, open), nil
			}
		}
	}
	return out
}
