// Package report writes what people read: README.txt of a fabrication pack.
//
// In go an export.Artwork, a board's wiring and the supply; out comes text in printable ASCII of at most 78 columns.
// Currents are printed in mA or A, lengths in mm. Nothing is computed here that another stage has not found.
package report
