// Package dxf reads drawings, and writes them.
//
// In go the bytes of a DXF file, ASCII (R9 to 2018) or binary (both generations of group codes); out comes a Drawing:
// the visible model-space entities as curves of lines and circular arcs, and texts, each with its type, layer, handle
// and line in the file. Blocks are expanded. Lengths are millimetres as float64 in the drawing's own frame (X right,
// Y up), which may lie far from zero; angles are radians. Package dxf knows nothing of panels: what a layer means is
// for package read to say.
//
// Arcs and bulges stay exact. Ellipses, splines and arcs in blocks with unequal scales become runs of tangent arcs
// (biarcs) no farther than CurveTolerance from the curve.
//
// Nothing is dropped in silence: what is skipped, hidden or doubtful is listed in Drawing.Skipped and told as a
// finding. Refused with an error finding: other file types (told by content), files cut off in the middle of an
// entry, files past the limits of limits.go.
//
// Fillings (HATCH, SOLID, TRACE) become one closed path for each boundary, marked Fill. Texts set "aligned" or "fit"
// between two points tell the way between them (Span), so that whoever draws them can fit the letters of its font.
//
// Write gives a Drawing to CAD, so that Read reads the same: R12 or R2000 to R2007, in any unit, layers with colours and
// widths of line, blocks placed.
package dxf

// How it works: sniff.go looks at the first bytes; tags.go and binary.go turn bytes into (code, value) groups;
// read.go walks the sections and keeps headers, layers, blocks and entities in drawing units (entity.go, polyline.go,
// mtext.go, hatch.go); expand.go walks the entities, follows INSERTs, applies the transforms (affine.go) and makes curves
// (ellipse.go, spline.go, biarc.go). Visibility is decided last, when all layers are known.
//
// Writing: encode.go turns each kind of entity into groups; write.go and tables.go put the library's sections round them;
// names.go says what names and texts a release can hold.
