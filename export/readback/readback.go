// Package readback reads fabrication files back into artwork.
package readback

import (
	"lampblack/board"
	"lampblack/export"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
)

// File is one file of a pack.
type File struct {
	Name string
	Data []byte
}

// Pack is a fabrication pack as its own files tell it.
type Pack struct {
	Artwork    export.Artwork
	Netlist    Netlist
	HasNetlist bool
	Files      []Entry
}

// Entry is one file of a pack and what it was taken for.
type Entry struct {
	Name     string
	Kind     string // "gerber", "drill", "netlist", "job", "text", "other"
	Function string // .FileFunction as written
}

// Netlist is an IPC-D-356A file.
type Netlist struct {
	Header [][2]string // name and value of the P records, in order
	Points []Point
}

// Point is one test record.
type Point struct {
	Line   int
	Op     int // 317, 327, 367 ...
	Net    string
	Ref    string // "VIA" for vias
	Pin    string
	Mid    bool
	Hole   geom.Nm // 0 when not drilled
	Plated bool
	Access int // 0 both sides, 1 top, 2 bottom
	At     geom.Pt
	W, H   geom.Nm // H 0 for round
	Turn   int     // degrees
	Mask   int     // 0 none, 1 primary, 2 secondary, 3 both
}

func Drill(src []byte, name string) (export.Drill, diag.List) { return export.Drill{}, nil }
func IPC(src []byte, name string) (Netlist, diag.List)        { return Netlist{}, nil }
func Open(files []File) (Pack, diag.List)                     { return Pack{}, nil }
func Raise(p Pack, r board.Rules) (board.Board, diag.List)    { return board.Board{}, nil }
func Compare(want, got export.Artwork) diag.List              { return nil }
