// Package solid makes what a build shows in three dimensions: a board with its parts, a panel as its stack of sheets, the console.
//
// In go a board, a panel with its sheets and what sits in it; out come Nodes, a tree of named things, each at its place with a Shape
// made of triangles; Encode writes them as glTF 2.0 in one binary file (Khronos Group, "glTF 2.0 Specification", version 2.0.1; ISO/IEC
// 12113:2022), for viewers, slicers' previews and the workshop page.
//
// Frame: X and Y are the panel's, seen from the front; Z points out of the face toward whoever looks at it, so that a depth d behind the
// face's front is Z = -d. Nothing is mirrored. glTF has the same three axes in metres: X right, Y up, Z toward the viewer, right-handed.
// A board alone has its laminate's front at Z = 0. Lengths are whole nanometres until they are written; sines and roots are rounded to
// those, so that the bytes are the same on every processor.
//
// What a thing looks like is ours; its sizes are those of package height, which all pictures have. Sheets and laminate are closed: each
// edge belongs to two triangles. Left out are what DEVELOPERS.md names.
package solid

import (
	"lampblack/panel/geom"
)

// Point is a place in a shape's or a node's frame.
type Point struct{ X, Y, Z geom.Nm }

// Mesh is triangles of one material, counter-clockwise as seen from outside.
type Mesh struct {
	Material Material
	Points   []Point
	Faces    [][3]int32
	Round    bool // faces that meet at a small angle are parts of one curved surface
}

// Shape is what several nodes may look like.
type Shape []Mesh

// Node is a thing: its name in the words of the project, where it stands, and what is told of it.
type Node struct {
	Name     string
	At       Point
	Turn     int    // degrees counter-clockwise as seen from the front, a multiple of 45
	Shape    *Shape // nil: its children alone are seen
	Children []Node
	Told     Told
}

// Told is what a viewer may say of what is pointed at; the extras of a glTF node.
type Told struct {
	Kind       string `json:"kind"` // console, panel, sheet, board, copper, soldermask, silkscreen, LED, resistor, connector, screw, control ...
	Designator string `json:"designator,omitempty"`
	Value      string `json:"value,omitempty"`
	Footprint  string `json:"footprint,omitempty"`
	Net        string `json:"net,omitempty"`
	Side       string `json:"side,omitempty"`
	Pins       []Pin  `json:"pins,omitempty"`
	Span       *Span  `json:"depths_mm,omitempty"`
}

// Pin is what a part's pin is joined to.
type Pin struct {
	Pin      string `json:"pin"`
	Function string `json:"function,omitempty"`
	Net      string `json:"net"`
}

// Span is the depths behind the face's front between which a sheet lies.
type Span struct {
	From float64 `json:"from"`
	To   float64 `json:"to"`
}

// span returns the depths in mm.
func span(from, to geom.Nm) *Span { return &Span{from.MM(), to.MM()} }
