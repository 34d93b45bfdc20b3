// Package readback reads fabrication files back: Gerber layers, drill files and the IPC-D-356A netlist.
//
// In go the bytes of a pack; out comes export.Artwork as the files tell it, with findings for every break of the formats'
// rules, each with file and line. Lengths are geom.Nm in the panel frame, as everywhere. Raise turns the artwork into a
// board.Board again, so that board/check can judge what was written rather than what was meant, and Compare sets it
// against the artwork that was to be written. Nothing here knows or shares code with the writers.
//
// The readers take any bytes: sizes, repeats, nesting and the number of findings are bounded.
//
// BUG(lampblack): of IPC-D-356A only test points (317, 327, 367) are read; conductor and outline records are passed over.
package readback

// gerber.go holds the graphics state and the commands of one word, extended.go those between % signs, operation.go draws
// and flashes, region.go contours, pose.go transformations, macro.go and expr.go aperture macros. drill.go and ipc.go are
// the other two readers. pack.go sorts a pack's files, nets.go compares netlist and copper, raise*.go goes back to a board,
// image.go paints a layer as an area, compare.go uses it.
