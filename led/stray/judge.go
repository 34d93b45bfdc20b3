package stray

import (
	"fmt"
	"math"

	"lampblack/panel"
	"lampblack/panel/diag"
)

// Judge tells which LEDs are seen otherwise than through the lettering, and what to do. refs are the LEDs' references, in the order of
// Panel.LEDs. Through an opening of which the project tells nothing, and past the edge, that is a note: something will sit there, and the
// console may cover the edge. Places are in the panel frame, mm.
func Judge(p panel.Panel, sights []Sight, refs []string) diag.List {
	var l diag.List
	middle := p.Outline.Box().Centre()
	for _, s := range sights {
		h := p.LEDs[s.LED]
		name := "an LED"
		if s.LED < len(refs) && refs[s.LED] != "" {
			name = refs[s.LED]
		}
		seen := fmt.Sprintf("%s of its tip from %s", part(s.Share), s.Eye.Told(middle))
		move := "move it elsewhere"
		if s.Move > 0 {
			move = fmt.Sprintf("move it by %v away from there", s.Move)
		}
		var f *diag.Finding
		switch s.Gap.Kind {
		case Opening:
			f = l.Add(diag.Note, "stray-open", "%s is seen directly through an opening unless what sits there hides it: %s", name, seen).
				About(diag.PanelKey(p.Name, "controls"), "defaults.controls").
				Fix("say under controls what sits there; if that leaves a gap, %s, or put a wall round the opening between diffuser and LED sheet, as frame: yes makes it", move)
			f.Together("%d LEDs are seen directly through openings unless what sits there hides them")
		case Seated:
			c, _ := p.ControlAt(s.Gap.Of)
			f = l.Add(diag.Warning, "stray-led", "%s is seen directly past the %s: %s", name, c.Kind.Name, seen).
				Fix("%s, put a washer over the gap, or a wall round the opening between diffuser and LED sheet, as frame: yes makes it", move)
			f.Together("%d LEDs are seen directly past controls")
		case Slot:
			f = l.Add(diag.Warning, "stray-led", "%s is seen directly through the slot for a screw: %s", name, seen).
				Fix("%s, or put a washer over the whole slot", move)
		case Mount:
			f = l.Add(diag.Warning, "stray-led", "%s is seen directly through a mount that no usual screw closes: %s", name, seen).
				Fix("%s, or close the hole from the front", move)
		case Rim:
			f = l.Add(diag.Note, "stray-edge", "%s is seen directly past the panel's edge, between diffuser and LED sheet, unless the console covers the edge: %s", name, seen).
				Fix("%s, or close the gap between the sheets along the edge, by black tape or by frame: yes", move)
			f.Together("%d LEDs are seen directly past the panel's edge, between diffuser and LED sheet, unless the console covers the edge")
		}
		where := diag.Place{At: &diag.Point{X: s.Gap.At.X.MM(), Y: s.Gap.At.Y.MM()}}
		f.At(h.At.X.MM(), h.At.Y.MM()).Note(where, "%s", [...]string{Opening: "the opening", Seated: "the control", Slot: "the slot", Mount: "the mount", Rim: "the edge"}[s.Gap.Kind])
	}
	return l.WithPanel(p.Name)
}

// part says a share in hundredths.
func part(v float64) string {
	if v > 0.995 {
		return "all"
	}
	return fmt.Sprintf("%.0f %%", max(1, math.Round(100*v)))
}
