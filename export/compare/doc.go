// Package compare tells what changed between two consoles, in words that somebody who builds them uses, and whether boards that
// were made of the old one fit behind the panels of the new one.
//
// It goes by what result.json tells. LEDs, screws and openings are matched by place, never by reference or order, as one more LED
// gives all behind it other numbers. What result.json has no figure for, as the thickness of copper, is found by the digests of
// the files; where those cannot be set against each other, as of two dates, that is told, and nothing is called the same by them.
package compare
