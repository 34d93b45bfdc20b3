package fasten

import (
	"lampblack/board"
	"lampblack/panel"
	"lampblack/panel/diag"
)

// Judge tells what does not go together in what Mounts gave: mounts that no screw fits, screws that are not sold, and LEDs whose tips do not come to where the stack has them.
func Judge(p panel.Panel, mounts []Mount, boards []board.Board, s Stack) diag.List {
	var l diag.List
	for _, m := range mounts {
		x, y := m.At.X.MM(), m.At.Y.MM()
		switch {
		case m.Thread == "":
			l.Add(diag.Note, "fasten-no-screw", "no usual screw goes with a mount hole of %v: screws and spacers are not told for it", m.D).
				Together("no usual screw goes with %d mount holes: screws and spacers are not told for them").
				At(x, y).Fix("draw it as ISO 273 has it: 3.2 mm for M3, 4.3 mm for M4; or choose what holds it yourself")
		case m.Screw == 0:
			l.Add(diag.Warning, "fasten-long-screw", "no screw is long enough for the stack at a mount").Together("no screw is long enough for the stack at %d mounts").
				About("stack").At(x, y).Fix("hold the sheets together with threaded rod, or look at the thicknesses under stack")
		case m.Rod:
			l.Add(diag.Note, "fasten-long-screw", "pan head screws %s end before the %v that a mount wants (ISO 7045)", m.Thread, m.Screw).
				Together("%d mounts want longer screws than pan head screws are made (ISO 7045)").
				About("stack").At(x, y).Fix("use threaded rod or a cap screw, or screws from both sides into a threaded spacer")
		}
	}
	for _, b := range boards {
		own := []string{diag.PanelKey(p.Name, "sheet_distance"), diag.PanelKey(p.Name, "spacer_sheet"), "defaults.sheet_distance", "defaults.spacer_sheet", "stack.tip", "stack"}
		r := RiseOf(b, s)
		if s.Plate > 0 && r.Distance < s.Plate+joint {
			l.Add(diag.Warning, "fasten-plate-thick", "the board is %v behind the LED sheet, and between them lies the plate, %v thick: joints and ends of leads on the board's front, up to %v high, meet it",
				r.Distance, s.Plate, joint).Of(b.Name).About(append([]string{"stack.plate"}, own...)...).
				Fix("bring the board to %v behind the LED sheet or farther, or take a thinner plate", s.Plate+joint)
		}
		if r.Proud > slack {
			l.Add(diag.Warning, "fasten-led-proud", "the board is %v behind the LED sheet: the tips of its tallest LEDs stand %v farther forward than the stack has them",
				r.Distance, r.Proud).Of(b.Name).About(own...).
				Fix("bring the board to %v behind the LED sheet, or say where the tips are: stack: {tip: %v}, for which the light is then told", r.Distance+r.Proud, s.Sunk-r.Proud)
		}
		if r.Deep > 0 {
			l.Add(diag.Warning, "fasten-led-deep", "the tops of its lowest LEDs lie %v deeper than the stack has them: the light is told for LEDs that reach farther forward", r.Deep).
				Of(b.Name).About(own...).Fix("say where they are: stack: {tip: %v}", s.Sunk+r.Deep)
		}
	}
	return l
}
