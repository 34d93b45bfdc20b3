// Package inspect judges a fabrication pack by its own files, as a careful front end of a board house would.
//
// In go the files of a pack and what readback made of them; out come findings and what was judged. Lengths are geom.Nm in
// the files' own frame. The copper, the holes and the masks are raised to a board (readback.Raise), which board/check judges
// against a class of fabrication. What the files say twice is then compared: the component layers with the pads, their
// holes and the silkscreen, the masks and the paste with pads and holes, the netlist with pads, holes and edge, the job file and
// README.txt with everything. A contradiction is an error, since a board house would hold the order for it and cannot know which
// of the two is meant. At last every LED is followed through the nets: one that no current can reach is an error.
//
// What cannot be judged is a warning and named; Verdict.Judged names what was. Of packs that this program did not write
// less is asked: openings over bare copper, or footprints of the same name with other lands, may be meant there.
package inspect

// How it goes: judge.go runs the audits. frame.go takes an array's own marks out, nets.go extracts the nets of copper that
// no attribute names, parts.go and ink.go compare component layers, mask.go masks and paste, drill.go holes, netlist.go,
// job.go and readme.go their files, light.go follows the LEDs.
