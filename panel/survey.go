package panel

import (
	"lampblack/panel/diag"
	"lampblack/panel/dxf"
)

// Report is what a survey tells of a drawing. Lengths are mm in the drawing's frame.
type Report struct {
	File    string    `json:"file"`
	Version string    `json:"version"`
	Units   dxf.Units `json:"-"`
	Panels  []Panel   `json:"-"`
}

// Survey tells what a drawing holds and what Interpret makes of it.
func Survey(d dxf.Drawing, opt Options) (Report, diag.List) {
	return Report{}, nil
}
