package fasten

import (
	"fmt"

	"lampblack/board"
	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
)

// leastArch is from where a sheet that cannot grow is told: half of the usual gap.
const leastArch = 4 * geom.Millimetre

// JudgeSupport tells boards without a screw, with places where some have room; places far from one; LEDs that may touch the diffuser as
// board and sheets bow; and sheets that cannot grow.
func JudgeSupport(p panel.Panel, b board.Board, s Support) diag.List {
	var l diag.List
	// Places as related ones: they are moved to the drawing's frame with the finding's own.
	places := func(f *diag.Finding) {
		for _, q := range s.Proposed {
			f.Note(diag.Place{At: &diag.Point{X: q.X.MM(), Y: q.Y.MM()}}, "a mount has room here")
		}
	}
	draw := "draw circles of 3.2 mm for M3 on the layer of mounts (MOUNT, where the project names no other)"
	if len(s.Proposed) == 1 {
		draw = "draw a circle of 3.2 mm for M3 on the layer of mounts (MOUNT, where the project names no other)"
	}
	switch {
	case s.Screws == 0 && len(s.Proposed) > 0:
		f := l.Add(diag.Warning, "shape-no-mount", "the board has no mount hole").Of(b.Name).InsteadOf("shape-no-mount").
			Fix("%s where this finding says that they have room, beside LEDs, connectors, openings and lettering; or plan to hold the board by other means", draw)
		places(f)
	case s.Screws > 0 && s.Distance > tooFar:
		f := l.Add(diag.Note, "fasten-far", "the board is %.0f mm from its nearest screw here, and may be %.1f mm out of flat (IPC-6012)", s.Distance.MM(), s.Flat.MM()).
			Of(b.Name).At(s.Far.X.MM(), s.Far.Y.MM())
		if len(s.Proposed) > 0 {
			f.Fix("%s where this finding says, or support it there by a drop of hot glue or a rubber foot", draw)
		} else {
			f.Fix("support it there by a drop of hot glue or a rubber foot: no screw has room")
		}
		places(f)
	}
	if s.Screws > 0 && s.Clear <= 0 {
		l.Add(diag.Warning, "fasten-tips-touch", "LEDs' tips may touch the diffuser here: board and diffuser may bow by %.1f mm together, and the LED sheet may come out thin", s.Bow.MM()).
			Of(b.Name).About("stack.gap", "stack.tip", "stack").At(s.Far.X.MM(), s.Far.Y.MM()).
			Fix("make the gap larger, put a screw there, or measure the LED sheet (stack: {measured: ...})")
	}
	switch arch := Arch(s.Reach, s.Grows-s.Play); {
	case s.Slotted > 0:
		others := fmt.Sprintf("the other %d are slots that point to it, up to %.1f mm long", s.Slotted, s.Longest.MM())
		if s.Slotted == 1 {
			others = fmt.Sprintf("the other is a slot that points to it, %.1f mm long", s.Longest.MM())
		}
		l.Add(diag.Note, "fasten-slots", "with temperature and moisture the sheets grow by %.2f mm against the board between its screws, and the holes of two leave %.2f: this mount stays a round hole in the sheets, %s",
			s.Grows.MM(), s.Play.MM(), others).
			Of(b.Name).About(diag.PanelKey(p.Name, "slots"), "defaults.slots").At(s.Round.X.MM(), s.Round.Y.MM()).
			Fix("put the screws in the middle of their slots, tighten this one and the others by hand only; slots: no keeps the holes as they are drawn")
	case s.Held():
		l.Add(diag.Note, "fasten-growth", "with temperature and moisture the sheets grow by %.2f mm against the board between its screws, and the holes of two leave %.2f: held fast, a sheet arches by up to %.1f mm",
			s.Grows.MM(), s.Play.MM(), arch.MM()).
			Of(b.Name).About(diag.PanelKey(p.Name, "slots"), "defaults.slots").At(s.Round.X.MM(), s.Round.Y.MM()).
			Fix("leave this mount as it is, which keeps everything in its place, and draw the others %.1f mm wide, or let the sheets have slots there (slots: yes); tighten them by hand only", s.Wider.MM())
	}
	return l
}
