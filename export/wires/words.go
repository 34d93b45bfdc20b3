package wires

import (
	"fmt"
	"slices"
	"strings"

	"lampblack/panel/geom"
)

// Supplied reports whether the end lies at the supply, on no connector of ours.
func (e End) Supplied() bool { return e.At == supplyEnd }

// Over returns how much longer a wire of that length may come out; shorter it may not. The steps are those of the table of cable
// lengths in IPC/WHMA-A-620, from memory; above the last one it is a twentieth.
func Over(length geom.Nm) geom.Nm {
	for _, s := range []struct{ to, over float64 }{{300, 25}, {1500, 50}, {3000, 100}, {7500, 150}} {
		if length <= geom.MM(s.to) {
			return geom.MM(s.over)
		}
	}
	return length / 20
}

// Shared reports whether wires of two feeds share pins: one feed goes on to several boards.
func Shared(cuts []Cut) bool {
	return slices.ContainsFunc(cuts, func(a Cut) bool {
		return !a.From.Supplied() && slices.ContainsFunc(cuts, func(b Cut) bool { return b.From.At == a.From.At && b.To.At != a.To.At })
	})
}

// Notes is what belongs to the drawing of the harness; idle are connectors that no wire leads to.
func Notes(cuts []Cut, idle []string) []string {
	out := []string{
		"Lengths are of each wire as it is cut, stripped ends included; a wire may be longer by what stands behind it, never shorter (IPC/WHMA-A-620, from memory). Nothing is to scale.",
		"Signs at the pins are those printed on the boards, numbers count the pins from the first plus on. Mark both ends of a feed with its number before the first is put in. Two short bars are the first ties, where the wires leave the bundle.",
	}
	if slices.ContainsFunc(cuts, func(c Cut) bool { return c.Fuse != "" }) {
		out = append(out, "A fuse stands near the supply, in its plus: cut the wire there for the holder, or begin it at the holder in the case.")
	}
	if Shared(cuts) {
		out = append(out, "A dot is a branch point: wires that share a pin. In a screw terminal they share a ferrule for two wires; before a crimp contact they are spliced, crimped or soldered, and sleeved (common practice).")
	}
	if len(idle) > 0 {
		out = append(out, "No wire leads to "+strings.Join(idle, ", ")+".")
	}
	return out
}

// Makings are the ways in which ends are made, each with what to do and what good ones look like, in the order in which they first come.
func Makings(cuts []Cut) []string {
	var words []string
	strips := map[string][]string{} // looked up only
	for _, c := range cuts {
		for _, e := range []End{c.From, c.To} {
			m := e.Made()
			if !slices.Contains(words, m.Words) {
				words = append(words, m.Words)
			}
			if s := m.Strip.String(); !slices.Contains(strips[m.Words], s) {
				strips[m.Words] = append(strips[m.Words], s)
			}
		}
	}
	var out []string
	for _, w := range words {
		strip := strings.Join(strips[w], " or ")
		switch w {
		case Ferrule:
			out = append(out, fmt.Sprintf("Ferrule: strip %s as listed, no strand cut or nicked; put on a ferrule of the wire's size, all strands in it and its collar over the insulation; crimp it over its whole length. The conductor comes flush with its end. Screw it in, and pull at it.", strip))
		case Crimp:
			out = append(out, fmt.Sprintf("Crimp contact: strip %s; the conductor's brush is seen before its crimp, and conductor and insulation both in the window between the two crimps; the bell mouth stays open. Push it into the plug until it latches, and pull at it.", strip))
		case Tinned:
			out = append(out, fmt.Sprintf("Soldered: strip %s, twist, tin thinly so that strands are still seen. From the wiring side lead the wire through the hole beside its pad, then its bare end back through the pad, and solder it there, insulation up to the board: so no pull reaches the joint.", strip))
		}
	}
	return out
}
