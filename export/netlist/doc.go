// Package netlist writes netlists: IPC-D-356A for the electrical test of the bare board, and a SPICE deck of the whole
// console.
//
// IPC takes an export.Artwork in the panel frame and returns records of 80 columns, in millimetres and degrees (UNITS
// CUST 1: one thousandth of a millimetre is finer than the inch form's 2.54 µm), one for every pad, via and unplated hole,
// then the board's edge as chords within 20 µm of it (389). Positions are rounded to a micrometre. What the columns cannot hold (a board beyond 999.999 mm, a pad beyond 9.999 mm, a
// reference beyond six characters) is a finding and no netlist. Deck takes a led.Circuit; see deck.go.
//
// Source of the columns: IPC-D-356A, "Bare Substrate Electrical Test Data Format", by a public description of it.
package netlist
