package export

import "lampblack/panel/diag"

// mostTools is how many tools a drill file has numbers for: XNC numbers them with two digits.
const mostTools = 99

// Limits finds what the file formats cannot hold. An Artwork without an error here can be written.
func Limits(a Artwork) diag.List {
	var l diag.List
	for _, d := range a.Drills {
		if n := len(d.Tools); n > mostTools {
			kind := "unplated"
			if d.Plated {
				kind = "plated"
			}
			l.Add(diag.Error, "export-drill-sizes", "the board has %d sizes of %s holes; a drill file holds %d", n, kind, mostTools).
				Of(a.Name).Fix("give holes of nearly the same size the same diameter in the drawing")
		}
	}
	return l
}
