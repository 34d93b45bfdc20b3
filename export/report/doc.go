// Package report writes what people read: README.txt of a fabrication pack, and report.html of a console.
//
// Into README.txt go an export.Artwork, a board's wiring and the supply; out comes text in printable ASCII of at most 78
// columns. Into report.html go plain texts, tables and the bytes of pictures; out comes one page that needs no network and
// no script. Currents are printed in mA or A, lengths in mm. Nothing is computed here that another stage has not found.
package report
