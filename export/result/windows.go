package result

import (
	"cmp"
	"slices"
	"strings"

	"lampblack/led"
	"lampblack/led/light"
	"lampblack/panel"
)

// LitWindow is an area of the face that is lit and no lettering: its paint is opened.
type LitWindow struct {
	What  string     `json:"what" doc:"in words: ring of 26 mm, round window of 5 mm, window of 20 x 8 mm"`
	X     float64    `json:"x" doc:"of its middle, mm"`
	Y     float64    `json:"y" doc:"of its middle, mm"`
	BBox  [4]float64 `json:"bbox_mm" doc:"x0, y0, x1, y1"`
	Area  float64    `json:"area_mm2" doc:"of what is seen of it: what is cut out of it, of it by openings, or beyond the edge left out" schema:"min=0"`
	LEDs  []string   `json:"leds,omitempty" doc:"those behind it, or where there are none the nearest"`
	Group string     `json:"group,omitempty" doc:"of its LEDs, where LEDs are dimmed in groups and they are all of one"`
	Light *Lit       `json:"light,omitempty" doc:"cd/m², or relative as the lettering's"`
}

// WindowsOf tells of a panel's windows: as drawn, and where it has LEDs and light, by which.
func WindowsOf(q panel.Panel, w led.Wiring, lit []light.Lit) []LitWindow {
	var out []LitWindow
	f := frame(q.Origin)
	own := q.WindowLEDs()
	for k, i := range q.Windows() {
		s := q.Symbols[i]
		area := q.Seen(s.Area())
		b := s.Shape.Box()
		x, y := f.at(b.Centre())
		one := LitWindow{What: strings.TrimPrefix(s.Said(), "the "), X: x, Y: y, BBox: f.box(b), Area: num(area.Area(), 6)}
		groups := map[string]bool{}
		for _, h := range own[k] {
			for _, d := range w.LEDs {
				if d.Hole != h {
					continue
				}
				one.LEDs = append(one.LEDs, d.Ref)
				if w.Grouped() {
					one.Group = w.Groups[w.FedBy(d.String)].Name
					groups[one.Group] = true
				}
			}
		}
		slices.SortFunc(one.LEDs, func(a, b string) int { return cmp.Or(len(a)-len(b), strings.Compare(a, b)) })
		if len(groups) > 1 {
			one.Group = ""
		}
		if n := slices.IndexFunc(lit, func(l light.Lit) bool { return l.Symbol == i }); n >= 0 {
			l := litOf("", lit[n].Figures)
			one.Light = &l
		}
		out = append(out, one)
	}
	return out
}
